"""Roof windows that were placed, and what readings and incidents say, as text."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence

from hutwright.description.lines import join
from hutwright.model.paths import Keys
from hutwright.outputs.phrasing import columns, heading, several, width_within, wrapped
from hutwright.studies.incidents import Explains, Explanation
from hutwright.studies.placement import SCATTER, Layout, Placement, Readiness
from hutwright.studies.readings import ReadingsFit
from hutwright.studies.readings_likelihood import Fitted
from hutwright.studies.sky_ways import Way
from hutwright.studies.window_places import WindowPlace

NUMBERS = ("no window", "the best one", "the best two", "the best three")
SEARCHED = (
    "Searched in rain: soaked walls, half a millimetre of water on the panes. One window is the best of all "
    "places tried; two and three cannot be made better by moving or exchanging any one of them, which is no "
    "proof that no other set is better."
)
PLANNED = (
    "Shares of a day are those of the constellations as planned. In brackets stands what the method's "
    "accuracy leaves open."
)
CORRELATION_ONLY = (
    "That starts fail when few satellites are in view does not prove the cause: whatever else comes and goes "
    "with the hour of the day does the same."
)


def placement_text(found: Placement, ways: Sequence[Way] = (), *, width: int = 100) -> str:
    """Roof windows and what else would help, as text.

    Parameters
    ----------
    found : Placement
        What came of the search.
    ways : Sequence
        What else was tried; empty where nothing was.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = heading("Roof windows: share of the day ready")[1:]
    rows: list[tuple[str, ...]] = [("", "in rain", "dry", "thaw", "satellites", "cut out")]
    rows += [_row(each) for each in found.layouts]
    lines += _table(rows, width)
    for each in found.layouts[1:]:
        lines += ["", f"  {_named(each).capitalize()}:"]
        for window in each.windows:
            lines += wrapped(window_text(window), width, "    - ")
    lines += heading("What this says")
    for sentence in _said(found):
        lines += wrapped(sentence, width, "  - ")
    if ways:
        lines += heading("What else was tried, in rain")
        for way in ways:
            lines += wrapped(way_text(way), width, "  - ")
    lines += heading("What this rests on")
    for sentence in (SEARCHED, PLANNED, _effort(found), f"The method: {found.layouts[0].wet.accuracy}."):
        lines += wrapped(sentence, width, "  - ")
    return "\n".join(lines) + "\n"


def _named(layout: Layout) -> str:
    return NUMBERS[len(layout.windows)]


def _row(layout: Layout) -> tuple[str, ...]:
    return (
        _named(layout),
        readiness_text(layout.wet),
        readiness_text(layout.dry),
        readiness_text(layout.thaw),
        f"{layout.wet.count:.0f} in rain, {layout.dry.count:.0f} dry",
        f"{layout.area:.2f} m2" if layout.windows else "",
    )


def _table(rows: Sequence[tuple[str, ...]], width: int) -> list[str]:
    """Rows under their heads side by side, or row by row in words on a narrow screen."""
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    if sum(widths) + 2 * len(widths) <= width:
        return columns(rows, widths, "  ")
    heads, *others = rows
    lines = []
    for name, *cells in others:
        parts = [f"{head} {cell}".strip() for head, cell in zip(heads[1:], cells, strict=True) if cell]
        lines += wrapped(f"{name}: {'; '.join(parts)}", width, "  ", "    ")
    return lines


def readiness_text(readiness: Readiness) -> str:
    """A share of the day with its range."""
    least, ready, most = (round(100.0 * each) for each in (readiness.least, readiness.ready, readiness.most))
    return f"{ready} %" if least == most else f"{ready} % ({least}..{most})"


def window_text(window: WindowPlace) -> str:
    """Where a window is cut, as one measures it out."""
    left, low = round(1e3 * window.across[0]), round(1e3 * window.along[0])
    wide = round(1e3 * (window.across[1] - window.across[0]))
    long = round(1e3 * (window.along[1] - window.along[0]))
    return (
        f"sheet of {window.sheet.name}, clear opening {wide} mm wide and {long} mm up the slope, in "
        f"{window.face}: {left} mm from the left and {low} mm from the low edge, counted from the walls' "
        "outer faces and seen from the low side"
    )


def _said(found: Placement) -> Iterable[str]:
    if not found.complete:
        yield "The search was ended early; better layouts may be left."
    if len(found.layouts) == 1:
        if found.complete:
            yield "No window of a size on sale fits between the timbers."
        return
    if found.first_wasted:
        yield (
            f"The first window alone is wasted: it adds {_added(found.layouts[1])}, less than the "
            f"{SCATTER:.0f} by which a reading scatters."
        )
    for each in found.layouts[1:]:
        if not each.seen and not (found.first_wasted and len(each.windows) == 1):
            yield f"The last of {_named(each)} adds {_added(each)}: no reading would show it."
    share, enough = round(100.0 * found.wanted), found.enough
    if enough is None:
        best = max(found.layouts, key=lambda layout: layout.wet.ready)
        yield (
            f"Windows alone do not do it: the start rule asks for {share} % of the day, and with "
            f"{_named(best)} it is ready for {readiness_text(best.wet)} of it in rain."
        )
    elif enough.windows:
        sure = "" if enough.wet.least >= found.wanted else ", though the method's accuracy leaves it open"
        yield f"{_named(enough).capitalize()} will do for {share} % of the day in rain{sure}."
    else:
        yield f"No window is needed: without any it is ready for {share} % of the day in rain."


def _added(layout: Layout) -> str:
    return f"{layout.adds_wet:.1f} satellites in rain and {layout.adds_dry:.1f} dry"


def way_text(way: Way) -> str:
    """One thing that was tried, and what came of it."""
    if way.after is None:
        return f"{way.words}: cannot be done here ({way.why_not})"
    shares = f"{readiness_text(way.before)} -> {readiness_text(way.after)}"
    verdict = "helps" if way.helps else "makes it worse" if way.gain < -0.01 else "no help"
    return f"{way.words}: {verdict}; ready {shares}, {way.adds:+.1f} satellites"


def _effort(found: Placement) -> str:
    kept = f"{several(len(found.kept), 'window', 'windows')} kept; " if found.kept else ""
    return (
        f"{kept}{found.places} places and sizes for each window, at most {round(1e3 * found.step)} mm apart; "
        f"{found.tried} layouts worked out."
    )


# ---- readings ---------------------------------------------------------------------------------------------


def readings_text(fit: ReadingsFit, *, width: int = 100) -> str:
    """What readings of the sky say, as text.

    Parameters
    ----------
    fit : ReadingsFit
        What they say.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = heading(f"What {several(fit.readings, 'reading', 'readings')} say, at 95 %")[1:]
    rows: list[tuple[str, ...]] = [
        ("", "value and interval"),
        ("threshold of the receiver", _fitted(fit.threshold_db, "dB-Hz")),
        ("satellite overhead, in the open", _fitted(fit.overhead_db, "dB-Hz")),
        ("wetness of the walls, 0 dry, 1 soaked", _fitted(fit.wetness, "", digits=2)),
        ("counted too many", _fitted(fit.bias, "satellites")),
    ]
    lines += _table(rows, width)
    lines += heading("What it leaves open")
    for sentence in fit.doubts:
        lines += wrapped(sentence, width, "  - ")
    lines += heading("What hut.toml could be changed to")
    lines += [f"  {line}" for line in change_lines(fit.changes)] or ["  nothing: the intervals are too wide"]
    lines += ["  (Nothing is changed by itself.)"]
    return "\n".join(lines) + "\n"


def _fitted(fitted: Fitted | None, unit: str, *, digits: int = 1) -> str:
    if fitted is None:
        return "not fitted: no signal was written down"
    value, low, high = (f"{each:.{digits}f}" for each in (fitted.value, fitted.low, fitted.high))
    after = f" {unit}" if unit else ""
    return f"{value}{after} ({low}..{high})"


def change_lines(changes: Mapping[Keys, object]) -> list[str]:
    """Changes of the description as lines of its file, each with the whole address of the value.

    Parameters
    ----------
    changes : Mapping
        Address to value; None takes a value out.
    """
    return [
        f"{join(*path)}: take it out" if value is None else f"{join(*path)} = {_spelled(value)}"
        for path, value in changes.items()
    ]


def _spelled(value: object) -> str:
    """A value as the file spells it."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_spelled(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_spelled(each) for each in value) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return "true" if value is True else "false" if value is False else str(value)


def explanation_text(found: Explanation, *, width: int = 100) -> str:
    """Whether the sky explains the incidents, as text.

    Parameters
    ----------
    found : Explanation
        What the incidents say.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = heading("Does the sky explain the failed starts?")[1:]
    for sentence in _explained(found):
        lines += wrapped(sentence, width, "  ")
    for sentence in found.reasons:
        lines += wrapped(sentence, width, "  - ")
    return "\n".join(lines) + "\n"


def _explained(found: Explanation) -> Iterable[str]:
    strength = f", and the evidence for that is {found.strength}" if found.strength else ""
    yield f"{found.verdict.value[:1].upper()}{found.verdict.value[1:]}{strength}."
    yield (
        f"{found.used} of {several(found.given, 'incident', 'incidents')} could be held against the sky; "
        f"{found.failures} of those did not start."
    )
    if found.log_ratio is None or found.balance is None:
        return
    yield (
        f"When it started {found.count_started:.1f} satellites should have counted on average, when it did "
        f"not {found.count_failed:.1f}. Logarithm of the ratio of likelihoods, sky against chance: "
        f"{found.log_ratio:.1f}; twice that, less what the added unknown costs: {found.balance:.1f} (above 2 "
        "fair, above 6 strong, above 10 very strong evidence for the sky)."
    )
    if found.verdict is Explains.YES:
        yield CORRELATION_ONLY
