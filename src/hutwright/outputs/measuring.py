"""Observations, what they came to, and what to measure next, as text and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from hutwright.checks.shown import shown, shown_range
from hutwright.model.project import Project
from hutwright.outputs.contract import FORMAT, si_unit
from hutwright.outputs.offer import change_lines, check_lines, offer_values
from hutwright.outputs.phrasing import datum_text, heading, listed, plain_text, several, width_within, wrapped
from hutwright.studies.next_reading import Suggestion
from hutwright.studies.observing.observation import Blank, Observation, RowTarget
from hutwright.studies.observing.working_out import Observed, Value
from hutwright.studies.offering import Offer
from hutwright.units import NUMBER

Plain = dict[str, Any]
MOST_KEYS = 4  # checks that are named for one value: a choice of this project
NOTHING = "Nothing in hut.toml changes."
SAID = (
    "A range holds the value in nine of ten such measurements, by what the instruments and hands usually "
    "err; nothing but your own readings went into it."
)
NONE_OPEN = "No check is open or barely held by a value that could be measured better."


def observations_text(project: Project, known: Sequence[Observation], *, width: int = 100) -> str:
    """The observations that a description has a place for.

    Parameters
    ----------
    project : Project
        The project.
    known : Sequence
        The observations.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = [f"{project.name}: what can be measured with what lies about"]
    for each in known:
        lines += ["", *wrapped(f"{each.key}  ({each.minutes} min)  {each.title}", width, "  ", "      ")]
        lines += wrapped(f"tells {listed(_told(each, project))}", width, "      ")
    lines += ["", *wrapped("How: hutwright measure DIR KEY. All on one sheet to take along: --print.", width)]
    return "\n".join(lines) + "\n"


def _told(observation: Observation, project: Project) -> list[str]:
    return [
        f"{each.file}" if isinstance(each, RowTarget) else ".".join(each.path)
        for each in observation.targets(project)
    ]


def how_text(observation: Observation, project: Project, *, width: int = 100) -> str:
    """How an observation is made, and what it wants to know.

    Parameters
    ----------
    observation : Observation
        Which.
    project : Project
        The project.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = wrapped(f"{observation.title} ({observation.minutes} min)", width)
    lines += [*_steps(observation, width), ""]
    lines += wrapped(f"It tells {listed(_told(observation, project))}.", width)
    lines += ["", "Readings:"]
    for blank in observation.blanks:
        lines += wrapped(f"{blank.key} = {_asked(blank)}", width, "  ", "      ")
    return "\n".join(lines) + "\n"


def _steps(observation: Observation, width: int) -> list[str]:
    lines = wrapped(f"Caution: {observation.caution}", width, "  ", "  ") if observation.caution else []
    for number, step in enumerate(observation.steps, 1):
        lines += wrapped(step, width, f"  {number}. ")
    return lines


def _asked(blank: Blank) -> str:
    """What a blank wants, with what it is read."""
    if blank.choices:
        return f"{blank.words}: {', '.join(f'{each.value} ({each.words})' for each in blank.choices)}"
    assert blank.instrument is not None
    counted = blank.instrument.dimension is NUMBER
    unit = "" if counted else blank.instrument.unit or blank.instrument.dimension.usual
    rest = "" if blank.needed else "; may stay empty"
    return f"{blank.words}, by {blank.instrument.words}{f' [{unit}]' if unit else ''}{rest}"


def sheet_text(project: Project, known: Iterable[Observation], *, width: int = 100) -> str:
    """A sheet to take along, with blanks to fill in.

    Parameters
    ----------
    project : Project
        The project.
    known : Iterable
        The observations on it.
    width : int
        Columns of the sheet. [-]
    """
    width = width_within(width)
    lines = [f"Site sheet: {project.name}", ""]
    lines += wrapped(
        "Fill in what you read behind the sign; leave empty what you do not know. A decimal comma is fine, a "
        'range (2..3) too, and "ca. 5" counts with a tenth of doubt more. Bring it back with '
        "hutwright measure DIR --sheet FILE.",
        width,
    )
    for each in known:
        lines += ["", "", *wrapped(f"{each.key}: {each.title} ({each.minutes} min)", width)]
        lines += [*_steps(each, width), ""]
        for blank in each.blanks:
            lines += [f"{each.key}.{blank.key} = ", *wrapped(_asked(blank), width, "    # ")]
    return "\n".join(lines) + "\n"


def observed_text(
    observed: Sequence[Observed],
    offer: Offer,
    left_out: Sequence[str],
    *,
    written: bool,
    width: int = 100,
) -> str:
    """What observations came to.

    Parameters
    ----------
    observed : Sequence
        What each came to.
    offer : Offer
        The change of the description.
    left_out : Sequence
        Sentences on what could not be worked out.
    written : bool
        Whether it was written.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines: list[str] = []
    for each in observed:
        lines += wrapped(each.observation.title, width)
        read = ", ".join(f"{key} {text}" for key, text in each.understood.items())
        lines += wrapped(f"read as {read}", width, "  ")
        for value in each.values:
            lines += wrapped(f"{'.'.join(value.path)}: {_value(value, offer)}", width, "  ", "      ")
        if each.table is not None:
            lines += wrapped(f"{each.table.file}: {each.table.words}", width, "  ", "      ")
            lines += [f"      {row}" for row in each.rows]
        lines.append("")
    if any(value.estimate is not None for each in observed for value in each.values):
        lines += wrapped(SAID, width)
    lines += heading("Change of hut.toml, made" if written else "Change of hut.toml")
    lines += change_lines(offer, width, written=written, nothing=NOTHING)
    if offer.ready:
        lines += [*heading("What the checks say with it"), *check_lines(offer, width)]
    if left_out:
        lines += heading("Left out")
        for sentence in left_out:
            lines += wrapped(sentence, width, "  - ")
    cautions = dict.fromkeys(each.observation.caution for each in observed if each.observation.caution)
    if cautions:
        lines += heading("Cautions")
        for caution in cautions:
            lines += wrapped(caution, width, "  - ")
    return "\n".join(lines) + "\n"


def _value(value: Value, offer: Offer) -> str:
    before = offer.described.values.get(value.path)
    was = "" if before is None else f"; before: {datum_text(before)}, {before.origin.value}"
    if value.estimate is None or value.dimension is None:
        return f"{plain_text(value.text)}, {value.words}{was}"
    low, high = value.estimate.low, value.estimate.high
    return f"{shown_range(low, high, value.dimension)}, {value.words}{was}"


def suggestions_text(project: Project, found: Sequence[Suggestion], *, width: int = 100) -> str:
    """What to measure next.

    Parameters
    ----------
    project : Project
        The project.
    found : Sequence
        The values worth measuring, the one that decides most first.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    lines = [f"{project.name}: what to measure next"]
    if not found:
        return "\n".join([*lines, "", *wrapped(NONE_OPEN, width)]) + "\n"
    for number, each in enumerate(found, 1):
        lines += ["", *suggestion_lines(each, width, f"  {number}. ")]
    return "\n".join(lines) + "\n"


def suggestion_lines(each: Suggestion, width: int, first: str) -> list[str]:
    """One value that is worth measuring, why, and how.

    Parameters
    ----------
    each : Suggestion
        The value.
    width : int
        Columns of the screen. [-]
    first : str
        What the first line begins with.
    """
    return [*wrapped(_suggested(each), width, first), *wrapped(_way(each), width, " " * len(first))]


def _suggested(each: Suggestion) -> str:
    share = max(1, min(99, round(100.0 * each.shrinks)))
    named = list(each.serves[:MOST_KEYS])
    more = len(each.serves) - len(named)
    rest = f" and {several(more, 'more', 'more')}" if more > 0 else ""
    settles = f" It alone could decide {listed(each.settles[:MOST_KEYS])}." if each.settles else ""
    return (
        f"{'.'.join(each.datum.path)}, now {datum_text(each.datum)} ({each.datum.origin.value}): knowing it "
        f"takes up to {share} % of the doubt from {listed(named)}{rest}.{settles}"
    )


def _way(each: Suggestion) -> str:
    if not each.ways:
        return "Measure it, or look it up, and write it down with a note under [measured]."
    quickest = each.ways[0]
    return f"Quickest: {quickest.title} ({quickest.minutes} min); hutwright measure DIR {quickest.key}"


def suggestion_values(project: Project, found: Sequence[Suggestion]) -> Plain:
    """What to measure next as plain values, described in docs/json.md.

    Parameters
    ----------
    project : Project
        The project.
    found : Sequence
        The values worth measuring.
    """
    return {
        "format": FORMAT,
        "project": project.name,
        "suggestions": [
            {
                "path": ".".join(each.datum.path),
                "now": datum_text(each.datum),
                "origin": each.datum.origin.value,
                "shrinks": each.shrinks,
                "checks": list(each.serves),
                "settles": list(each.settles),
                "observations": [
                    {"key": way.key, "title": way.title, "minutes": way.minutes} for way in each.ways
                ],
            }
            for each in found
        ],
    }


def observed_values(
    observed: Sequence[Observed], offer: Offer, left_out: Sequence[str], *, written: bool
) -> Plain:
    """What observations came to as plain values, described in docs/json.md.

    Parameters
    ----------
    observed : Sequence
        What each came to.
    offer : Offer
        The change of the description.
    left_out : Sequence
        Sentences on what could not be worked out.
    written : bool
        Whether it was written.
    """
    return {
        "format": FORMAT,
        "project": offer.described.project.name,
        "observations": [
            {
                "key": each.observation.key,
                "read": dict(each.understood),
                "values": [_value_values(value) for value in each.values],
                "rows": list(each.rows),
            }
            for each in observed
        ],
        **offer_values(offer, written=written),
        "left_out": list(left_out),
    }


def _value_values(value: Value) -> Plain:
    quantity = None
    if value.estimate is not None and value.dimension is not None:
        low, high = value.estimate.low, value.estimate.high
        quantity = {
            "unit": si_unit(value.dimension),
            "value": value.estimate.value,
            "low": low,
            "high": high,
            "shown": shown(value.estimate.value, value.dimension),
        }
    return {"path": ".".join(value.path), "text": value.text, "quantity": quantity}
