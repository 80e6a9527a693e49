"""A look at the sky over a hut, as text: how ready, from where, what would help."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import pairwise

from hutwright.outputs.phrasing import columns, heading, listed, several, width_within, wrapped
from hutwright.outputs.sky_confirm_text import confirmation_text, doubt_text
from hutwright.outputs.sky_text import explanation_text, placement_text, readiness_text, readings_text
from hutwright.plant.sky.inside import FLOOR_DB, Season, loss_text
from hutwright.studies.sky_look import Look, RealDay, StateReady
from hutwright.studies.sky_views import BANDS, Band, Outline, Sector

WEATHER = {Season.DESCRIBED: "as described", Season.RAIN: "rain", Season.THAW: "thaw"}
MOST_STRETCHES = 6  # of too few satellites that are told: ours to choose
PLANNED = (
    "Good for shares of a day, for no certain hour. In brackets stands what the method's accuracy leaves "
    "open. Rain: soaked walls and half a millimetre of water on the panes; thaw: wet snow on roof and panes."
)


def sky_look_text(look: Look, *, width: int = 100) -> str:
    """A look at the sky as text.

    Parameters
    ----------
    look : Look
        What was found.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    described = look.described
    variant = f', variant "{described.title or described.variant}"' if described.variant else ""
    lines = wrapped(f"{described.project.name}{variant}: satellites inside the hut", width)
    lines += heading("Share of the day ready")
    lines += _states(look.states, width)
    lines.append("")
    lines += wrapped(_wanted(look), width, "  ")
    lines += wrapped(PLANNED, width, "  ")
    for sentence in dict.fromkeys(_methods(look)):
        lines += wrapped(sentence, width, "  ")
    lines += heading("Where the sky is empty")
    lines += wrapped(band_text(look.band), width, "  ")
    lines += heading("What the hut leaves by direction")
    lines += _sectors(look.sectors, width)
    lines.append("")
    for sentence in _directions(look):
        lines += wrapped(sentence, width, "  - ")
    if look.real is not None:
        lines += heading(f"Real orbits: {date_text(look.real.start)}")
        for sentence in _real(look.real, look.least):
            lines += wrapped(sentence, width, "  ")
    text = "\n".join(lines) + "\n"
    if look.placement is not None:
        text += "\n" + placement_text(look.placement, look.ways, width=width)
    text += _confirmed(look, width) + _seen(look, width)
    return text


def _confirmed(look: Look, width: int) -> str:
    return "" if look.confirmation is None else "\n" + confirmation_text(look.confirmation, width=width)


def _seen(look: Look, width: int) -> str:
    """What readings and incidents say."""
    text = ""
    if look.readings is not None:
        text += "\n" + readings_text(look.readings, width=width)
    elif look.readings_why_not:
        told = [*heading("Readings")[1:], *wrapped(look.readings_why_not, width, "  ")]
        text += "\n" + "\n".join(told) + "\n"
    if look.incidents is not None:
        text += "\n" + explanation_text(look.incidents, width=width)
    return text


# ---- how ready --------------------------------------------------------------------------------------------


def _states(states: Sequence[StateReady], width: int) -> list[str]:
    rows = [("", *(WEATHER[season] for season in Season))]
    for is_open, name in ((False, "door shut"), (True, "door open")):
        found = [each for each in states if each.is_open is is_open]
        if found:
            rows.append((name, *(_state(each) for each in found)))
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    if sum(widths) + 2 * len(widths) <= width:
        return columns(rows, widths, "  ")
    heads, *others = rows
    lines = []
    for name, *cells in others:
        told = "; ".join(f"{head} {cell}" for head, cell in zip(heads[1:], cells, strict=True))
        lines += wrapped(f"{name}: {told}", width, "  ", "    ")
    return lines


def _state(state: StateReady) -> str:
    found = state.readiness
    if found is None:
        return "unknown"
    return f"{readiness_text(found)}, {found.count:.0f} satellites"


def _wanted(look: Look) -> str:
    shared = "" if look.described.project.roof_antenna is None else " that the roof antenna hears too"
    return (
        f"The start rule asks for {look.least} satellites{shared}, well enough spread, for "
        f"{100.0 * look.wanted:.0f} % of the day. The satellites are those of the constellations as planned."
    )


def _methods(look: Look) -> Iterator[str]:
    """How good the method is, and whether a better one should be asked."""
    yield from _accuracies(look.states)
    doubt = doubt_text(look.described.project)
    if doubt and look.confirmation is None:
        yield doubt


def _accuracies(states: Iterable[StateReady]) -> Iterator[str]:
    for each in states:
        if each.readiness is None:
            yield f"The door open: {each.why_not}."
        else:
            yield f"The method: {each.readiness.accuracy}."


# ---- directions -------------------------------------------------------------------------------------------


def _degrees(angle: float) -> int:
    return round(math.degrees(angle))


def band_text(band: Band | None) -> str:
    """Where no satellite ever stands."""
    if band is None:
        return "Satellites come to every part of this sky."
    ends = f"{_degrees(band.low)} to {_degrees(band.high)} deg up"
    where = "all round"
    if not band.around:
        where = f"from {_degrees(band.left)} over the pole's side to {_degrees(band.right)} deg"
    return (
        f"No satellite ever stands {where} from true north, {ends}: {100.0 * band.share:.0f} % of the sky. "
        "A window that looks only there is for nothing."
    )


def _sectors(found: Sequence[Sector], width: int) -> list[str]:
    rows = [("", *(f"{_degrees(low)}..{_degrees(high)} deg up" for low, high in pairwise(BANDS)))]
    for name in dict.fromkeys(each.towards for each in found):
        rows.append((name, *(_sector(each) for each in found if each.towards == name)))
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    if sum(widths) + 2 * len(widths) <= width:
        return columns(rows, widths, "  ")
    heads, *others = rows
    lines = []
    for name, *cells in others:
        lines.append(f"  {name}:")
        for head, cell in zip(heads[1:], cells, strict=True):
            lines += wrapped(f"{head}: {cell}", width, "    ", "      ")
    return lines


def _sector(sector: Sector) -> str:
    dry, rain, _ = sector.levels_db
    share = "hardly any" if sector.heard is None else f"{100.0 * sector.heard:.0f} % heard"
    return f"{_level(dry)}, rain {_level(rain)}; {share}"


def _level(level_db: float) -> str:
    """A level in whole decibels, which is as good as the method is."""
    return loss_text(level_db) if level_db <= FLOOR_DB else f"{round(level_db)} dB"


def _directions(look: Look) -> Iterator[str]:
    yield (
        "Level inside over that with no hut, the door shut, as described and in rain. A satellite overhead "
        f"may lose {look.room_db:.1f} dB before it is not heard any more, a low one less, because the "
        "antenna itself hears low ones weaker. Heard: share of the satellites clear of the skyline, "
        "as described."
    )
    told = [each for each in look.sectors if each.heard is not None]
    for words, chosen in (
        ("Heard best", sorted(told, key=lambda each: -(each.heard or 0.0))[:3]),
        (
            "Most satellites are lost",
            sorted(told, key=lambda each: -each.satellites * (1.0 - (each.heard or 0.0)))[:3],
        ),
    ):
        if chosen:
            yield f"{words} towards {listed(_named(each) for each in chosen)}."
    for each in look.outlines:
        yield _outline(each)


def _named(sector: Sector) -> str:
    return f"{sector.towards} at {_degrees(sector.low)}..{_degrees(sector.high)} deg"


def _outline(outline: Outline) -> str:
    low, high = (_degrees(float(each)) for each in (outline.elevation.min(), outline.elevation.max()))
    return f"The antenna sees {outline.name} towards {outline.towards}, {low}..{high} deg up."


# ---- real orbits ------------------------------------------------------------------------------------------


def date_text(moment: datetime) -> str:
    """A day."""
    return f"{moment:%Y-%m-%d}"


def clock_text(moment: datetime) -> str:
    """A clock time with its zone."""
    return f"{moment:%H:%M} {moment.tzname() or ''}".rstrip()


def _real(real: RealDay, least: int) -> Iterator[str]:
    mean, low, high = real.counts
    yield (
        f"From {real.origin}. On that day, the hut as described and the door shut, {mean:.1f} satellites "
        f"count on average, {low} at least and {high} at most."
    )
    if real.lacking:
        names = listed(each.value for each in real.lacking)
        yield f"These files know too little of {names}, whose satellites are left out: fetch files with them."
    if not real.short:
        yield f"There are {least} or more all day."
        return
    if bool((real.over.shared.sum(axis=1) < least).all()):
        yield f"Fewer than {least} count all day."
        return
    told = [
        f"{clock_text(real.clock(first))} to {clock_text(real.clock(last))}"
        for first, last in real.short[:MOST_STRETCHES]
    ]
    more = len(real.short) - len(told)
    after = f", and in {several(more, 'more stretch', 'more stretches')}" if more else ""
    yield (
        f"Fewer than {least} count from {listed(told)}{after}. The same sky comes back four minutes earlier "
        "every day; a month later fetch new files."
    )
