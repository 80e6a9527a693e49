"""How far the edge moves after a start before the controller looks at the current."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.guard.closing_speed import quickest
from hutwright.trades.guard.meeting import NEEDS, length_text
from hutwright.trades.guard.softening import BLIND_STEP, SHORTEST_BLIND

MOST = 0.050  # m; the narrowest gap of the force test: common practice
BLIND_PRACTICE = Source(
    "common practice of the trade",
    "blind closing travel no longer than the narrowest tested gap",
    Standing.PRACTICE,
)
SPEED_TIMES_TIME = Source("elementary physics", "way at a steady speed", Standing.DERIVED)


def ask(project: Project) -> tuple[Check, ...]:
    """The way of the closing edge while nothing is judged, wherever on its travel it starts.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One.
    """
    if project.controller is None:
        return ()
    blind = project.controller.detection.blind_after_start
    run = quickest(project)
    speed = run.edge_speed
    step = Step(
        symbol="s_blind",
        formula="v * t_blind",
        numbers={"v": Number(speed, units.SPEED), "t_blind": Number(blind, units.TIME)},
        result=Number(speed * blind, units.LENGTH),
        words=f"where the edge is quickest, {length_text(run.edge_way)} from shut, {run.weather}",
    )
    shorter = Dial(
        path=("controller", "detection", "blind_after_start"),
        dimension=units.TIME,
        lowest=min(SHORTEST_BLIND, blind),
        highest=blind,
        words="judge the current from the start on after no more than",
        effort=Effort.SETTING,
        step=BLIND_STEP,
    )
    return (
        Check(
            value=speed * blind,
            limit=MOST,
            dimension=units.LENGTH,
            sense=Sense.AT_MOST,
            method=SPEED_TIMES_TIME,
            limit_from=BLIND_PRACTICE,
            working=(step,),
            levers=(shorter,),
            meaning="A start just before a hand presses on it as long as the controller is blind; a profile "
            "of the start current makes that shorter than blanking does.",
        ),
    )


QUESTION = Question(
    key="guard.blind_travel",
    title="Way of the closing edge before the controller judges the current",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
