"""From what was read to values of the description with their ranges."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from hutwright import units
from hutwright.description.lines import join
from hutwright.errors import RequestError
from hutwright.laws.propagation import Doubt, Estimate, propagated
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.studies.observing.observation import Blank, Observation, RowTarget, Target, WordTarget
from hutwright.studies.observing.reading import (
    Reading,
    assumed,
    is_left,
    read_choice,
    read_reading,
)
from hutwright.units import Dimension

_SPELLED = {"Ω": "ohm", "µ": "u", "²": "2", "³": "3", "°C": "degC", "°": " deg"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Value:
    """One value that follows from an observation.

    Attributes
    ----------
    path : tuple
        Its address.
    words : str
        What it is.
    text : object
        What stands in the file.
    dimension : Dimension or None
        What kind of quantity it is; None for a word or a list.
    estimate : Estimate or None
        Value and range of a quantity. [dimension]
    noted : bool
        Whether it can be marked as measured.
    """

    path: Keys
    words: str
    text: object
    dimension: Dimension | None = None
    estimate: Estimate | None = None
    noted: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Observed:
    """What an observation came to.

    Attributes
    ----------
    observation : Observation
        Which.
    understood : Mapping
        Each answer as it was understood, by blank.
    values : tuple
        What follows.
    rows : tuple of str
        Lines for the table beside the description.
    table : RowTarget or None
        Which.
    """

    observation: Observation
    understood: Mapping[str, str]
    values: tuple[Value, ...]
    rows: tuple[str, ...] = ()
    table: RowTarget | None = None


def work_out(
    observation: Observation, project: Project, answers: Mapping[str, str], *, moment: str = ""
) -> Observed:
    """Work out what an observation tells.

    Parameters
    ----------
    observation : Observation
        Which.
    project : Project
        The project.
    answers : Mapping
        Text by blank; one that nobody knows may be left out.
    moment : str
        When it was read, as a table beside the description spells it.

    Returns
    -------
    Observed
        Values with their ranges.

    Raises
    ------
    RequestError
        Where an answer cannot be understood, one that is needed is missing, or nothing follows.
    """
    blanks = {blank.key: blank for blank in observation.blanks}
    _refuse_strangers(observation, answers)
    readings: dict[str, Reading] = {}
    words: dict[str, str] = {}
    for key, blank in blanks.items():
        text = answers.get(key, "")
        if is_left(text):
            if blank.usual is not None:
                readings[key] = assumed(blank)
            continue
        try:
            if blank.choices:
                words[key] = read_choice(blank, text)
            else:
                readings[key] = read_reading(blank, text)
        except RequestError as error:
            raise RequestError(f"{observation.key}.{key}: {error}") from None
    given = {*readings, *words}
    _refuse_gaps(observation, [each for key, each in blanks.items() if each.needed and key not in given])
    plain = {**words, **{key: reading.plain for key, reading in readings.items()}}
    targets = observation.targets(project)
    values = tuple(
        _worded(each, plain) if isinstance(each, WordTarget) else _quantity(observation, each, readings)
        for each in targets
        if not isinstance(each, RowTarget)
    )
    table = next((each for each in targets if isinstance(each, RowTarget)), None)
    rows = () if table is None else table.rows(plain, moment)
    if not values and not rows:
        _refuse_gaps(observation, list(observation.blanks))
    return Observed(observation=observation, understood=plain, values=values, rows=rows, table=table)


def _refuse_strangers(observation: Observation, answers: Mapping[str, str]) -> None:
    known = [blank.key for blank in observation.blanks]
    for key in answers:
        if key not in known:
            near = units.nearest(key, known)
            offer = f'did you mean "{near}"?' if near else f"it has {', '.join(known)}"
            raise RequestError(f"read {observation.key}.{key}; wanted one of its blanks; {offer}")


def _refuse_gaps(observation: Observation, gaps: list[Blank]) -> None:
    if gaps:
        lacking = ", ".join(f"{blank.key} ({blank.words})" for blank in gaps)
        raise RequestError(
            f"{observation.key} cannot be worked out without {lacking}; read it too, or leave this out"
        )


def _worded(target: WordTarget, plain: Mapping[str, str]) -> Value:
    return Value(path=target.path, words=target.words, text=target.value(plain), noted=target.noted)


def _quantity(observation: Observation, target: Target, readings: Mapping[str, Reading]) -> Value:
    values = {key: reading.value for key, reading in readings.items()}
    doubts: dict[str, Doubt] = {key: reading.doubt for key, reading in readings.items()}
    found = propagated(
        lambda **drawn: target.law(drawn), {**values, **target.fixed}, {**doubts, **target.doubts}
    )
    if not isfinite(found.value) or not isfinite(found.low) or found.high <= target.least:
        read = ", ".join(f"{key} {reading.plain}" for key, reading in readings.items())
        raise RequestError(
            f"{observation.key}: {read} cannot be: {target.words} would be "
            f"{units.show(found.value, target.dimension)}; look at each reading again"
        )
    low = max(found.low, target.least)
    estimate = Estimate(max(found.value, target.least), low, found.high)
    return Value(
        path=target.path,
        words=target.words,
        text=spelled(low, found.high, target.dimension),
        dimension=target.dimension,
        estimate=estimate,
    )


def spelled(low: float, high: float, dimension: Dimension) -> str:
    """A range as a description spells it.

    Parameters
    ----------
    low : float
        Lower end. [dimension]
    high : float
        Upper end. [dimension]
    dimension : Dimension
        What kind of quantity it is.
    """
    digits = units.worth(0.5 * (low + high), high - low)
    text = units.show_range(low, high, dimension, digits=digits)
    for sign, plain in _SPELLED.items():
        text = text.replace(sign, plain)
    return text


def changes(found: Observed, when: str) -> dict[str, object]:
    """What would be written, for `hutwright.description.writing.edit`.

    Parameters
    ----------
    found : Observed
        What an observation came to.
    when : str
        The day, for the note.
    """
    title = found.observation.title.split(":")[0]
    written: dict[str, object] = {join(*value.path): value.text for value in found.values}
    for value in found.values:
        if value.noted:
            written[f'measured."{join(*value.path)}"'] = f"{title}, {when}"
    return written
