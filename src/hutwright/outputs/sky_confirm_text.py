"""What the full wave says beside the integral, as text."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hutwright.model.project import Project
from hutwright.outputs.phrasing import columns, heading, listed, width_within, wrapped
from hutwright.plant.sky.wave_accuracy import doubts
from hutwright.studies.sky_confirm import COMPARED_DB, Both, Confirmation, Reckoning, state_text

NUMBERS = {None: "as described", 0: "no window", 1: "the best one", 2: "the best two", 3: "the best three"}
METHOD = (
    "Full wave: Maxwell's equations by finite differences through the hut as described, the antenna at the "
    "middle of where it may be. The integral stands here for the same place, where above it is a mean over "
    "all places. What neither knows: what stands inside, what the ground throws back, and what your boards "
    "really are."
)
DIFFER = (
    "Where the integral's count lies beyond what the full wave's accuracy allows, both are told as a range: "
    "take the full wave's end for the likelier one, and a reading for the judge."
)


def confirmation_text(found: Confirmation, *, width: int = 100) -> str:
    """What the full wave says beside the integral, as text.

    Parameters
    ----------
    found : Confirmation
        What came of asking it.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = heading("Confirmed by the full wave")[1:]
    rows: list[tuple[str, ...]] = [("", "satellites", "ready", "full wave", "integral", "levels")]
    rows += [_row(each) for each in found.found]
    if found.found:
        lines += _table(rows, width)
        lines.append("")
    for sentence in _said(found):
        lines += wrapped(sentence, width, "  - ")
    return "\n".join(lines) + "\n"


def _table(rows: list[tuple[str, ...]], width: int) -> list[str]:
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    if sum(widths) + 2 * len(widths) <= width:
        return columns(rows, widths, "  ")
    heads, *others = rows
    lines = []
    for name, *cells in others:
        told = "; ".join(f"{head} {cell}" for head, cell in zip(heads[1:], cells, strict=True))
        lines += wrapped(f"{name}: {told}", width, "  ", "    ")
    return lines


def name_text(both: Both) -> str:
    """Which hut in which state."""
    return f"{NUMBERS[both.windows]}, {state_text(both.state)}"


def count_text(both: Both) -> str:
    """How many satellites count, as a range where the methods differ."""
    low, high = (round(each) for each in both.count)
    return f"{low}" if low == high else f"{low}..{high}"


def _row(both: Both) -> tuple[str, ...]:
    least, most = (round(100.0 * each) for each in both.ready)
    levels = "all weak" if math.isnan(both.rms_db) else f"{both.rms_db:.1f} dB rms, {both.mean_db:+.1f} dB"
    return (
        name_text(both),
        count_text(both),
        f"{least} %" if least == most else f"{least}..{most} %",
        _span(both.full_wave),
        _span(both.integral),
        levels,
    )


def _span(one: Reckoning) -> str:
    fewest, count, most = (round(each) for each in (one.fewest, one.count, one.most))
    return f"{count}" if fewest == most else f"{count} ({fewest}..{most})"


def _said(found: Confirmation) -> Iterator[str]:
    if any(each.differ for each in found.found):
        yield DIFFER
    yield METHOD
    for words in dict.fromkeys(each.full_wave.accuracy for each in found.found):
        yield f"The full wave: {words}."
    for words in dict.fromkeys(each.integral.accuracy for each in found.found):
        yield f"The integral: {words}."
    yield (
        "Levels: the integral over the full wave, in directions where that leaves more than "
        f"{COMPARED_DB:.0f} dB. In brackets stands what each method's accuracy leaves open."
    )
    if found.other_pattern:
        yield "The full wave's antenna hears as a small patch does, and not as the described one."
    for each in found.left_out:
        yield f"Not asked for {each}."
    if not found.complete:
        yield f"Stopped after {len(found.found)} of {found.asked}; what is done is kept for the next time."


def doubt_text(project: Project) -> str:
    """Why the full wave should be asked; "" where nothing speaks for it.

    Parameters
    ----------
    project : Project
        The project.
    """
    reasons = doubts(project)
    if not reasons:
        return ""
    return (
        f"Here the method is doubtful: {listed(reasons)}. Let the full wave work it out as well: "
        "hutwright sky DIR --confirm."
    )
