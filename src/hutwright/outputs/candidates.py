"""Candidates ranked, drives side by side, and what to pack for the way out, as text and as plain values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from hutwright import units
from hutwright.assessment import Assessment
from hutwright.checks.shown import shown
from hutwright.checks.verdict import Status, Verdict
from hutwright.description.described import Described
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.comparison import drive_lines
from hutwright.outputs.contract import FORMAT
from hutwright.outputs.phrasing import columns, heading, several, width_within, wrapped
from hutwright.outputs.report import name_of
from hutwright.studies.candidates import Tried
from hutwright.studies.compare import compare
from hutwright.studies.next_reading import Suggestion

Plain = dict[str, Any]
WIDTHS = (3, 20, 8, 12, 7, 6, 28)
MOST_FAULTS = 3
RANKED = (
    "Ranked by what misses, first of what can hurt; then by what stays undecided; then by the price. What a "
    "row leaves out is assumed as a range, so that a listing with few numbers stays undecided longer."
)
TOOLS = ("tape, rule, phone with its level", "luggage scale", "multimeter with leads and clips", "stopwatch")


def candidates_text(
    base: Assessment, tried: Sequence[Tried], next_up: Sequence[Suggestion], *, width: int = 100
) -> str:
    """Candidates as text, the best first.

    Parameters
    ----------
    base : Assessment
        Of the description as it stands.
    tried : Sequence
        The candidates, the best first.
    next_up : Sequence
        What to measure next with the best of them.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = wrapped(
        f"{base.described.project.name}: {several(len(tried), 'candidate', 'candidates')}, the best first",
        width,
    )
    lines += ["", *columns(list(_table(tried)), WIDTHS, "  "), "", *wrapped(RANKED, width)]
    sound = [each.assessment for each in tried if each.assessment is not None]
    if sound:
        lines += drive_lines(compare(base, sound), width)
    for each in tried:
        if each.fault:
            lines += heading(f"{each.candidate.name} cannot be")
            for sentence in each.fault.splitlines()[:MOST_FAULTS]:
                lines += wrapped(sentence, width, "  ")
    if sound:
        lines += heading(f"To pack for the way out, with {tried[0].candidate.name}")
        for thing in packing(sound[0].described, next_up):
            lines += wrapped(thing, width, "  [ ] ")
    lines += ["", *wrapped(STANDING[0], width)]
    return "\n".join(lines) + "\n"


def _table(tried: Sequence[Tried]) -> Iterator[tuple[str, ...]]:
    yield ("", "name", "price", "misses (safety)", "open", "holds", "the worst of it")
    for number, each in enumerate(tried, 1):
        name, price = each.candidate.name, each.candidate.price_text or "?"
        if each.assessment is None:
            yield (f"{number}.", name, price, "-", "-", "-", "cannot be: see below")
            continue
        holds = each.count(Status.HOLDS) + each.count(Status.BARELY)
        yield (
            f"{number}.",
            name,
            price,
            f"{each.count(Status.MISSES)} ({each.count(Status.MISSES, safety=True)})",
            str(each.count(Status.UNDECIDED)),
            str(holds),
            _worst(each.assessment),
        )


def _worst(assessment: Assessment) -> str:
    worst = max(assessment.verdicts, key=lambda each: (each.status.rank, each.question.concern), default=None)
    if worst is None or worst.status in (Status.HOLDS, Status.BARELY):
        return "nothing"
    return _short_name(worst)


def _short_name(verdict: Verdict) -> str:
    return name_of(verdict).partition(" [")[0]


def packing(described: Described, next_up: Sequence[Suggestion]) -> Iterator[str]:
    """What to take along: the drive, what feeds it, and what the open questions are measured with.

    Parameters
    ----------
    described : Described
        The description with the candidate in it.
    next_up : Sequence
        What to measure next.
    """
    project = described.project
    if project.drive is not None:
        yield f"the drive {described.variant}, its two pins and brackets"
    for name, cable in project.cables.items():
        yield f"cable {name}: {1.1 * cable.length:.1f} m of {cable.core}, a tenth more than described"
    for name, fuse in project.fuses.items():
        yield f"fuse {name}: {shown(fuse.rating, units.CURRENT)}, {fuse.kind}, and two more"
    if project.electronics is not None and project.electronics.bridge is not None:
        yield f"bridge: {project.electronics.bridge.kind}"
    for name, regulator in project.regulators.items():
        yield f"regulator {name}: {regulator.kind}"
    yield from TOOLS
    for way in dict.fromkeys((way.key, way.title) for each in next_up for way in each.ways[:1]):
        yield f"the site sheet, for {way[0]}: {way[1]}"


def candidates_values(base: Assessment, tried: Sequence[Tried], next_up: Sequence[Suggestion]) -> Plain:
    """Candidates as plain values, described in docs/json.md.

    Parameters
    ----------
    base : Assessment
        Of the description as it stands.
    tried : Sequence
        The candidates, the best first.
    next_up : Sequence
        What to measure next with the best of them.
    """
    best = next((each.assessment for each in tried if each.assessment is not None), None)
    return {
        "format": FORMAT,
        "project": base.described.project.name,
        "candidates": [
            {
                "name": each.candidate.name,
                "price": each.candidate.price,
                "changes": {".".join(path): value for path, value in each.candidate.changes.items()},
                "fault": each.fault or None,
                "counts": None
                if each.assessment is None
                else {status.value: each.count(status) for status in Status},
            }
            for each in tried
        ],
        "packing": [] if best is None else list(packing(best.described, next_up)),
    }
