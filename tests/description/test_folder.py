"""A folder is read, or refused in a sentence that says what to do."""

from __future__ import annotations

import os

import pytest

from hutwright.description.folder import load, summary, variants
from hutwright.errors import DescriptionError, HutwrightError, RequestError

TEXT = 'format = 1\nname = "A hut"\n[supplies.battery]\nkind = "lead-acid 12 V"\n'


@pytest.fixture
def project(tmp_path):
    (tmp_path / "hut.toml").write_text(TEXT, "utf-8")
    (tmp_path / "variants").mkdir()
    (tmp_path / "variants/big.toml").write_text(
        'title = "Big"\nsupplies.battery.capacity = "40 Ah"\n', "utf-8"
    )
    (tmp_path / "variants/small.toml").write_text('supplies.battery.capacity = "7 Ah"\n', "utf-8")
    (tmp_path / "variants/notes.txt").write_text("no variant", "utf-8")
    (tmp_path / "variants/.hidden.toml").write_text("no variant", "utf-8")
    return tmp_path


def test_a_folder_gives_the_description_as_it_stands(project):
    described = load(project)
    assert described.project.name == "A hut"
    assert described.variant == ""
    assert described.project.supplies["battery"].capacity is None


def test_a_variant_is_laid_over_it(project):
    described = load(project, "big")
    assert described.project.supplies["battery"].capacity == pytest.approx(40 * 3600)
    assert (described.variant, described.title) == ("big", "Big")


def test_variants_are_the_files_in_their_folder_by_name(project):
    assert variants(project) == ("big", "small")


def test_a_folder_without_variants_has_none(tmp_path):
    assert variants(tmp_path) == ()


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("bik", 'did you mean "big"?'),
        ("xyz", "there are: big, small"),
        ("../hut", "no variant"),
        ("", "no variant"),
    ],
)
def test_an_unknown_variant_names_those_that_exist(project, name, part):
    with pytest.raises(RequestError, match="there are: big, small") as caught:
        load(project, name)
    assert part in str(caught.value)


def test_a_missing_folder_says_how_to_begin(tmp_path):
    with pytest.raises(RequestError, match="hutwright start"):
        load(tmp_path / "nowhere")


def test_a_folder_without_a_description_says_how_to_begin(tmp_path):
    with pytest.raises(DescriptionError, match="hutwright start"):
        load(tmp_path)


def test_the_file_in_place_of_its_folder_is_told_apart(project):
    with pytest.raises(RequestError, match="is a file; wanted the folder"):
        load(project / "hut.toml")


def test_a_fault_of_a_variant_names_the_variants_file(project):
    (project / "variants/small.toml").write_text('supplies.battery.capacity = "7 Ax"\n', "utf-8")
    with pytest.raises(DescriptionError, match=r"variants/small\.toml, line 1"):
        load(project, "small")


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_a_name_that_no_folder_can_have_is_refused_in_a_sentence(tmp_path, name):
    with pytest.raises(HutwrightError):
        load(tmp_path / name)


@pytest.mark.skipif(os.geteuid() == 0, reason="the system denies nothing to its owner")
def test_a_folder_that_may_not_be_entered_is_refused_in_a_sentence(project):
    project.chmod(0)
    try:
        with pytest.raises(HutwrightError):
            load(project)
    finally:
        project.chmod(0o700)


def test_the_summary_names_tables_and_variants_even_where_one_cannot_be_read(project):
    (project / "variants/small.toml").write_text("= broken", "utf-8")
    found = summary(project)
    assert found.name == "A hut"
    assert found.tables == ("supplies",)
    assert found.variants == {"big": "Big", "small": ""}
