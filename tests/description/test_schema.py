"""The schema for editors takes what the reader takes, and refuses unknown keys as it does."""

from __future__ import annotations

import copy
import tomllib

import pytest
from jsonschema import Draft202012Validator

from hutwright.catalogue import tables
from hutwright.checks.roster import ROSTER
from hutwright.description import wanted
from hutwright.description.draft import draft
from hutwright.description.question import About
from hutwright.description.questions import Answers
from hutwright.description.schema import schema_of_description
from hutwright.model.cables import Cable
from tests.house.places import TOP

SCHEMA = schema_of_description()
VALIDATOR = Draft202012Validator(SCHEMA)
DEMOS = sorted((TOP / "demos").glob("*/hut.toml"))
ORCHARD = tomllib.loads((TOP / "demos/orchard/hut.toml").read_text("utf-8"))


def test_it_is_a_schema_itself():
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.parent.name)
def test_every_demo_keeps_to_it(path):
    VALIDATOR.validate(tomllib.loads(path.read_text("utf-8")))


@pytest.mark.parametrize("about", About)
def test_so_does_every_first_draft(about):
    VALIDATOR.validate(tomllib.loads(draft(Answers(about=about))))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("gadget",), {}),
        (("cables", "feed", "lenght"), "6 m"),
        (("cables", "feed", "length"), 6),
        (("cables", "feed", "core"), "0.7 mm2 class 5"),
        (("cables", "Feed"), {"length": "6 m"}),
        (("door", "kind"), "revolving"),
        (("door", "leaf"), "0.7 m"),
        (("machine", "start_rule", "satellites"), "10"),
        (("hut", "base", "anchors"), 400),
        (("drive", "screw", "self_locking"), "yes"),
        (("limits", "wiring.gadget"), "3 V"),
        (("name",), ""),
    ],
)
def test_what_the_reader_refuses_it_refuses(path, value):
    data = copy.deepcopy(ORCHARD)
    at = data
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    assert not VALIDATOR.is_valid(data)


def test_limits_take_the_key_of_every_check_and_of_one_of_several_things():
    for key in ROSTER:
        assert SCHEMA["properties"]["limits"]["properties"][key]
    assert VALIDATOR.is_valid({"limits": {"wiring.voltage_drop.drive": "10 %"}})


def test_a_description_is_what_the_records_own_docstring_says():
    cable = SCHEMA["properties"]["cables"]["additionalProperties"]
    assert cable["properties"]["length"]["description"] == wanted.meanings(Cable)["length"]
    assert list(cable["properties"]) == wanted.keys_of(Cable)


def test_a_choice_of_the_catalogue_lists_its_rows():
    cable = SCHEMA["properties"]["cables"]["additionalProperties"]
    assert cable["properties"]["core"]["enum"] == list(tables.names("cores"))


def parts(schema):
    """Every schema inside a schema."""
    yield schema
    for each in schema.get("properties", {}).values():
        yield from parts(each)
    for key in ("additionalProperties", "items"):
        if isinstance(schema.get(key), dict):
            yield from parts(schema[key])


def test_every_example_keeps_to_its_own_schema():
    found = [(part, example) for part in parts(SCHEMA) for example in part.get("examples", [])]
    assert len(found) > 50
    for part, example in found:
        assert Draft202012Validator(part).is_valid(example), (part, example)
