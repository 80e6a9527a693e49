"""The register of the documents cited."""

import importlib
import inspect
import pkgutil
import re

import pytest

from hutwright import laws, sources
from hutwright.sources import Source, Standing

REGISTER = {name: value for name, value in vars(sources).items() if isinstance(value, Source)}
ELECTRICAL = (
    "adiabatic",
    "ampacity",
    "autonomy",
    "bridge_drop",
    "conductor_resistance",
    "fuse_time",
    "hall_sensor",
    "hold_up",
    "junction_temperature",
    "linear_regulator",
    "motor_start",
    "shared_dip",
    "voltage_drop",
)


def test_a_source_cites_itself_in_one_line():
    assert sources.IEC_60228_CLASS_5.cite() == "IEC 60228:2004, table 3 (second-hand)"
    assert Source("IEC 60529", "", Standing.READ).cite() == "IEC 60529 (read)"


def test_no_two_entries_say_the_same():
    assert len(set(REGISTER.values())) == len(REGISTER)


@pytest.mark.parametrize("name", sorted(REGISTER))
def test_each_entry_names_its_document_and_is_a_constant(name):
    assert name.isupper()
    assert REGISTER[name].document.strip() == REGISTER[name].document != ""


def test_memory_and_habit_alone_are_not_firm():
    assert [standing for standing in Standing if not standing.firm] == [Standing.PRACTICE, Standing.RECALLED]


def functions():
    """Every public function of the electrical laws."""
    for name in ELECTRICAL:
        module = importlib.import_module(f"{laws.__name__}.{name}")
        for label, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not label.startswith("_"):
                yield pytest.param(function, id=f"{name}.{label}")


def test_the_electrical_laws_are_all_there():
    present = {module.name for module in pkgutil.iter_modules(laws.__path__)}
    assert present.issuperset(ELECTRICAL)


@pytest.mark.parametrize("function", list(functions()))
def test_each_law_refers_to_a_document_of_the_register_and_says_how_sure_it_is(function):
    text = " ".join((inspect.getdoc(function) or "").split("References")[1].split("Examples")[0].split())
    references = re.split(r"\.\. \[\d+\] ", text)[1:]
    assert references
    documents = {source.document for source in REGISTER.values()}
    for reference in references:
        assert any(reference.startswith(document) for document in documents), reference
        assert "Standing: " in reference


@pytest.mark.parametrize("function", list(functions()))
def test_each_law_says_where_it_holds_and_shows_one_number(function):
    notes, examples = (inspect.getdoc(function) or "").split("Notes\n")[1].split("Examples\n")
    assert "Valid " in notes
    assert ">>> " in examples
