"""From merged tables to a description: every fault at once, each with its place and line."""

from __future__ import annotations

import copy
from collections.abc import Collection, Iterable, Mapping
from dataclasses import fields, replace
from functools import cache
from typing import Any

from pydantic_core import SchemaValidator, ValidationError

from hutwright import units
from hutwright.description import apart, wanted
from hutwright.description.assembly import Assembly
from hutwright.description.changes import changed
from hutwright.description.defaults import READS, RULES
from hutwright.description.described import Datum, Described, Origin
from hutwright.description.lines import join, split
from hutwright.description.overlay import Merged
from hutwright.description.shape import FAULT, LONGEST_LIST, hints_of, shape_of, spelled
from hutwright.errors import DescriptionError, Fault, ModelError, RequestError, shortened
from hutwright.model.paths import Keys, key_name, replaced
from hutwright.model.project import Project
from hutwright.model.references import contradictions

APART = ("limits", "allow", "measured")  # tables whose keys are addresses: read by `apart`, not by the shape
ROUNDS = 6  # how often faulty values are set aside before the rest is given up
MOST_FAULTS = 100  # told at once; ours to choose
BAD_NAME = "string_pattern_mismatch"  # what pydantic's core calls a name of the builder's own that is none
NOT_WRITTEN = (Origin.ASSUMED, Origin.DERIVED)


@cache
def _validator() -> SchemaValidator:
    return SchemaValidator(shape_of(Project))


class Reader:
    """Collects the faults of one description."""

    def __init__(self, merged: Merged) -> None:
        """Start without any fault."""
        self.merged = merged
        self.faults: list[Fault] = []

    def blame(self, path: Keys, read: str, wanted_there: str, remedy: str) -> None:
        """Note a fault with the place of the value, or of the nearest table around it."""
        place = self.merged.place(join(*path))
        self.faults.append(
            Fault(
                file=place.file,
                line=place.line,
                path=join(*path),
                read=read,
                wanted=wanted_there,
                remedy=remedy,
            )
        )

    def shape(self, data: Mapping[str, Any]) -> tuple[dict[str, Any], frozenset[Keys]]:
        """The checked values, and the addresses that were set aside as faulty."""
        left: Any = {key: value for key, value in data.items() if key not in APART}
        aside: set[Keys] = set()
        for number in range(ROUNDS):
            try:
                return _validator().validate_python(left), frozenset(aside)
            except ValidationError as error:
                left = copy.deepcopy(left) if number == 0 else left
                for each in error.errors(include_url=False):
                    place = each["loc"][:-1] if each["type"] == BAD_NAME else each["loc"]
                    keys = tuple(str(part) for part in place)
                    self._shape_fault(keys, each)
                    aside.update(_taken_out(left, keys))
        return {}, frozenset(aside)

    def _shape_fault(self, keys: Keys, error: Any) -> None:
        kind, given, facts = error["type"], error.get("input"), error.get("ctx") or {}
        read = shortened(given) if isinstance(given, str) else spelled(given)
        if kind == FAULT:
            self.blame(keys, facts["read"], facts["wanted"], facts["remedy"])
        elif kind == "extra_forbidden":
            self._unknown_key(keys)
        elif kind == BAD_NAME:
            want = "a name of small letters, digits and _, a letter first, at most 40"
            self.blame(keys, f"the name {shortened(keys[-1])}", want, "rename it, and wherever it is used")
        elif kind in ("too_long", "too_short"):
            exact = wanted.length_at(keys)
            want = f"{exact} entries" if exact is not None else f"at most {LONGEST_LIST} entries"
            self.blame(keys, read, want, "add what is missing" if kind == "too_short" else "leave some out")
        elif kind == "list_type":
            like = wanted.example(hint) if (hint := wanted.hint_at(keys)) is not None else '["…", "…"]'
            self.blame(keys, read, "a list in square brackets", f"write it like {like}")
        else:
            some = ", ".join(wanted.keys_at(keys)[:6])
            self.blame(
                keys,
                read,
                f"a table with keys such as {some}" if some else "a table",
                "write it as a [table] or { key = value }",
            )

    def _unknown_key(self, keys: Keys) -> None:
        known = [*wanted.keys_at(keys[:-1]), *(APART if len(keys) == 1 else ())]
        near = units.nearest(keys[-1], known) if len(self.faults) < MOST_FAULTS else None
        listed = ", ".join(known[:14]) + (" …" if len(known) > 14 else "")
        remedy = f"did you mean {near}?" if near else "take it out, or put it in the table it belongs to"
        self.blame(keys, f"the unknown key {shortened(keys[-1])}", f"one of: {listed}", remedy)

    def refused(self, errors: Iterable[tuple[Keys, ModelError]]) -> None:
        """Note what the records refused, in the builder's own words where a single value is to blame."""
        for path, error in errors:
            place = (*path, *(split(error.field) if error.field else ()))
            own = _single_value(self.merged.data, place)
            self.blame(place, own or error.read, error.wanted, error.remedy)

    def contradictory(self, errors: Iterable[ModelError]) -> None:
        """Note what the parts of the description say against each other."""
        for error in errors:
            self.blame(split(error.field), error.read, error.wanted, error.remedy)

    def missing(self, lacking: Iterable[tuple[Keys, type, str]]) -> None:
        """Note the values that nothing can be assumed for."""
        for path, record, name in lacking:
            example = wanted.example(hints_of(record)[name])
            self.blame(path, "nothing", wanted.meaning(record, name), f"add {path[-1]} = {example}")

    def range_ends(self, project: Project, values: Mapping[Keys, Datum]) -> None:
        """Note every value whose range reaches where a record, or another part, refuses it."""
        for path, datum in values.items():
            for end in (datum.low, datum.high) if datum.unsure else ():
                error = _refusal(project, path, end)
                if error is not None:
                    self._range_end(datum, end, error, values)
                    break

    def _range_end(
        self, datum: Datum, end: float | None, error: ModelError, values: Mapping[Keys, Datum]
    ) -> None:
        shown = units.show(end, datum.dimension) if end is not None and datum.dimension else str(end)
        read, want, remedy = f"a range that reaches {shown}", error.wanted, "narrow the range"
        blamed = split(error.field)
        other = values.get(blamed)
        if blamed != datum.path:
            read, want = f"{read}, where {error.field} is {error.read}", f"there {error.wanted}"
            if other is not None and other.origin in NOT_WRITTEN:
                remedy = f"{remedy}, or write {error.field} yourself"
        if datum.origin in NOT_WRITTEN:
            read, remedy = f"nothing, so it was assumed as {read}", "write the value itself"
        self.blame(datum.path, read, want, remedy)

    def give_up(self) -> None:
        """Raise all faults, if there are any; of very many, the first."""
        if not self.faults:
            return
        told = DescriptionError(self.faults).faults
        if len(told) > MOST_FAULTS:
            first = told[MOST_FAULTS]
            rest = Fault(
                file=first.file,
                line=first.line,
                path="",
                read=f"{len(told) - MOST_FAULTS} more faults from here on",
                wanted="a description without faults",
                remedy="mend those above first",
            )
            told = (*told[:MOST_FAULTS], rest)
        raise DescriptionError(told)


def _refusal(project: Project, path: Keys, end: float | None) -> ModelError | None:
    """Why the project cannot be, with one number moved; None where it can."""
    try:
        moved = replaced(project, {path: end})
    except ModelError as error:
        return error
    return next(iter(contradictions(moved)), None)


def _single_value(data: Any, path: Keys) -> str:
    """A single value as the file spells it; "" where none stands there."""
    for key in path:
        if isinstance(data, list) and key.isdecimal() and int(key) < len(data):
            data = data[int(key)]
        elif isinstance(data, dict) and key in data:
            data = data[key]
        else:
            return ""
    if isinstance(data, dict | list):
        return ""
    return shortened(data) if isinstance(data, str) else spelled(data)


def _taken_out(data: Any, keys: Keys) -> list[Keys]:
    """Take a faulty value out of the tables; a list is taken out whole."""
    at = data
    for number, key in enumerate(keys):
        if not isinstance(at, dict) or key not in at:
            return []
        if number == len(keys) - 1 or not isinstance(at[key], dict):
            del at[key]
            return [keys[: number + 1]]
        at = at[key]
    return []


def rebuild(described: Described, changes: Mapping[Keys, object]) -> Described:
    """The description that a good one becomes with some values changed; only what they touch is built anew.

    Parameters
    ----------
    described : Described
        A description that was built before.
    changes : Mapping
        Address to value, as the file spells it; None takes a value out.

    Returns
    -------
    Described
        The same as `build` gives for the changed tables; the ends of ranges are not tried.

    Raises
    ------
    DescriptionError
        With every fault found.
    RequestError
        Where an address leads nowhere.
    """
    merged = changed(described.merged, changes)
    touched = {path[0] for path in changes}
    touched |= {table for table, read in READS.items() if touched & read}
    if touched & {*APART, "format"}:
        return build(merged, at_range_ends=False)
    reader = Reader(merged)
    checked, aside = reader.shape({key: value for key, value in merged.data.items() if key in touched})
    values = {path: datum for path, datum in described.values.items() if path[0] not in touched}
    assembly = Assembly(RULES, aside, values=values)
    old = described.project
    kept = {each.name: getattr(old, each.name) for each in fields(old) if key_name(each.name) not in touched}
    project = assembly.again(Project, checked, kept)
    reader.refused(assembly.faults)
    reader.missing(assembly.missing)
    _mark_again(values, described.values, touched)
    if isinstance(project, Project):
        reader.contradictory(contradictions(project))
    reader.give_up()
    if not isinstance(project, Project):
        raise RequestError("the description could not be built although no fault was found; please report it")
    return replace(described, project=project, values=values, merged=merged)


def _mark_again(values: dict[Keys, Datum], before: Mapping[Keys, Datum], touched: Collection[str]) -> None:
    """Mark what was measured in tables that were built anew."""
    for path, old in before.items():
        if old.origin is Origin.MEASURED and path[0] in touched:
            new = values.get(path)
            if new is not None and new.origin is Origin.GIVEN:
                values[path] = replace(new, origin=old.origin, note=old.note)


def build(merged: Merged, *, variant: str = "", title: str = "", at_range_ends: bool = True) -> Described:
    """The description that merged tables stand for.

    Parameters
    ----------
    merged : Merged
        The tables, variant laid over.
    variant : str
        Name of the variant, "" for none.
    title : str
        The variant's title.
    at_range_ends : bool
        Whether both ends of every range are tried too; a search that changes a good description leaves it
        out.

    Returns
    -------
    Described
        The project, with origin and range of every value.

    Raises
    ------
    DescriptionError
        With every fault found, each with file, line, what was read, what is wanted and what to do.
    """
    reader = Reader(merged)
    checked, aside = reader.shape(merged.data)
    tables = {name: apart.table(reader.blame, name, merged.data.get(name, {})) for name in APART}
    assembly = Assembly(RULES, aside)
    limits = apart.limits(reader.blame, tables["limits"])
    project = assembly.whole(Project, checked)
    reader.refused(assembly.faults)
    reader.missing(assembly.missing)
    values = dict(assembly.values)
    addresses = apart.Addresses(reader.blame, merged, aside | assembly.broken)
    allow = apart.allowances(addresses, tables["allow"])
    apart.measured(addresses, tables["measured"], values)
    if isinstance(project, Project):
        project = replace(project, limits=limits)
        reader.contradictory(against := contradictions(project))
        if at_range_ends and not against:
            reader.range_ends(project, values)
    reader.give_up()
    if not isinstance(project, Project):
        raise RequestError("the description could not be built although no fault was found; please report it")
    return Described(project=project, values=values, allow=allow, merged=merged, variant=variant, title=title)
