"""Whether something tells at both ends of the travel that the leaf has arrived."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.drive import EndSwitches
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.units import NUMBER

NONE_MISSING = 0.0
ENDS = ("open", "shut")
FREE = "free"  # as the file spells a pin whose choice is left open
ENDS_PRACTICE = Source(
    "common practice of the trade", "a switch at either end of the travel", Standing.PRACTICE
)
COUNTED = Source("the description", "drive.end_switches and pins.limits", Standing.READ)


def ask(project: Project) -> tuple[Check, ...]:
    """Number of ends at which neither the drive switches itself off nor the board is told.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the drive does not switch itself off and no pins are described.
    """
    if project.drive is None:
        return ()
    own = project.drive.end_switches
    if own is not EndSwitches.INSIDE and project.pins is None:
        return ()
    limits = project.pins.limits if project.pins is not None else None
    pins = {"open": limits.open, "shut": limits.shut} if limits is not None else dict.fromkeys(ENDS)
    missing = {end: own is not EndSwitches.INSIDE and pins[end] is None for end in ENDS}
    steps = [_step(end, own, pins[end], missing=missing[end]) for end in ENDS]
    count = float(sum(missing.values()))
    steps.append(
        Step(
            symbol="n_missing",
            formula="n_open + n_shut",
            numbers={each.symbol: each.result for each in steps},
            result=Number(count, NUMBER),
            words="ends of the travel at which the drive runs on until the run-time cap ends it",
        )
    )
    return (
        Check(
            value=count,
            limit=NONE_MISSING,
            dimension=NUMBER,
            sense=Sense.AT_MOST,
            method=COUNTED,
            limit_from=ENDS_PRACTICE,
            working=tuple(steps),
            levers=_levers(missing),
            meaning=_meaning(own),
        ),
    )


def _meaning(own: EndSwitches) -> str:
    if own is EndSwitches.INSIDE:
        return (
            "Switches inside the drive open at the ends of its stroke, not where the leaf meets its frame: "
            "the controller sees the current vanish there, and must not take that for a broken wire."
        )
    return "Without a switch the drive presses against its stop, stalls, and is fed until the run-time cap."


def _step(end: str, own: EndSwitches, pin: str | None, *, missing: bool) -> Step:
    if missing:
        words = f"{end}: nothing tells the board, and the drive does not switch itself off"
    elif pin is None:
        words = f"{end}: the drive's own switch cuts its current at the end of the stroke"
    elif own is EndSwitches.INSIDE:
        words = f"{end}: the drive's own switch, and one on pin {pin}"
    else:
        words = f"{end}: a switch on pin {pin}"
    return Step(
        symbol=f"n_{end}",
        formula="1" if missing else "0",
        numbers={},
        result=Number(1.0 if missing else 0.0, NUMBER),
        words=words,
    )


def _levers(missing: dict[str, bool]) -> tuple[Pick, ...]:
    wanted: dict[Keys, object] = {("pins", "limits", end): FREE for end in ENDS if missing[end]}
    if not wanted:
        return ()
    ends = " and ".join(end for end in ENDS if missing[end])
    option = Option(f"wire a switch for {ends} to a pin of the board", wanted)
    return (Pick(words="switches at the ends", options=(option,), effort=Effort.REWIRE),)


QUESTION = Question(
    key="drive.end_switches",
    title="Ends of the travel without a switch",
    concern=Concern.FUNCTION,
    needs=(("drive",),),
    ask=ask,
)
