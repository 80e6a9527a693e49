"""A change of the description that is offered, as text and as plain values for JSON."""

from __future__ import annotations

from typing import Any

from hutwright.checks.verdict import Verdict
from hutwright.outputs.comparison import NOT_ASKED, answer_text, answer_values
from hutwright.outputs.contract import si_unit
from hutwright.outputs.phrasing import several, wrapped
from hutwright.studies.compare import Row
from hutwright.studies.offering import Offer

Plain = dict[str, Any]
SAME = "None: the description says the same already."


def change_lines(offer: Offer, width: int, *, written: bool, nothing: str) -> list[str]:
    """What would be written, or was.

    Parameters
    ----------
    offer : Offer
        The change.
    width : int
        Columns of the screen. [-]
    written : bool
        Whether it was.
    nothing : str
        What to say where there is no change at all.
    """
    if not offer.changes:
        return wrapped(nothing, width)
    if offer.fault:
        return [*offer.lines, "", *wrapped(f"It is not written: {offer.fault}", width)]
    if not offer.lines:
        return wrapped(SAME, width)
    how = "" if written else "Written with --write; nothing is written without it."
    return [*offer.lines, *(["", how] if how else [])]


def check_lines(offer: Offer, width: int) -> list[str]:
    """What the checks say with a change, those first that come out otherwise.

    Parameters
    ----------
    offer : Offer
        The change.
    width : int
        Columns of the screen. [-]
    """
    turned = [row for row in offer.differing if _status(row.answers[0]) != _status(row.answers[1])]
    lines: list[str] = []
    for row in turned:
        before, then = row.answers
        told = f"{row.question.title} [{row.key}]: {_verdict(then)}; before: {_verdict(before)}"
        lines += wrapped(told, width, "  - ")
    moved = len(offer.differing) - len(turned)
    told = (
        f"{_sentence(len(turned), 'comes', 'come')} out otherwise"
        if turned
        else "No check comes out otherwise"
    )
    rest = f"{moved} only differ in their numbers, {offer.same} come out the same"
    return [*wrapped(f"{told}; {rest}. Trades that read none of these values were not asked.", width), *lines]


def offer_values(offer: Offer, *, written: bool) -> Plain:
    """A change as plain values, described in docs/json.md.

    Parameters
    ----------
    offer : Offer
        The change.
    written : bool
        Whether it was written.
    """
    return {
        "changes": [{"path": path, "value": value} for path, value in offer.changes.items()],
        "lines": list(offer.lines),
        "fault": offer.fault or None,
        "written": written,
        "checks": [_row(row) for row in offer.differing],
        "same": offer.same,
    }


def _sentence(count: int, one: str, many: str) -> str:
    return f"{several(count, 'check', 'checks')} {one if count == 1 else many}"


def _status(verdict: Verdict | None) -> str:
    return NOT_ASKED if verdict is None else verdict.status.value


def _verdict(verdict: Verdict | None) -> str:
    return NOT_ASKED if verdict is None else answer_text(verdict)


def _row(row: Row) -> Plain:
    before, then = row.answers
    some = then or before
    assert some is not None  # a row has one at least
    return {
        "key": row.key,
        "title": row.question.title,
        "unit": si_unit(some.check.dimension),
        "before": _answer(before),
        "after": _answer(then),
    }


def _answer(verdict: Verdict | None) -> Plain | None:
    if verdict is None:
        return None
    return {key: value for key, value in answer_values(verdict).items() if key != "sense"}
