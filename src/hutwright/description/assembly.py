"""From a checked shape to records: what is left out is assumed, and every value keeps its origin."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from enum import Enum, auto
from typing import Annotated, Any, get_args, get_origin

from hutwright.description.described import Datum, Origin
from hutwright.description.shape import bare, hints_of, optional
from hutwright.errors import ModelError
from hutwright.model.hut import Layer
from hutwright.model.paths import Keys, key_name
from hutwright.model.quantities import Share
from hutwright.sources import Source
from hutwright.units import RATIO, Dimension, Reading


class Broken(Enum):
    """Stands in for a record that cannot be built because something below it is at fault."""

    BROKEN = auto()


BROKEN = Broken.BROKEN


@dataclass(frozen=True, slots=True)
class Assumed:
    """What is taken where the builder said nothing.

    Attributes
    ----------
    value : object
        A reading for a quantity, else the value itself.
    source : Source
        The document or practice behind it.
    origin : Origin
        Assumed, or derived from what the builder did say.
    """

    value: object
    source: Source
    origin: Origin = Origin.ASSUMED


@dataclass(slots=True)
class About:
    """What a rule for an absent value may look at.

    Attributes
    ----------
    here : dict
        Values of the same table that stand before it.
    outer : About or None
        The table around it.
    path : tuple
        The table's address.
    values : Mapping
        Every value met so far, by address.
    broken : Collection
        Addresses of what is at fault: nothing at or below them can be gone by.
    given : Mapping
        What the file says in this table, before and behind.
    """

    here: dict[str, Any]
    outer: About | None = None
    path: Keys = ()
    values: Mapping[Keys, Datum] = field(default_factory=dict)
    broken: Collection[Keys] = ()
    given: Mapping[str, Any] = field(default_factory=dict)

    def inside(self, path: Keys) -> About:
        """The same for a table below this one."""
        return About({}, self, path, self.values, self.broken)

    def reading(self, *keys: str) -> Reading:
        """A quantity below this table that stands before, with its range.

        Raises
        ------
        KeyError
            With its address, where none stands there.
        """
        return self.reading_at(*self.path, *keys)

    def reading_at(self, *address: str) -> Reading:
        """A quantity anywhere in the file that stands before, with its range.

        Raises
        ------
        KeyError
            With the address, where none stands there or what stands there is at fault.
        """
        if is_within(address, self.broken):
            raise KeyError(address)
        datum = self.values[address]
        assert isinstance(datum.value, float)
        assert datum.low is not None
        assert datum.high is not None
        return Reading(datum.value, datum.low, datum.high, "")


def is_within(address: Keys, places: Collection[Keys]) -> bool:
    """Whether an address is one of some places or lies below one."""
    return any(address[:count] in places for count in range(1, len(address) + 1))


# A rule tells KeyError with an address where it finds nothing to go by, and ModelError with the whole address
# as its field where what it finds cannot be.
Rule = Callable[[About], Assumed | None]
Rules = Mapping[type, Mapping[str, Rule]]


@dataclass(slots=True)
class Assembly:
    """Builds records and collects every fault on the way.

    Attributes
    ----------
    rules : Mapping
        Per record, per field: what is taken where the builder said nothing.
    poisoned : frozenset
        Addresses at which the shape is at fault already.
    values : dict
        Every value met, by address.
    broken : set
        Addresses of everything that could not be built.
    faults : list
        Address and fault of every record that refused to exist.
    missing : list
        Address, record and field of every value that nothing can be assumed for.
    """

    rules: Rules
    poisoned: frozenset[Keys] = frozenset()
    values: dict[Keys, Datum] = field(default_factory=dict)
    broken: set[Keys] = field(default_factory=set)
    faults: list[tuple[Keys, ModelError]] = field(default_factory=list)
    missing: list[tuple[Keys, type, str]] = field(default_factory=list)

    def whole(self, kind: type, table: Mapping[str, Any]) -> Any:
        """The record that a whole file describes, or BROKEN.

        Parameters
        ----------
        kind : type
            The record's class.
        table : Mapping
            The file's checked values.
        """
        return self.record(kind, table, (), About({}, values=self.values, broken=self.broken))

    def again(self, kind: type, table: Mapping[str, Any], kept: Mapping[str, Any]) -> Any:
        """The record that a whole file describes, with some tables as they were built before, or BROKEN.

        Parameters
        ----------
        kind : type
            The record's class.
        table : Mapping
            The checked values of the tables that are built anew.
        kept : Mapping
            What was built before, by field; its values must stand in `values` already.
        """
        about = About({}, values=self.values, broken=self.broken)
        for each in fields(kind):
            if each.name in kept:
                about.here[each.name] = kept[each.name]
            else:
                key = key_name(each.name)
                about.here[each.name] = self._field(kind, each.name, table.get(key), (key,), about)
        if BROKEN in about.here.values():
            return BROKEN
        return kind(**about.here)

    def record(self, kind: type, table: Mapping[str, Any], path: Keys, about: About) -> Any:
        """The record that a table describes, or BROKEN.

        Parameters
        ----------
        kind : type
            The record's class.
        table : Mapping
            The table's checked values.
        path : tuple
            The table's address.
        about : About
            What rules may look at; its values are filled in here, in the order of the record's fields.
        """
        broken = False
        about.given = table
        for each in fields(kind):
            key = key_name(each.name)
            value = self._field(kind, each.name, table.get(key), (*path, key), about)
            about.here[each.name] = value
            if value is BROKEN:
                broken = True
                self.broken.add((*path, key))
        if broken:
            return BROKEN
        try:
            return kind(**about.here)
        except ModelError as error:
            self.faults.append((path, error))
            self.broken.add(path)
            return BROKEN

    def _field(self, kind: type, name: str, given: Any, path: Keys, about: About) -> Any:
        hint = hints_of(kind)[name]
        inner = bare(hint)
        if path in self.poisoned:
            return BROKEN
        if given is None:
            return self._absent(kind, name, hint, path, about)
        return self._given(inner, given, path, about)

    def _absent(self, kind: type, name: str, hint: Any, path: Keys, about: About) -> Any:
        rule = self.rules.get(kind, {}).get(name)
        try:
            assumed = rule(about) if rule else None
        except KeyError as error:
            sought = error.args[0]
            known = is_within(sought, self.broken) if isinstance(sought, tuple) else sought is BROKEN
            return BROKEN if known else self._lacks(kind, name, path)
        except ModelError as error:  # its field is the whole address
            self.faults.append(((), error))
            return BROKEN
        except (AttributeError, TypeError):
            if not self.broken:
                raise
            return BROKEN
        if assumed is not None:
            return self._note(path, bare(hint), assumed.value, assumed.origin, assumed.source)
        if optional(hint):
            return None
        inner = bare(hint)
        if is_dataclass(inner) and isinstance(inner, type):
            return self.record(inner, {}, path, about.inside(path))
        if _is_mapping(inner):
            return {}
        return self._lacks(kind, name, path)

    def _lacks(self, kind: type, name: str, path: Keys) -> Broken:
        self.missing.append((path, kind, name))
        return BROKEN

    def _given(self, inner: Any, given: Any, path: Keys, about: About) -> Any:
        if is_dataclass(inner) and isinstance(inner, type) and inner is not Layer:
            return self.record(inner, given, path, about.inside(path))
        if _is_mapping(inner):
            return self._tables(get_args(inner)[1], given, path, about)
        return self._note(path, inner, given, Origin.GIVEN, None)

    def _tables(self, hint: Any, given: Mapping[str, Any], path: Keys, about: About) -> Any:
        inner = bare(hint)
        built: dict[str, Any] = {}
        for name, value in given.items():
            here = (*path, name)
            built[name] = self._given(inner, value, here, about)
            if built[name] is BROKEN:
                self.broken.add(here)
        aside = any(each[:-1] == path for each in self.poisoned)  # entries that the shape took out
        return BROKEN if aside or BROKEN in built.values() else built

    def _note(self, path: Keys, hint: Any, value: Any, origin: Origin, source: Source | None) -> Any:
        """Write down where a value came from and return what goes into the record."""
        if isinstance(value, Reading):
            datum = Datum(
                path=path,
                value=value.nominal,
                low=value.low,
                high=value.high,
                dimension=_dimension(hint),
                origin=origin,
                source=source,
            )
            self.values[path] = datum
            return value.nominal
        if isinstance(value, list):
            parts = get_args(hint)
            return tuple(
                self._note((*path, str(number)), parts[0], part, origin, source)
                for number, part in enumerate(value)
            )
        if hint is Layer:
            thickness, material = value
            self._note(
                (*path, "thickness"), Annotated[float, thickness_dimension()], thickness, origin, source
            )
            return Layer(thickness=thickness.nominal, material=material)
        self.values[path] = Datum(
            path=path, value=value, low=None, high=None, dimension=None, origin=origin, source=source
        )
        return value


def thickness_dimension() -> Dimension:
    """The dimension of a layer's thickness."""
    mark = get_args(hints_of(Layer)["thickness"])[1]
    assert isinstance(mark, Dimension)
    return mark


def _dimension(hint: Any) -> Dimension | None:
    if get_origin(hint) is Annotated:
        mark = get_args(hint)[1]
        if isinstance(mark, Dimension):
            return mark
        if isinstance(mark, Share):
            return RATIO
    return None


def _is_mapping(hint: Any) -> bool:
    origin = get_origin(hint)
    return isinstance(origin, type) and issubclass(origin, Mapping)
