"""What recorded moves say of drive and supply, as text and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hutwright.checks.shown import shown, shown_range
from hutwright.laws.copper import CELSIUS_ZERO
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.contract import FORMAT, finite, si_unit
from hutwright.outputs.offer import change_lines, check_lines, offer_values
from hutwright.outputs.phrasing import (
    columns,
    error_text,
    heading,
    several,
    shortlist,
    width_within,
    wrapped,
)
from hutwright.studies.identify_beside import Beside, Offer
from hutwright.units import NUMBER

Plain = dict[str, Any]
CONSTANT_UNIT = "V s/m"
WIDTHS = (34, 24, 26, 8)  # columns of the table
NOTHING = (
    "Nothing is sure enough to be written down. Record an opening and a closing at a plain switch, the whole "
    "voltage at once, with position_mm, at 500 rows a second or more (docs/traces.md)."
)
ERRORS = (
    "+- is one standard error. A value agrees where its range, two of these and never less than the method's "
    "own accuracy, meets the range that was described."
)


def identification_text(offer: Offer, *, written: bool, width: int = 100) -> str:
    """What was found as text.

    Parameters
    ----------
    offer : Offer
        What was found beside what is described.
    written : bool
        Whether the description was changed.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = wrapped(f"{offer.described.project.name}: what {_moves(offer)} of drive and supply", width)
    lines += ["", *_table(offer.rows, width), "", *wrapped(ERRORS, width), *wrapped(_method(offer), width)]
    lines += heading("Change of hut.toml, made" if written else "Change of hut.toml")
    lines += change_lines(offer, width, written=written, nothing=NOTHING)
    if offer.ready:
        lines += [*heading("What the checks say with it"), *check_lines(offer, width)]
    if offer.found.left_out:
        lines += heading("Left out")
        for sentence in shortlist(offer.found.left_out):
            lines += wrapped(sentence, width, "  - ")
    lines += heading("Cautions")
    for caution in STANDING:
        lines += wrapped(caution, width, "  - ")
    return "\n".join(lines) + "\n"


def _moves(offer: Offer) -> str:
    found = offer.found.moves
    return f"{several(found, 'recorded move', 'recorded moves')} {'says' if found == 1 else 'say'}"


def _method(offer: Offer) -> str:
    found = offer.found
    way = "from the starts and the described stroke" if found.by_start else "from the recorded positions"
    warm = f"{found.temperature - CELSIUS_ZERO:.0f} degC" + ("" if found.told else ", which nobody recorded")
    return f"Resistance and constant come {way}; the moves were made at {warm}."


def _table(rows: Sequence[Beside], width: int) -> list[str]:
    room = width - 2 - 2 * (len(WIDTHS) - 1)
    narrow = min(1.0, room / sum(WIDTHS))
    cells = [("value", "found", "described", "")]
    cells += [
        (each.title, _found(each), _described(each), "agrees" if each.agrees else "differs") for each in rows
    ]
    return columns(cells, [max(7, int(narrow * each)) for each in WIDTHS], "  ")


def _found(each: Beside) -> str:
    told = error_text(each.told.value, each.told.error, each.dimension or NUMBER)
    return f"{told}{_unit(each)}"


def _described(each: Beside) -> str:
    told = shown(each.before, each.dimension or NUMBER)
    if each.low < each.high:
        told = shown_range(each.low, each.high, each.dimension or NUMBER)
    return f"{told}{_unit(each)}, {each.origin.value}"


def _unit(each: Beside) -> str:
    return f" {CONSTANT_UNIT}" if each.dimension is None else ""


def identification_values(offer: Offer, *, written: bool) -> Plain:
    """What was found as plain values, described in docs/json.md.

    Parameters
    ----------
    offer : Offer
        What was found beside what is described.
    written : bool
        Whether the description was changed.
    """
    found = offer.found
    return {
        "format": FORMAT,
        "project": offer.described.project.name,
        "moves": found.moves,
        "by_start": found.by_start,
        "temperature_K": found.temperature,
        "temperature_recorded": found.told,
        "values": [_value(each) for each in offer.rows],
        **offer_values(offer, written=written),
        "left_out": list(found.left_out),
        "cautions": list(STANDING),
    }


def _value(each: Beside) -> Plain:
    return {
        "title": each.title,
        "path": each.path or None,
        "unit": CONSTANT_UNIT if each.dimension is None else si_unit(each.dimension),
        "value": each.told.value,
        "standard_error": finite(each.told.error),
        "low": finite(each.told.value - each.told.quoted),
        "high": finite(each.told.value + each.told.quoted),
        "described": finite(each.before),
        "described_low": finite(each.low),
        "described_high": finite(each.high),
        "origin": each.origin.value,
        "agrees": each.agrees,
    }
