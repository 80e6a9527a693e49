"""Layers of protection beside reversing on the motor's current."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.controller import ProtectiveLayer
from hutwright.model.door import Edge, EdgeKind
from hutwright.model.project import Project
from hutwright.model.site import Reach
from hutwright.plant.swing import Closing
from hutwright.sources import Source, Standing
from hutwright.trades.guard.layering import more_layers, stands
from hutwright.trades.guard.meeting import NEEDS, Meeting, bare, gaps_met, hardest, length_text, newtons
from hutwright.units import NUMBER

WANTED = 1.0
WANTED_WITH_CHILDREN = 2.0
TWO_MEANS = Source(
    "UL 325", "two independent means at each place of entrapment, of different types", Standing.SECOND_HAND
)
WITH_CHILDREN = Source(
    "common practice of the trade",
    "two layers beside the current where children come near",
    Standing.PRACTICE,
)
INADEQUATE_ALONE = Source("HSE research report RR1056", "abstract, current limiting alone", Standing.READ)
# The soft edge and the slow stretch whose worth is told: a choice of this project
TOLD_EDGE = Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=0.040)  # N/m, m
TOLD_SHARE = 0.5  # of the present speed, all the way
WITHOUT_FORCE = {
    ProtectiveLayer.PRESENT_SENSOR: "sees what stands in the way before the leaf moves",
    ProtectiveLayer.PRESSURE_EDGE: "reverses at the first touch, whatever the motor's current",
    ProtectiveLayer.BEAM: "keeps the leaf from reaching what crosses it",
}


def ask(project: Project) -> tuple[Check, ...]:
    """The number of layers that are lacking, and what each of them would buy.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a controller.
    """
    if project.controller is None:
        return ()
    present = stands(project)
    children = Reach.CHILDREN in project.site.reach
    wanted = WANTED_WITH_CHILDREN if children else WANTED
    lacking = Step(
        symbol="lacking",
        formula="max(0, wanted - layers)",
        numbers={"wanted": bare(wanted), "layers": bare(float(len(present)))},
        result=bare(max(0.0, wanted - len(present))),
        words="where children come near" if children else "one beside the current, wherever people come near",
    )
    steps = (*_worth(project), _counted(project, present), lacking)
    return (
        Check(
            value=steps[-1].result.value,
            limit=0.0,
            dimension=NUMBER,
            sense=Sense.AT_MOST,
            method=INADEQUATE_ALONE,
            limit_from=WITH_CHILDREN if children else TWO_MEANS,
            working=steps,
            levers=(more_layers(project, ProtectiveLayer),),
            meaning=_meaning(project),
        ),
    )


def _meaning(project: Project) -> str:
    sentence = (
        "Reversing on the motor's current is one layer, and by itself was found too little to limit crushing."
    )
    if not {Reach.ADULTS, Reach.CHILDREN} & set(project.site.reach):
        return f"{sentence} Nobody is described as coming near; see site.reach."
    return sentence


def _counted(project: Project, present: tuple[ProtectiveLayer, ...]) -> Step:
    """Each layer as 1 or 0, with what the missing ones would do."""
    numbers = {layer.value.replace(" ", "_"): bare(float(layer in present)) for layer in ProtectiveLayer}
    missing = [f"a {layer.value} {WITHOUT_FORCE[layer]}" for layer in WITHOUT_FORCE if layer not in present]
    words = "layers that stand"
    controller, door = project.controller, project.door
    listed = controller is not None and ProtectiveLayer.SOFT_EDGE in controller.layers
    if listed and door is not None and door.edge.kind is EdgeKind.HARD:
        words += "; a soft edge is listed, but door.edge is hard"
    if missing:
        words += f"; of the missing, {'; '.join(missing)}"
    return Step(
        symbol="layers",
        formula=" + ".join(numbers),
        numbers=numbers,
        result=bare(float(len(present))),
        words=words,
    )


def _worth(project: Project) -> tuple[Step, ...]:
    """What a soft edge, and half the speed, would take off the greatest force in the same weather."""
    now = _worst(project)
    if now is None:
        return ()
    steps, speed = [], now.leaf.shares
    if now.leaf.edge.kind is EdgeKind.HARD:
        soft = replace(now.leaf, edge=TOLD_EDGE)
        steps.append(_taken_off("soft", now, soft, "a soft edge of 12 N/mm that gives 40 mm"))
    half = replace(speed, normal=TOLD_SHARE * speed.normal, last=TOLD_SHARE * speed.last)
    steps.append(_taken_off("slow", now, replace(now.leaf, shares=half), "half the speed, all the way"))
    return tuple(steps)


def _worst(project: Project) -> Meeting | None:
    """The test's gap that presses hardest; None where that cannot be told."""
    found = [met for gap in gaps_met(project) if (met := hardest(project, gap)) is not None]
    if not found or any(isnan(met.contact.peak.greatest) for met in found):
        return None
    return max(found, key=lambda met: met.contact.peak.greatest)


def _taken_off(name: str, now: Meeting, changed: Closing, words: str) -> Step:
    (met,) = changed.meets([now.contact.place], obstacle=now.obstacle)
    before, after = now.contact.peak.greatest, met.peak.greatest
    return Step(
        symbol=f"{name}_takes_off",
        formula=f"F_now - F_{name}",
        numbers={"F_now": newtons(before), f"F_{name}": newtons(after)},
        result=newtons(before - after),
        words=f"of the closed form's greatest force at a gap of {length_text(now.gap)}: {words}",
    )


QUESTION = Question(
    key="guard.layers",
    title="Layers of protection that are lacking beside reversing on current",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
