"""What recorded moves say beside what is described, as a change of that, and what the checks then say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from math import isfinite

import numpy as np

from hutwright import units
from hutwright.assessment import case_of
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.judging import spreads
from hutwright.description.described import Described, Origin
from hutwright.description.lines import split
from hutwright.model.project import Project
from hutwright.model.watched import Book
from hutwright.plant.conditions import nominal
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motor import current_under, drive_constants
from hutwright.plant.travel import drive_of, travel
from hutwright.sources import Source, Standing
from hutwright.studies import offering
from hutwright.studies.identify import (
    MIDDLE,
    Identified,
    Told,
    constant_told,
    loads_told,
    offered,
    resistance_told,
    source_told,
    speed_told,
)
from hutwright.units import NUMBER, Dimension

FAR = 2.0  # times what the described ranges allow: then a wrong sensor is likelier than a wrong listing: ours
PLACES = 50  # of the middle of the travel at which described currents are taken: ours to choose
RESISTANCE, CONSTANT, SPEED, SOURCE, FRICTION, GRAVITY = (
    "drive.motor.resistance",
    "constant",
    "drive.no_load.speed",
    "source",
    "friction",
    "gravity",
)
TITLES: Mapping[str, str] = {
    RESISTANCE: "resistance of winding and brushes at 20 degC",
    CONSTANT: "motor constant at 20 degC",
    SPEED: "speed without load at the rated voltage",
    SOURCE: "the supply's own resistance",
    FRICTION: "current that friction takes, both ways alike",
    GRAVITY: "current that weight and spring take while opening",
}
DIMENSIONS: Mapping[str, Dimension | None] = {
    RESISTANCE: units.RESISTANCE,
    CONSTANT: None,  # V s/m, which no value of a description has
    SPEED: units.SPEED,
    SOURCE: units.RESISTANCE,
    FRICTION: units.CURRENT,
    GRAVITY: units.CURRENT,
}
STIFF = (
    "the supply's own resistance: its voltage gives way by less than the described cables alone would let "
    "it; look where supply_V was taken and how the cables are described"
)
_HERE = Source("the described door, in the middle of its travel", "", Standing.DERIVED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """One value that was found, beside what is described.

    Attributes
    ----------
    title : str
        What it is.
    path : str
        Its address in the description; "" where it stands nowhere and only follows from others.
    dimension : Dimension or None
        What kind of quantity it is; None for the motor constant, in V s/m.
    told : Told
        What was found.
    before : float
        What was described, or follows from that, at nominal values. [dimension]
    low : float
        The least that the described ranges allow. [dimension]
    high : float
        The greatest. [dimension]
    origin : Origin
        Where that came from.
    """

    title: str
    path: str
    dimension: Dimension | None
    told: Told
    before: float
    low: float
    high: float
    origin: Origin

    @property
    def agrees(self) -> bool:
        """Whether the range that was found and the one that was described have anything in common."""
        return (
            self.told.value - self.told.quoted <= self.high and self.told.value + self.told.quoted >= self.low
        )

    @property
    def far(self) -> bool:
        """Whether it is so far from what was described that a wrong sensor is the likelier reason."""
        return not self.low / FAR <= self.told.value <= self.high * FAR


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer(offering.Offer):
    """What was found as a change of the description.

    Attributes
    ----------
    found : Identified
        What moves say.
    rows : tuple of Beside
        Each value beside what is described.
    """

    found: Identified
    rows: tuple[Beside, ...]


def offer(described: Described, text: str, found: Identified) -> Offer:
    """What was found beside what is described, as a change of it, and what the checks then say.

    Parameters
    ----------
    described : Described
        The description.
    text : str
        The file that it was read from.
    found : Identified
        What moves say.
    """
    plain = offering.offer(described, text, offered(described.project, found))
    known = {each.name: getattr(plain, each.name) for each in fields(plain)}
    source = source_told(described.project, found)
    if source is not None and not source[1].value > 0.0:
        found = replace(found, left_out=(*found.left_out, STIFF))
    rows = beside(described, found)
    known["fault"] = _too_far(rows, plain.changes) or plain.fault
    return Offer(**known, found=found, rows=rows)


def _too_far(rows: Sequence[Beside], changes: Mapping[str, object]) -> str:
    for each in rows:
        if each.path in changes and each.far:
            return (
                f"the {each.title} comes out more than {FAR:g} times off what is described; look whether "
                "current_A and supply_V are those of this motor, with their right unit; where they are, "
                "change the description by hand"
            )
    return ""


# --- beside what is described ----------------------------------------------------------------------------


def beside(described: Described, found: Identified) -> tuple[Beside, ...]:
    """Each value that was found beside what is described, or follows from that.

    Parameters
    ----------
    described : Described
        The description.
    found : Identified
        What moves say.
    """
    project = described.project
    source = source_told(project, found)
    told = {
        RESISTANCE: resistance_told(found),
        CONSTANT: constant_told(found),
        SPEED: speed_told(project, found),
    }
    if source is not None and source[1].value > 0.0:
        told[SOURCE] = source[1]
    if found.loads is not None:
        told[FRICTION], told[GRAVITY] = loads_told(found.loads)
    supply = "" if source is None else source[0]
    ranges = _ranges(described, found, supply)
    return tuple(
        Beside(
            title=TITLES[name],
            path=(path := _path(name, supply)),
            dimension=DIMENSIONS[name],
            told=each,
            before=ranges[name][0],
            low=ranges[name][1],
            high=ranges[name][2],
            origin=_origin(described, path),
        )
        for name, each in told.items()
        if isfinite(each.value)
    )


def _path(name: str, supply: str) -> str:
    return f"supplies.{supply}.resistance" if name == SOURCE else name if "." in name else ""


def _origin(described: Described, path: str) -> Origin:
    datum = described.values.get(split(path)) if path else None
    return Origin.DERIVED if datum is None or datum.value is None else datum.origin


def _ranges(described: Described, found: Identified, supply: str) -> dict[str, tuple[float, float, float]]:
    """Each value as described: nominal, least and greatest over all that is unsure."""

    def ask(project: Project) -> tuple[Check, ...]:
        return tuple(
            Check(
                subject=name,
                value=value,
                limit=0.0,
                dimension=DIMENSIONS[name] or NUMBER,
                sense=Sense.AT_LEAST,
                method=_HERE,
                limit_from=_HERE,
                working=(),
            )
            for name, value in _described(project, found, supply).items()
        )

    question = Question(
        key="drive.identified", title="values that moves tell", concern=Concern.FUNCTION, needs=(), ask=ask
    )
    book = Book()
    try:
        moved = spreads(question, case_of(described, book))
        return {name: (each.nominal.value, each.low, each.high) for name, each in moved.items()}
    finally:
        book.forget()


def _described(project: Project, found: Identified, supply: str) -> dict[str, float]:
    constants = drive_constants(project)
    values = {
        RESISTANCE: constants.resistance,
        CONSTANT: constants.constant,
        SPEED: drive_of(project).no_load.speed,
    }
    if supply:
        values[SOURCE] = project.supplies[supply].resistance
    if found.loads is not None:
        opening, closing = (_middle_current(project, found.temperature, opening=way) for way in (True, False))
        values |= {FRICTION: 0.5 * (opening + closing), GRAVITY: 0.5 * (opening - closing)}
    return values


def _middle_current(project: Project, temperature: float, *, opening: bool) -> float:
    """Mean current over the places in the middle of the travel, in calm air, as described [A]."""
    conditions, over = nominal(project)._replace(temperature=temperature), travel(project)
    share = (over.rod_length - over.rod_length[0]) / (over.rod_length[-1] - over.rod_length[0])
    current = current_under(project, rod_force(project, conditions, opening=opening), conditions)
    return float(np.interp(np.linspace(*MIDDLE, PLACES), share, current).mean())
