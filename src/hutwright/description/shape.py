"""The file's shape, made from the records of the model: which keys, which kinds of value.

The core of pydantic checks it and names every fault at once; what a fault means to a builder is said here.
"""

from __future__ import annotations

import math
import re
import types
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache, lru_cache
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from hutwright import units
from hutwright.catalogue import tables
from hutwright.errors import ModelError, QuantityError, shortened
from hutwright.model.hut import Layer
from hutwright.model.paths import key_name
from hutwright.model.quantities import Count, OneOf, Share, Text
from hutwright.units import Dimension, Reading

NAME = r"^[a-z][a-z0-9_]{0,39}$"
LONGEST_LIST = 400
_BARE = re.compile(r"\s*[0-9]{1,9}(?:\.[0-9]{1,9})?\s*")
LIKE_A_LAYER = 'write it like "22 mm softwood boards"'
FAULT = "hutwright"  # the type of every fault raised here, so that its facts can be told from pydantic's own


def fault(read: object, wanted: str, remedy: str) -> PydanticCustomError:
    """A fault that carries what was read, what is wanted and what to do."""
    shown = shortened(read) if isinstance(read, str) else spelled(read)
    return PydanticCustomError(FAULT, "{read}", {"read": shown, "wanted": wanted, "remedy": remedy})


def spelled(value: object) -> str:
    """A value as the file spells it, shortened."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return str(value)[:60]


@cache
def hints_of(record: type) -> Mapping[str, Any]:
    """The type of every field of a record, with its annotations."""
    return get_type_hints(record, include_extras=True)


def shape_of(record: type) -> CoreSchema:
    """The shape of the table that describes a record; every key may be absent, unknown keys are faults."""
    hints = hints_of(record)
    keys = {
        key_name(field.name): core_schema.typed_dict_field(spelling(hints[field.name]), required=False)
        for field in fields(record)
    }
    return core_schema.typed_dict_schema(keys, extra_behavior="forbid")


def bare(hint: Any) -> Any:
    """A hint without its None."""
    if get_origin(hint) in (Union, types.UnionType):
        return next(part for part in get_args(hint) if part is not type(None))
    return hint


def optional(hint: Any) -> bool:
    """Whether a hint allows None."""
    return get_origin(hint) in (Union, types.UnionType) and type(None) in get_args(hint)


def spelling(hint: Any) -> CoreSchema:
    """How the file spells a value of a record's field."""
    hint = bare(hint)
    if get_origin(hint) is Annotated:
        base, mark = get_args(hint)[:2]
        return _plain(_marked(base, mark))
    if get_origin(hint) is tuple:
        parts = get_args(hint)
        if len(parts) == 2 and parts[1] is Ellipsis:
            return core_schema.list_schema(spelling(parts[0]), max_length=LONGEST_LIST)
        return core_schema.list_schema(spelling(parts[0]), min_length=len(parts), max_length=len(parts))
    if isinstance(get_origin(hint), type) and issubclass(get_origin(hint), Mapping):
        return named_tables(spelling(get_args(hint)[1]))
    if hint is Layer:
        return _plain(_layer)
    if is_dataclass(hint) and isinstance(hint, type):
        return shape_of(hint)
    return _plain(_simple(hint))


def named_tables(entry: CoreSchema) -> CoreSchema:
    """The shape of a table whose keys are names of the builder's own."""
    return core_schema.dict_schema(core_schema.str_schema(pattern=NAME), entry, max_length=LONGEST_LIST)


def _plain(check: Callable[[Any], Any]) -> CoreSchema:
    return core_schema.no_info_plain_validator_function(check)


def _simple(hint: Any) -> Callable[[Any], Any]:
    if isinstance(hint, type) and issubclass(hint, Enum):
        return _choice(hint)
    if hint is bool:
        return _boolean
    if hint is float:
        return _number
    raise TypeError(f"no spelling for {hint}")


def _marked(base: type, mark: object) -> Callable[[Any], Any]:
    if isinstance(mark, Dimension):
        return _quantity(mark)
    if isinstance(mark, Share):
        return _share(mark)
    if isinstance(mark, Count):
        return _count(mark)
    if isinstance(mark, OneOf):
        return _row_of(mark.table)
    if isinstance(mark, Text):
        return _text(mark)
    raise TypeError(f"no spelling for {base} marked {mark}")


@lru_cache(maxsize=4096)
def _reading(text: str, dimension: Dimension) -> Reading:
    return units.read(text, dimension)


def _quantity(dimension: Dimension) -> Callable[[object], Reading]:
    def read(value: object) -> Reading:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise fault(value, f"a {dimension.name} in quotes", f'write it like "{dimension.example}"')
        if isinstance(value, int | float):
            unit = dimension.example.split(" ", 1)[-1]
            raise fault(
                value,
                f"a {dimension.name} with its unit, in quotes",
                f'if it is in {unit}, write "{value} {unit}"',
            )
        try:
            return _reading(value, dimension)
        except QuantityError as error:
            raise fault(error.read, error.wanted, error.remedy) from None

    return read


def example_of_share(mark: Share) -> float:
    """A share that the mark allows: the half where it does."""
    return 0.5 if mark.lowest <= 0.5 <= mark.highest else mark.lowest


def _share(mark: Share) -> Callable[[object], Reading]:
    wanted = f"a share from {mark.lowest:g} to {mark.highest:g}, bare or in percent"
    like = example_of_share(mark)

    def read(value: object) -> Reading:
        if isinstance(value, str):
            try:
                reading = units.read(value, units.RATIO)
            except QuantityError as error:
                bare = _BARE.fullmatch(value) and mark.lowest <= float(value) <= mark.highest
                remedy = f"write {value.strip()} without quotes" if bare else error.remedy
                raise fault(value, wanted, remedy) from None
        elif isinstance(value, int | float) and not isinstance(value, bool):
            reading = Reading(float(value), float(value), float(value), str(value))
        else:
            raise fault(value, wanted, f'write it like {like:g} or "{100 * like:g} %"')
        if not (mark.lowest <= reading.low and reading.high <= mark.highest):
            raise fault(value, wanted, f'write it like {like:g} or "{100 * like:g} %"')
        return reading

    return read


def _count(mark: Count) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not mark.lowest <= value <= mark.highest:
            one = f"the whole number {mark.lowest}" if mark.lowest == mark.highest else ""
            wanted = one or f"a whole number from {mark.lowest} to {mark.highest}, without a unit"
            raise fault(value, wanted, f"write it like {mark.lowest}")
        return value

    return read


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise fault(value, "a bare number", "write it like 3.0, without quotes")
    return float(value)


def _boolean(value: object) -> bool:
    if not isinstance(value, bool):
        raise fault(value, "true or false", "write true or false, small and without quotes")
    return value


def _text(mark: Text) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str):
            raise fault(value, "a text in quotes", 'put it in quotes: "…"')
        if not value.strip() or len(value) > mark.longest or not value.isprintable():
            remedy = "shorten it" if len(value) > mark.longest else "write plain letters on one line"
            raise fault(value, f"a text of 1 to {mark.longest} characters on one line", remedy)
        return value

    return read


@lru_cache(maxsize=256)
def _nearest(word: str, known: tuple[str, ...]) -> str | None:
    return units.nearest(word, known)


def _named(value: object, known: tuple[str, ...], what: str) -> str:
    if not isinstance(value, str) or value not in known:
        near = _nearest(value, known) if isinstance(value, str) else None
        listed = ", ".join(f"'{name}'" for name in known[:12]) + (" …" if len(known) > 12 else "")
        raise fault(value, f"{what}: {listed}", f'did you mean "{near}"?' if near else "choose one of these")
    return value


def _choice(kind: type[Enum]) -> Callable[[object], Enum]:
    known = tuple(str(member.value) for member in kind)

    def read(value: object) -> Enum:
        return kind(_named(value, known, "one of"))

    return read


def _row_of(table: str) -> Callable[[object], str]:
    def read(value: object) -> str:
        return _named(value, tables.names(table), f"a row of the catalogue's {table.replace('_', ' ')}")

    return read


def layer_parts(text: str) -> tuple[str, str]:
    """Thickness and material of a layer as it is written; the material is "" where there is none."""
    known = tables.names("materials")
    words = text.split()
    split = next((at for at in range(1, len(words)) if " ".join(words[at:]) in known), 2)
    return " ".join(words[:split]), " ".join(words[split:])


def _layer(value: object) -> tuple[Reading, str]:
    if not isinstance(value, str):
        raise fault(value, "a thickness and a material in quotes", LIKE_A_LAYER)
    known = tables.names("materials")
    written, material = layer_parts(value)
    if not material:
        raise fault(value, "a thickness and a material", LIKE_A_LAYER)
    try:
        thickness = units.read(written, units.LENGTH)
    except QuantityError as error:
        raise fault(value, f"a thickness and a material; {error.wanted}", error.remedy) from None
    if material not in known:
        near = units.nearest(material, known)
        raise fault(
            value,
            "a material of the catalogue: " + ", ".join(f"'{name}'" for name in known),
            f'did you mean "{near}"?' if near else "choose the nearest of these",
        )
    try:
        Layer(thickness=thickness.nominal, material=material)
    except ModelError as error:
        raise fault(value, error.wanted, error.remedy) from None
    return thickness, material
