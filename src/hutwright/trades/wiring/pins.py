"""Whether every function finds a pin that can do it."""

from __future__ import annotations

from hutwright.catalogue.boards import BOARDS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.model.circuit import DisplayBus
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.pin_map import FREE, Function, PinMap, assigned
from hutwright.units import NUMBER

NONE_MISSING = 0.0
MATCHING = Source("elementary mathematics", "largest matching of functions to pins", Standing.DERIVED)


def ask(project: Project) -> tuple[Check, ...]:
    """Number of functions without a fitting pin of their own, against none.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where no board is described.
    """
    pins = assigned(project)
    if pins is None or project.electronics is None or project.electronics.board is None:
        return ()
    wrong, left = float(len(pins.conflicts)), float(len(pins.open))
    last = Step(
        symbol="n_missing",
        formula="n_wrong + n_left",
        numbers={"n_wrong": Number(wrong, NUMBER), "n_left": Number(left, NUMBER)},
        result=Number(wrong + left, NUMBER),
        words="functions whose named pin does not do, and functions that no pin is left for",
    )
    said = (
        "Every function needs a pin of its own that can do it.",
        *(f"{_said(note)}." for note in pins.notes),
    )
    return (
        Check(
            value=wrong + left,
            limit=NONE_MISSING,
            dimension=NUMBER,
            sense=Sense.AT_MOST,
            method=MATCHING,
            limit_from=BOARDS[project.electronics.board.kind].pins_source,
            working=(*(_line(each, pins) for each in pins.functions), last),
            levers=WhenWanted(lambda: _levers(project, pins)),
            meaning=" ".join(said),
        ),
    )


def _said(note: str) -> str:
    return f"{note[0].upper()}{note[1:]}"


def _line(function: Function, pins: PinMap) -> Step:
    """One function, and its pin with the reason."""
    missing = function.name not in pins.pins
    if function.name in pins.conflicts:
        words = f"{function.name}: {pins.conflicts[function.name]}"
    elif missing:
        words = f"{function.name}: no pin is left that can do it; {function.reason}"
    else:
        whose = "chosen here" if function.given == FREE else "as described"
        words = f"{function.name} on {pins.pins[function.name]}, {whose}: {function.reason}"
    return Step(
        symbol=function.name.replace(".", "_"),
        formula="1" if missing else "0",
        numbers={},
        result=Number(1.0 if missing else 0.0, NUMBER),
        words=words,
    )


def _levers(project: Project, pins: PinMap) -> tuple[Pick, ...]:
    freed: dict[Keys, object] = {("pins", *name.split(".")): FREE for name in pins.conflicts}
    named = [each.name for each in pins.functions if each.given != FREE]
    whole: dict[Keys, object] = {("pins", *name.split(".")): FREE for name in named}
    options = []
    if freed:
        options.append(Option(f"leave the choice of pin open for {', '.join(pins.conflicts)}", freed))
    if whole and whole != freed:
        options.append(Option("leave the choice of every pin open", whole))
    levers = (
        [Pick(words="pins chosen anew", options=tuple(options), effort=Effort.SETTING)] if options else []
    )
    display = project.electronics.display if project.electronics is not None else None
    if display is not None and display.bus is DisplayBus.PARALLEL:
        bus: dict[Keys, object] = {("electronics", "display", "bus"): DisplayBus.TWO_WIRE.value}
        words = "take a display on the two-wire bus: two pins in place of six"
        both = Option(f"{words}, and leave the choice of every pin open", {**bus, **whole})
        levers.append(
            Pick(
                words="a display with fewer wires",
                options=(Option(words, bus), both),
                effort=Effort.BUY_SMALL,
            )
        )
    return tuple(levers)


QUESTION = Question(
    key="wiring.pins",
    title="Functions without a fitting pin",
    concern=Concern.FUNCTION,
    needs=(("pins",), ("electronics", "board")),
    ask=ask,
)
