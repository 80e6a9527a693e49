"""The tables whose keys are addresses: the builder's own limits, what may be changed, what was measured."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, is_dataclass, replace
from typing import Annotated, Any, get_args, get_origin

from pydantic_core import SchemaValidator, ValidationError

from hutwright import units
from hutwright.checks.lever import Allowed
from hutwright.checks.roster import ROSTER
from hutwright.description import wanted
from hutwright.description.assembly import is_within
from hutwright.description.described import Datum, Origin
from hutwright.description.lines import join, split
from hutwright.description.overlay import Merged
from hutwright.description.shape import FAULT, LONGEST_LIST, spelled, spelling
from hutwright.errors import QuantityError, RequestError, shortened
from hutwright.model.paths import Keys
from hutwright.model.quantities import Share
from hutwright.units import NUMBER, Dimension

LONGEST_NOTE = 200  # characters; ours to choose
Blame = Callable[[Keys, str, str, str], None]


def table(blame: Blame, name: str, given: object) -> Mapping[str, Any]:
    """A table of the file, or an empty one and a fault."""
    if isinstance(given, dict) and len(given) <= LONGEST_LIST:
        return given
    if isinstance(given, dict):
        blame((name,), f"{len(given)} entries", f"at most {LONGEST_LIST} entries", "leave some out")
        return {}
    blame((name,), spelled(given), 'a table of "address" = value', f"write it as [{name}]")
    return {}


# ---- limits ------------------------------------------------------------------------------------------


def limits(blame: Blame, given: Mapping[str, Any]) -> dict[str, float]:
    """The builder's own limits, by key of the check, each in the check's unit."""
    found: dict[str, float] = {}
    for key, value in given.items():
        if isinstance(value, dict):
            _unquoted(blame, "limits", key, value)
            continue
        dimension = _limit_dimension(key)
        if dimension is None:
            near = units.nearest(key, ROSTER)
            remedy = f'did you mean "{near}"?' if near else "`hutwright check` prints the keys"
            blame(("limits", key), f"the unknown check {shortened(key)}", "the key of a check", remedy)
            continue
        limit = _limit(blame, ("limits", key), value, dimension)
        if limit is not None:
            found[key] = limit
    return found


def _limit_dimension(key: str) -> Dimension | None:
    """The dimension of a check's limit; a third part of the key names one of several things."""
    parts = key.split(".")
    bare = ".".join(parts[:2])
    return ROSTER.get(bare) if len(parts) <= 3 and all(parts) else None


def _limit(blame: Blame, path: Keys, value: object, dimension: Dimension) -> float | None:
    """One limit; a bare number for what is counted, and for a share up to the whole."""
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    if dimension == NUMBER:
        if not bare:
            blame(path, _read(value), "a bare number", "write it like 3, without quotes and unit")
            return None
        return float(str(value))
    if bare and dimension == units.RATIO and 0.0 <= float(str(value)) <= 1.0:
        return float(str(value))
    if not isinstance(value, str):
        want = f"a {dimension.name} with its unit, in quotes"
        blame(path, spelled(value), want, f'write it like "{dimension.example}"')
        return None
    try:
        reading = units.read(value, dimension)
    except QuantityError as error:
        blame(path, shortened(error.read), error.wanted, error.remedy)
        return None
    if not reading.exact:
        blame(path, shortened(value), f"one {dimension.name}, not a range", "write the end that still holds")
        return None
    return reading.nominal


def _read(value: object) -> str:
    return shortened(value) if isinstance(value, str) else spelled(value)


def _unquoted(blame: Blame, name: str, key: str, value: Mapping[str, Any]) -> None:
    """Blame an address that was written without its quotes, so that its dots made tables of it."""
    parts, inner = [key], value
    while len(inner) == 1 and isinstance(below := next(iter(inner.values())), dict):
        parts.append(next(iter(inner)))
        inner = below
    parts += list(inner)[:1]
    whole = ".".join(parts)
    blame((name, key), "an address without quotes", '"address" = value', f'write "{whole}" = …, in quotes')


# ---- addresses ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Addresses:
    """Finds what an address of the file stands for.

    Attributes
    ----------
    blame : Callable
        Notes a fault.
    merged : Merged
        The file's tables, for the names that the builder gave; a name that a variant or a change took out
        is known too.
    broken : Collection
        Addresses of what is at fault already.
    """

    blame: Blame
    merged: Merged
    broken: Collection[Keys] = ()

    def find(self, place: Keys, text: str) -> Keys | None:
        """The address that a text names, or nothing and a fault at a place."""
        try:
            path = split(text)
        except RequestError:
            path = ()
        if not path or wanted.hint_at(path) is None:
            known = [".".join((*path[:-1], key)) for key in wanted.keys_at(path[:-1])] if path else []
            self._unknown(place, text, units.nearest(text, known))
            return None
        lost = self._first_not_described(path)
        if lost is None or is_within(path, self.broken):
            return path
        above, names = lost
        near = units.nearest(path[len(above)], names)
        self._unknown(place, text, ".".join((*above, near, *path[len(above) + 1 :])) if near else None)
        return None

    def _unknown(self, place: Keys, text: str, near: str | None) -> None:
        remedy = f'did you mean "{near}"?' if near else "`hutwright schema` lists the names"
        want = "the address of something that is described, such as cables.feed.core"
        self.blame(place, f"the unknown address {shortened(text)}", want, remedy)

    def _first_not_described(self, path: Keys) -> tuple[Keys, list[str]] | None:
        """Where a path leaves what the builder named: the table or list, and the names there."""
        data: Any = self.merged.data
        for number, key in enumerate(path):
            above = path[:number]
            hint = wanted.hint_at(above) if above else None
            open_ended = number > 0 and not (is_dataclass(hint) and isinstance(hint, type))
            if open_ended and isinstance(data, list):
                if not (key.isdecimal() and int(key) < len(data)):
                    return above, [str(each) for each in range(len(data))]
                data = data[int(key)]
                continue
            inside = isinstance(data, dict) and key in data
            if open_ended and not inside and join(*above, key) not in self.merged.places:
                return above, list(data) if isinstance(data, dict) else []
            data = data[key] if inside else None
        return None


def allowances(addresses: Addresses, given: Mapping[str, Any]) -> dict[Keys, Allowed]:
    """What may be changed, by address: a range of a quantity, or a list of what may stand there."""
    found: dict[Keys, Allowed] = {}
    for text, value in given.items():
        if isinstance(value, dict):
            _unquoted(addresses.blame, "allow", text, value)
            continue
        path = addresses.find(("allow", text), text)
        allowed = None if path is None else _allowed(addresses.blame, ("allow", text), path, value)
        if path is not None and allowed is not None:
            found[path] = allowed
    return found


def _allowed(blame: Blame, place: Keys, path: Keys, value: object) -> Allowed | None:
    if isinstance(value, list) and value:
        return _choices(blame, place, path, value)
    dimension = dimension_at(path)
    if not isinstance(value, str) or dimension is None:
        like = '["0.75 mm2 class 5", "1.5 mm2 class 5"] or "0.35..0.55 m"'
        blame(place, _read(value), "a list of what may stand there, or a range", f"write {like}")
        return None
    try:
        reading = units.read(value, dimension)
    except QuantityError as error:
        blame(place, shortened(error.read), error.wanted, error.remedy)
        return None
    return Allowed(low=reading.low, high=reading.high)


def _choices(blame: Blame, place: Keys, path: Keys, choices: list[object]) -> Allowed | None:
    """The choices of a list, each of which may stand at the address."""
    validator = SchemaValidator(spelling(wanted.hint_at(path)))
    sound = True
    for number, choice in enumerate(choices):
        try:
            validator.validate_python(choice)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            facts: Mapping[str, Any] = first.get("ctx", {}) if first["type"] == FAULT else {}
            want = facts.get("wanted", f"what may stand at {'.'.join(path)}")
            remedy = facts.get("remedy", "name the address of a single value, and what may stand there")
            blame((*place, str(number)), _read(choice), want, remedy)
            sound = False
    return Allowed(choices=tuple(choices)) if sound else None


def measured(addresses: Addresses, given: Mapping[str, Any], values: dict[Keys, Datum]) -> None:
    """Mark the values that were measured; a note says how and when."""
    for text, note in given.items():
        place = ("measured", text)
        if isinstance(note, dict):
            _unquoted(addresses.blame, "measured", text, note)
            continue
        path = addresses.find(place, text)
        if path is None or is_within(path, addresses.broken):
            continue
        datum = values.get(path)
        if (
            not isinstance(note, str)
            or not note.strip()
            or len(note) > LONGEST_NOTE
            or not note.isprintable()
        ):
            want = f"a note of 1 to {LONGEST_NOTE} characters on how and when it was measured, in quotes"
            addresses.blame(place, _read(note), want, 'write "scale at the edge, 3 May"')
        elif datum is None or datum.origin is not Origin.GIVEN:
            want = "the address of a single value that stands in this file"
            addresses.blame(place, shortened(text), want, "write the measured value itself in its own table")
        else:
            values[path] = replace(datum, origin=Origin.MEASURED, note=note)


def dimension_at(path: Keys) -> Dimension | None:
    """The dimension of the quantity at an address; None where something else stands there."""
    hint = wanted.hint_at(path)
    if get_origin(hint) is Annotated:
        mark = get_args(hint)[1]
        if isinstance(mark, Dimension):
            return mark
        if isinstance(mark, Share):
            return units.RATIO
    return None
