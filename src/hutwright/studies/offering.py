"""A change of the description that is offered: what would be written, and what the checks then say."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass

from hutwright.assessment import case_of, trades
from hutwright.checks.judging import judge
from hutwright.checks.verdict import Verdict
from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.folder import DESCRIPTION
from hutwright.description.lines import split
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.description.writing import edit
from hutwright.errors import DescriptionError
from hutwright.model.paths import present
from hutwright.model.watched import Book
from hutwright.studies.compare import Row


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """A change of the description, before anybody has agreed to it.

    Attributes
    ----------
    described : Described
        The description as it was.
    changes : Mapping
        By address what would be written.
    text : str
        The file with these changes.
    lines : tuple of str
        What differs, as the lines of the file.
    fault : str
        Why it is not to be written, such as that the changed description would contradict itself; "" where
        it is.
    differing : tuple of Row
        Checks whose value or status differs with it, worst first.
    same : int
        How many come out the same. [-]
    """

    described: Described
    changes: Mapping[str, object]
    text: str
    lines: tuple[str, ...]
    fault: str
    differing: tuple[Row, ...]
    same: int

    @property
    def ready(self) -> bool:
        """Whether there is something that can be written."""
        return bool(self.changes) and not self.fault


def offer(described: Described, text: str, changes: Mapping[str, object]) -> Offer:
    """What a change of the description would write, and what the checks then say.

    Parameters
    ----------
    described : Described
        The description.
    text : str
        The file that it was read from.
    changes : Mapping
        By address what would be written.
    """
    after_text = edit(text, changes) if changes else text
    after, fault = None, ""
    if changes:
        try:
            after = build(whole(parse_sheet(after_text, DESCRIPTION)))
        except DescriptionError as error:
            fault = f"the description would contradict itself: {error}"
    differing, same = _judged(described, after, changes) if after is not None else ((), 0)
    return Offer(
        described=described,
        changes=changes,
        text=after_text,
        lines=_difference(text, after_text),
        fault=fault,
        differing=differing,
        same=same,
    )


def _difference(before: str, after: str) -> tuple[str, ...]:
    """The lines that differ, each behind where it stands."""
    found = difflib.unified_diff(
        before.splitlines(), after.splitlines(), DESCRIPTION, DESCRIPTION, n=0, lineterm=""
    )
    return tuple(found)


def _judged(
    described: Described, after: Described, changes: Mapping[str, object]
) -> tuple[tuple[Row, ...], int]:
    """Checks that come out otherwise, worst first, and how many do not.

    Trades that do not read what changes are not asked, and no lever is looked for.
    """
    touched = {split(path)[0] for path in changes}
    book = Book()
    try:
        before, then = (_verdicts(each, touched, book) for each in (described, after))
    finally:
        book.forget()
    rows = [
        Row(
            key=key,
            question=(before.get(key) or then[key]).question,
            answers=(before.get(key), then.get(key)),
        )
        for key in dict.fromkeys((*before, *then))
    ]
    differing = sorted((row for row in rows if row.differs), key=lambda row: row.rank, reverse=True)
    return tuple(differing), len(rows) - len(differing)


def _verdicts(described: Described, touched: set[str], book: Book) -> dict[str, Verdict]:
    case, found = case_of(described, book), dict[str, Verdict]()
    for trade in trades():
        if touched.isdisjoint(trade.reads):
            continue
        for question in trade.questions:
            if all(present(described.project, path) for path in question.needs):
                found |= {
                    each.key: each for each in judge(question, case.within(trade.reads), doubts_of_all=False)
                }
    return found
