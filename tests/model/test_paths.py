from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.description.build import build
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.errors import ModelError, RequestError
from hutwright.model.paths import Keys, field_name, key_name, present, replaced, value_at
from tests.house.places import TOP

PROJECT = build(whole(parse_sheet((TOP / "demos" / "orchard" / "hut.toml").read_text("utf-8"), "hut.toml")))
NUMBERS = tuple(path for path, datum in PROJECT.values.items() if datum.dimension is not None)
FREE = tuple(  # numbers that no record holds against another, so that any positive one will do
    path
    for path in NUMBERS
    if path[0] in ("fuses", "box", "printer", "machine", "dock", "roof_antenna") and "skyline" not in path
)
numbers = st.floats(1e-3, 1e3)
changes = st.dictionaries(st.sampled_from(FREE), numbers, max_size=6)


@given(changes)
def test_what_was_replaced_is_read_back_and_nothing_else_moved(made):
    copy = replaced(PROJECT.project, made)
    for path in NUMBERS:
        assert value_at(copy, path) == made.get(path, value_at(PROJECT.project, path))


@given(changes)
def test_replacing_leaves_the_original_alone_and_can_be_undone(made):
    before = repr(PROJECT.project)
    copy = replaced(PROJECT.project, made)
    assert repr(PROJECT.project) == before
    assert replaced(copy, {path: value_at(PROJECT.project, path) for path in made}) == PROJECT.project


@given(changes, changes)
def test_two_replacements_are_one_with_the_later_value(first, second):
    assert replaced(replaced(PROJECT.project, first), second) == replaced(
        PROJECT.project, {**first, **second}
    )


@given(
    st.lists(
        st.one_of(st.text(max_size=6), st.sampled_from(("site", "cables", "feed", "0", "-1", "from_"))),
        max_size=5,
    )
)
def test_any_address_is_a_value_or_a_sentence(keys):
    path = tuple(keys)
    told = ""
    try:
        value_at(PROJECT.project, path)
    except RequestError as error:
        told = str(error)
    assert told == "" or "hutwright schema" in told
    assert not (told and present(PROJECT.project, path))


def test_a_word_of_the_language_is_a_key_of_the_file():
    assert value_at(PROJECT.project, ("cables", "feed", "from")) == "battery"
    assert replaced(PROJECT.project, {("cables", "feed", "from"): "spare"}).cables["feed"].from_ == "spare"
    assert (field_name("from"), key_name("from_"), field_name("to"), key_name("to")) == (
        "from_",
        "from",
        "to",
        "to",
    )


def test_a_part_is_replaced_before_what_lies_below_it():
    detection = value_at(PROJECT.project, ("controller", "detection"))
    part: Keys = ("controller", "detection")
    below: Keys = ("controller", "detection", "trip")
    for order in ((part, below), (below, part)):
        made = {path: {part: detection, below: 9.0}[path] for path in order}
        assert value_at(replaced(PROJECT.project, made), below) == 9.0


def test_nothing_lies_below_what_is_absent():
    assert value_at(PROJECT.project, ("supplies", "battery", "rating", "x")) is None
    with pytest.raises(RequestError, match=r"hut\.roof\.ridge is not described"):
        replaced(PROJECT.project, {("hut", "roof", "ridge", "x"): 1.0})


@pytest.mark.parametrize(
    "path",
    [
        (),
        ("nothing",),
        ("site", "nothing"),
        ("cables", "fed"),
        ("cables", "fed", "length"),
        ("cables", "feed", "from_"),
        ("site", "skyline", "-1"),
        ("site", "skyline", "9"),
        ("site", "skyline", "x"),
        ("site", "skyline", "01"),
        ("site", "skyline", "٠"),
        ("site", "skyline", "0", "2"),
        ("name", "x"),
    ],
)
def test_an_address_that_leads_nowhere_is_refused(path):
    with pytest.raises(RequestError):
        replaced(PROJECT.project, {path: 1.0})


def test_what_a_record_refuses_is_told_with_the_whole_address():
    with pytest.raises(ModelError) as caught:
        replaced(PROJECT.project, {("drive", "rating", "force"): -1.0})
    assert caught.value.field == "drive.rating.force"


@pytest.mark.parametrize(
    ("path", "there"),
    [
        (("door",), True),
        (("limits",), True),
        (("electronics", "display"), False),
        (("controller", "layers"), True),
        (("nothing",), False),
    ],
)
def test_only_what_is_described_is_present(path, there):
    assert present(PROJECT.project, path) is there
    assert (
        present(replaced(PROJECT.project, {("controller", "layers"): ()}), ("controller", "layers")) is False
    )
