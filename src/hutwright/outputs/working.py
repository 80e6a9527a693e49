"""One check as text: its working with the numbers put in, what moves it, what would change it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hutwright.checks.check import Check
from hutwright.checks.shown import shown
from hutwright.checks.step import Step
from hutwright.checks.verdict import Status, Verdict
from hutwright.description.described import Datum, Described
from hutwright.model.paths import Keys
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.phrasing import (
    cited,
    datum_text,
    doubt_text,
    heading,
    limit_text,
    margin_text,
    range_text,
    reason_text,
    spread_of,
    value_text,
    width_within,
    wrapped,
)
from hutwright.outputs.report import lever_lines, name_of

LEAST_SHARE = 0.005  # of the doubt; what makes less is only named

_STATUS_WORDS = {
    Status.HOLDS: "holds, at the worst end of all that is unsure",
    Status.BARELY: "barely holds: at the worst end the margin is smaller than the method is accurate",
    Status.UNDECIDED: "undecided: it depends on what is not known well enough",
    Status.MISSES: "misses, whatever the unsure values really are",
}


def working(verdict: Verdict, described: Described, *, width: int = 100) -> str:
    """One check with all that leads to it.

    Parameters
    ----------
    verdict : Verdict
        The check.
    described : Described
        The description that it rests on.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = [
        *wrapped(name_of(verdict), width),
        *wrapped(_STATUS_WORDS[verdict.status], width, "  "),
    ]
    if verdict.check.meaning:
        lines += wrapped(verdict.check.meaning, width, "  ")
    lines += [
        *_steps(verdict, width),
        *_answer(verdict, width),
        *_influences(verdict, described.values, width),
    ]
    levers = lever_lines(verdict, width, "  ")
    if levers:
        lines += [*heading("What would change it"), *levers]
    lines += heading("Sources")
    for name, source in (("method", verdict.check.method), ("limit", verdict.worst.limit_from)):
        lines += wrapped(f"{name}: {cited(source)}", width, "  ", "    ")
    lines += ["", *wrapped(STANDING[0], width)]
    return "\n".join(lines) + "\n"


def _steps(verdict: Verdict, width: int) -> list[str]:
    lines = heading("Working, at nominal values")
    for step in verdict.check.working:
        lines += _step(step, width)
    return lines


def _step(step: Step, width: int) -> Iterator[str]:
    symbols, numbers = step.lines()
    yield from wrapped(symbols, width, "  ", "      ")
    yield from wrapped(numbers, width, "    ", "      ")
    if step.words:
        yield from wrapped(step.words, width, "      ")


def _answer(verdict: Verdict, width: int) -> list[str]:
    lines = heading("Answer")
    extent = range_text(verdict)
    lines += wrapped(
        f"nominal:   {_numbers(verdict.check, value_text(verdict))}", width, "  ", "             "
    )
    if extent:
        worst = shown(verdict.worst.value, verdict.check.dimension)
        told = f"worst end: {_numbers(verdict.worst, worst, spread_of(verdict))}"
        lines += wrapped(told, width, "  ", "             ")
        lines += wrapped(f"range:     {extent}", width, "  ")
    doubt = verdict.check.doubt
    if doubt is not None:
        lines += wrapped(
            f"method:    leaves {doubt_text(verdict.check)} open, at nominal values; {doubt.settled_by} "
            f"{'could settle the check' if verdict.method_settles else 'would tell more'}",
            width,
            "  ",
            "             ",
        )
    return lines


def _numbers(check: Check, value: str, spread: float = 0.0) -> str:
    return f"{value}, to be {limit_text(check)}: margin {margin_text(check, spread)}"


def _influences(verdict: Verdict, values: Mapping[Keys, Datum], width: int) -> list[str]:
    if not verdict.influences:
        return [*heading("What moves it"), *wrapped("nothing that it rests on is unsure", width, "  ")]
    lines = heading("What moves it, by share of the doubt")
    for each in verdict.influences:
        datum = values.get(each.path)
        path = ".".join(each.path)
        share = f"{100.0 * each.shrinks:.0f} %".rjust(5) if each.shrinks >= LEAST_SHARE else " <1 %"
        settles = "; knowing it could settle the check" if each.settles else ""
        if datum is None:
            lines += wrapped(f"{path}{settles}", width, f"  {share}  ")
            continue
        reason = reason_text(datum)
        told = f"{path}: {datum_text(datum)}, {datum.origin.value}{f': {reason}' if reason else ''}{settles}"
        lines += wrapped(told, width, f"  {share}  ")
    return lines
