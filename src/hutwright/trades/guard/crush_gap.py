"""Body parts that a shrinking gap of the door can catch."""

from __future__ import annotations

import numpy as np

from hutwright import units
from hutwright.catalogue.body_gaps import BODY_GAPS, parts_at_risk
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.errors import RequestError
from hutwright.laws.crush_gap import finger_fits
from hutwright.layout.leaf import closing_gap, full_travel, hinge_side_gap
from hutwright.model.controller import ProtectiveLayer
from hutwright.model.project import Project
from hutwright.model.site import Reach
from hutwright.sources import ISO_13854_GAPS, Source, Standing
from hutwright.trades.guard.layering import more_layers, stands
from hutwright.trades.guard.meeting import bare
from hutwright.units import NUMBER

GAPS_FROM_LAYOUT = Source(
    "elementary physics", "gaps of the leaf as described, over its travel", Standing.DERIVED
)
PLACES = 13  # over the travel: a choice of this project [-]
# What guards a closing gap without the force of the leaf: common practice
BY_ITSELF = (ProtectiveLayer.PRESSURE_EDGE, ProtectiveLayer.BEAM)


def ask(project: Project) -> tuple[Check, ...]:
    """The number of body parts that the closing gap and the one at the hinge side close on.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        The closing edge, and the hinge side (the trailing edge of a leaf that does not turn).
    """
    if project.door is None:
        return ()
    try:
        travel = np.linspace(0.0, full_travel(project), PLACES)
        widest = float(closing_gap(project, travel[-1:])[0])
        hinge_side = hinge_side_gap(project, travel)
    except RequestError:
        return ()
    return _closing(project, widest), _hinge_side(project, float(hinge_side.max()), float(hinge_side[0]))


def _counted(start: float, end: float, words: str) -> tuple[Step, Step, float]:
    """The gap's two ends, the number of parts that it closes on, and that number."""
    caught = {part.name for part in parts_at_risk(start, end)}
    count = float(len(caught))
    names = ", ".join(name for name in BODY_GAPS if name in caught) or "none"
    return (
        Step(
            symbol="shrinks",
            formula="g_open - g_shut",
            numbers={"g_open": Number(start, units.LENGTH), "g_shut": Number(end, units.LENGTH)},
            result=Number(start - end, units.LENGTH),
            words=words,
        ),
        Step(
            symbol="caught",
            formula=" + ".join(BODY_GAPS),
            numbers={name: bare(float(name in caught)) for name in BODY_GAPS},
            result=bare(count),
            words=f"parts that get into it and are not safe when it is at its narrowest: {names}",
        ),
        count,
    )


def _meaning(project: Project, sentence: str) -> str:
    if not {Reach.ADULTS, Reach.CHILDREN} & set(project.site.reach):
        return f"{sentence} Nobody is described as coming near; the figures are those of people."
    return sentence


def _closing(project: Project, widest: float) -> Check:
    first, second, caught = _counted(widest, 0.0, "of the closing edge, from open to shut")
    guards = [layer.value for layer in stands(project) if layer in BY_ITSELF]
    left = caught * (1.0 - float(bool(guards)))
    third = Step(
        symbol="left",
        formula="caught * (1 - guarded)",
        numbers={"caught": bare(caught), "guarded": bare(float(bool(guards)))},
        result=bare(left),
        words=f"guarded by the {' and the '.join(guards)}"
        if guards
        else "nothing but the leaf's own force tells of them; a pressure edge or a beam would",
    )
    return Check(
        subject="closing",
        value=left,
        limit=0.0,
        dimension=NUMBER,
        sense=Sense.AT_MOST,
        method=GAPS_FROM_LAYOUT,
        limit_from=ISO_13854_GAPS,
        working=(first, second, third),
        levers=(more_layers(project, BY_ITSELF),),
        meaning=_meaning(
            project, "Every door closes a gap; this asks that something other than force watches it."
        ),
    )


def _hinge_side(project: Project, widest: float, shut: float) -> Check:
    assert project.door is not None
    hinged = project.door.kind.hinged
    where = (
        "at the hinge side, from open to shut" if hinged else "along the trailing edge, over the whole travel"
    )
    first, second, caught = _counted(widest, shut, where)
    steps: tuple[Step, ...] = (first, second)
    if not hinged and finger_fits(shut):
        caught = 1.0
        steps = (
            first,
            Step(
                symbol="caught",
                formula="finger",
                numbers={"finger": bare(1.0)},
                result=bare(1.0),
                words="a gap of 4 to 25 mm lets a finger in, and the leaf slides past it",
            ),
        )
    return Check(
        subject="hinge_side",
        value=caught,
        limit=0.0,
        dimension=NUMBER,
        sense=Sense.AT_MOST,
        method=GAPS_FROM_LAYOUT,
        limit_from=ISO_13854_GAPS,
        working=steps,
        levers=(_other_gap(hinged=hinged),),
        meaning=_meaning(
            project,
            "The same torque presses harder there than at the closing edge, where the force is tested; a "
            "strip over the gap keeps fingers out.",
        ),
    )


def _other_gap(*, hinged: bool) -> Pick:
    path = ("door", "gaps", "hinge_side")
    options = [Option("leave a gap of 26 mm there, wide enough for a finger", {path: "26 mm"})]
    if not hinged:
        options.insert(0, Option("close the gap there to 3 mm with a strip", {path: "3 mm"}))
    return Pick(words="another gap there", options=tuple(options), effort=Effort.REBUILD)


QUESTION = Question(
    key="guard.crush_gap",
    title="Body parts that a gap of the door can catch",
    concern=Concern.SAFETY,
    needs=(("door",), ("controller",)),
    ask=ask,
)
