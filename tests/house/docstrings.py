"""What a docstring must say, by the place where it stands; a fault is a sentence."""

from __future__ import annotations

import dataclasses
import inspect
import re
import warnings
from collections.abc import Iterator
from types import ModuleType
from typing import Any

from numpydoc.docscrape import NumpyDocString

UNIT = re.compile(r"\[[^\[\]]+\]")
# What a quantity is annotated as; anything else (a flag, a name, an Enum, a function) has no unit.
QUANTITY = re.compile(r"\b(float|int|complex|ArrayLike|NDArray|ndarray|floating)\b")


def faults_of(module: ModuleType) -> Iterator[str]:
    """Every fault of the public functions and classes that the module defines."""
    part = f"{module.__name__}.".removeprefix("hutwright.").split(".")[0]
    for name, thing in vars(module).items():
        if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
            continue
        if inspect.isclass(thing):
            faults = faults_of_class(thing, in_model=part == "model")
        elif inspect.isfunction(inspect.unwrap(thing)) if callable(thing) else False:
            faults = faults_of_function(thing, is_law=part == "laws")
        else:
            continue
        yield from (f"{module.__name__}.{name}: {fault}" for fault in faults)


def faults_of_function(function: Any, *, is_law: bool) -> Iterator[str]:
    """Every fault of one function's docstring."""
    text = inspect.cleandoc(function.__doc__ or "")
    yield from faults_of_first_line(text)
    parsed = sections(text)
    if isinstance(parsed, str):
        yield parsed
        return
    wanted = inspect.signature(function).parameters
    described = entries(parsed["Parameters"]) | entries(parsed["Other Parameters"])
    if is_law or described:
        yield from (f"parameter {name} is not documented" for name in wanted if name not in described)
        yield from (f"documents {name}, which is no parameter" for name in described if name not in wanted)
    if is_law:
        yield from faults_of_law(parsed, described, inspect.signature(function))


def faults_of_law(
    parsed: NumpyDocString, described: dict[str, str], signature: inspect.Signature
) -> Iterator[str]:
    """What a law must say beyond any other function: units, range, source and one number."""
    for name, parameter in signature.parameters.items():
        if name in described and is_quantity(parameter.annotation) and not UNIT.search(described[name]):
            yield f"parameter {name} has no [unit]"
    returned = parsed["Returns"]
    if not returned:
        yield "has no Returns"
    elif is_quantity(signature.return_annotation):
        texts = [" ".join(each.desc) for each in returned]
        yield from ("what it returns has no [unit]" for text in texts if not UNIT.search(text))
    if "Valid for" not in "\n".join(parsed["Notes"]):
        yield 'has no Notes that say what it is "Valid for"'
    if not "".join(parsed["References"]).strip():
        yield "has no References"
    if ">>>" not in "\n".join(parsed["Examples"]):
        yield "has no Examples with a number"


def faults_of_class(cls: type, *, in_model: bool) -> Iterator[str]:
    """Every fault of one class's docstring."""
    text = inspect.cleandoc(cls.__doc__ or "")
    yield from faults_of_first_line(text)
    if not (in_model and dataclasses.is_dataclass(cls)):
        return
    parsed = sections(text)
    if isinstance(parsed, str):
        yield parsed
        return
    described = entries(parsed["Attributes"])
    names = [field.name for field in dataclasses.fields(cls) if not field.name.startswith("_")]
    yield from (f"field {name} is not in Attributes" for name in names if name not in described)
    yield from (
        f"Attributes has {name}, which is not there" for name in described if not hasattr_or_field(cls, name)
    )


def faults_of_first_line(text: str) -> Iterator[str]:
    """The first line is a sentence."""
    if not text:
        yield "has no docstring"
    elif not text.splitlines()[0].endswith("."):
        yield "the first line of its docstring does not end with a full stop"


def sections(text: str) -> NumpyDocString | str:
    """The docstring in its sections, or the fault that kept it from being read."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            return NumpyDocString(text)
        except (ValueError, UserWarning) as fault:
            return f"its docstring cannot be read as numpydoc: {str(fault).splitlines()[0]}"


def entries(section: Any) -> dict[str, str]:
    """Name -> what is said of it; ``width, height : float`` names two."""
    return {
        name.strip().lstrip("*"): " ".join((each.type, *each.desc))
        for each in section
        for name in each.name.split(",")
    }


def is_quantity(annotation: Any) -> bool:
    """Whether the annotation is of a number or an array of numbers."""
    text = annotation if isinstance(annotation, str) else inspect.formatannotation(annotation)
    return "Callable" not in text and QUANTITY.search(text) is not None


def hasattr_or_field(cls: type, name: str) -> bool:
    """Whether instances have that attribute: a field, a property, a constant of the class."""
    return hasattr(cls, name) or name in {field.name for field in dataclasses.fields(cls)}
