"""Whether the drive's stroke covers all that the rod must span."""

from __future__ import annotations

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Step
from hutwright.layout.linkage import is_direct
from hutwright.model.project import Project
from hutwright.plant.swept import rod_span
from hutwright.plant.travel import travel
from hutwright.sources import SLIDER_CRANK
from hutwright.trades.door.moving import metres, practice, where
from hutwright.trades.door.turning import Worth, pins, stroke, when_wanted

# Less is lost in brackets and end switches: a choice of this project [m]
LEAST = 0.002
SPARE = practice("a drive keeps 2 mm to spare at each end for brackets and end switches")
SHORTEST = 0.05  # no rod drive is shorter: a choice of this project [m]


def ask(project: Project) -> tuple[Check, ...]:
    """What is left of the stroke at the nearer end.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the drive's length is not described.
    """
    drive = project.drive
    if project.door is None or project.linkage is None or drive is None or drive.length is None:
        return ()
    steps = _direct(project) if is_direct(project) else _rod(project)
    return (
        Check(
            value=steps[-1].result.value,
            limit=LEAST,
            dimension=units.LENGTH,
            sense=Sense.AT_LEAST,
            method=SLIDER_CRANK,
            limit_from=SPARE,
            working=steps,
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    stroke(project),
                    _other_length(project),
                    *pins(project, _worth(project)),
                ),
            ),
            meaning="Below zero the leaf stays ajar, or does not open all the way.",
        ),
    )


def _direct(project: Project) -> tuple[Step, ...]:
    drive = project.drive
    assert drive is not None
    assert drive.length is not None
    full = travel(project).full
    return (
        Step(
            symbol="s",
            formula="s_drive - s_leaf",
            numbers={"s_drive": metres(drive.length.stroke), "s_leaf": metres(full)},
            result=metres(drive.length.stroke - full),
            words="stroke to spare over the leaf's travel",
        ),
    )


def _rod(project: Project) -> tuple[Step, ...]:
    drive = project.drive
    assert drive is not None
    assert drive.length is not None
    span, shortest, stroke_ = rod_span(project), drive.length.shortest, drive.length.stroke
    out, drawn = shortest + stroke_ - span.greatest, span.least - shortest
    return (
        Step(
            symbol="s_out",
            formula="L_shortest + s_drive - L_greatest",
            numbers={
                "L_shortest": metres(shortest),
                "s_drive": metres(stroke_),
                "L_greatest": metres(span.greatest),
            },
            result=metres(out),
            words=f"to spare with the rod longest, {where(project, span.greatest_at)}",
        ),
        Step(
            symbol="s_in",
            formula="L_least - L_shortest",
            numbers={"L_least": metres(span.least), "L_shortest": metres(shortest)},
            result=metres(drawn),
            words=f"to spare with the rod shortest, {where(project, span.least_at)}",
        ),
        Step(
            symbol="s",
            formula="min(s_out, s_in)",
            numbers={"s_out": metres(out), "s_in": metres(drawn)},
            result=metres(min(out, drawn)),
            words="to spare at the nearer end",
        ),
    )


def _worth(project: Project) -> Worth:
    drive = project.drive
    assert drive is not None
    assert drive.length is not None
    low, high = drive.length.shortest, drive.length.shortest + drive.length.stroke
    return lambda lengths, arms: np.minimum(high - lengths.max(axis=1), lengths.min(axis=1) - low) - LEAST


def _other_length(project: Project) -> Dial | None:
    """The lever of a rod that is shorter, or longer, drawn in."""
    drive = project.drive
    if drive is None or drive.length is None or is_direct(project):
        return None
    span, now = rod_span(project), drive.length.shortest
    middle = max(SHORTEST, (span.least + span.greatest - drive.length.stroke) / 2)
    low, high = sorted((now, middle))
    return Dial(
        path=("drive", "length", "shortest"),
        dimension=units.LENGTH,
        lowest=low,
        highest=high,
        words="take a drive (or an eye) that measures, drawn in, between its pins",
        effort=Effort.BUY_LARGE,
        step=0.005,
    )


QUESTION = Question(
    key="door.linkage_reach",
    title="Stroke to spare at the ends of the travel",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive", "length")),
    ask=ask,
)
