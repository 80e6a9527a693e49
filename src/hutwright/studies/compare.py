"""Variants side by side: what each changes in the file, and the checks that come out differently."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from hutwright.assessment import Assessment
from hutwright.checks.check import Question
from hutwright.checks.verdict import Verdict
from hutwright.description.described import Described
from hutwright.description.lines import join
from hutwright.model.paths import Keys

BASE_TITLE = "as described"


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One value that a variant writes otherwise.

    Attributes
    ----------
    path : str
        Its dotted address.
    before : object
        What the description says; None where it says nothing.
    after : object
        What the variant says; None where it leaves it out.
    """

    path: str
    before: object
    after: object


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """The description or one of its variants.

    Attributes
    ----------
    name : str
        Name of the variant, "" for the description as it stands.
    title : str
        What to call it.
    changes : tuple
        What it changes in the file.
    assessment : Assessment
        How it comes out.
    """

    name: str
    title: str
    changes: tuple[Change, ...]
    assessment: Assessment


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One check over all columns.

    Attributes
    ----------
    key : str
        Its key.
    question : Question
        What is asked.
    answers : tuple
        Its verdict in every column; None where it is not asked.
    """

    key: str
    question: Question
    answers: tuple[Verdict | None, ...]

    @property
    def differs(self) -> bool:
        """Whether the columns do not all say the same."""
        first = _answer(self.answers[0])
        return any(_answer(each) != first for each in self.answers[1:])

    @property
    def rank(self) -> tuple[int, int]:
        """Worst status over the columns, then what is at stake."""
        return max(each.status.rank for each in self.answers if each is not None), int(self.question.concern)


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """Variants side by side.

    Attributes
    ----------
    project : str
        Name of the project.
    columns : tuple
        The description first, then the variants.
    rows : tuple
        The checks that differ, the worst first.
    same : tuple
        Keys of the checks that come out the same everywhere.
    """

    project: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    same: tuple[str, ...]

    @property
    def short(self) -> bool:
        """Whether anything misses or is undecided in any column."""
        return any(column.assessment.short for column in self.columns)


def compare(base: Assessment, others: Sequence[Assessment]) -> Comparison:
    """An assessment beside those of its variants.

    Parameters
    ----------
    base : Assessment
        Of the description as it stands.
    others : sequence of Assessment
        Of its variants, in the order in which they are to be shown.

    Returns
    -------
    Comparison
        Columns, and the checks whose value or status differs, the worst first.
    """
    columns = tuple(_column(base, each) for each in (base, *others))
    found = [{verdict.key: verdict for verdict in column.assessment.verdicts} for column in columns]
    rows = []
    for key in dict.fromkeys(key for column in found for key in column):
        answers = tuple(column.get(key) for column in found)
        question = next(each.question for each in answers if each is not None)
        rows.append(Row(key=key, question=question, answers=answers))
    differing = sorted((row for row in rows if row.differs), key=lambda row: row.rank, reverse=True)
    return Comparison(
        project=base.described.project.name,
        columns=columns,
        rows=tuple(differing),
        same=tuple(row.key for row in rows if not row.differs),
    )


def changes(base: Described, other: Described) -> tuple[Change, ...]:
    """What another description of the same project says otherwise; a table that is new or gone is one change.

    Parameters
    ----------
    base : Described
        The description.
    other : Described
        A variant of it.

    Returns
    -------
    tuple of Change
        In the order of the files.
    """
    return tuple(_differing(base.merged.data, other.merged.data, ()))


def _differing(before: Mapping[str, object], after: Mapping[str, object], path: Keys) -> Iterator[Change]:
    """What differs between two tables; a table that only one of them has is one change."""
    for key in dict.fromkeys((*before, *after)):
        one, two = before.get(key), after.get(key)
        if isinstance(one, dict) and isinstance(two, dict):
            yield from _differing(one, two, (*path, key))
        elif one != two:
            yield Change(path=join(*path, key), before=copy.deepcopy(one), after=copy.deepcopy(two))


def _column(base: Assessment, own: Assessment) -> Column:
    described = own.described
    return Column(
        name=described.variant,
        title=described.title or described.variant or BASE_TITLE,
        changes=changes(base.described, described),
        assessment=own,
    )


def _answer(verdict: Verdict | None) -> object:
    """What a reader would see of a verdict; two that are NaN at the same place are the same."""
    if verdict is None:
        return None
    numbers = (verdict.check.value, verdict.low, verdict.high, verdict.worst.limit, verdict.margin)
    return (verdict.status, *(repr(number) for number in numbers))
