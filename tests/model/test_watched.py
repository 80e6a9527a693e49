"""Watched projects: what is read is noted, and an answer is worked out once for the values that it read."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import ModelError, RequestError
from hutwright.model.paths import replaced, value_at
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.model.watched import Book, answered, apart, book_of, moved, watched_in
from tests.described import orchard

PROJECT: Any = orchard().project
MASS, TRIP, LENGTH = (
    ("door", "leaf", "mass"),
    ("controller", "detection", "trip"),
    ("cables", "feed", "length"),
)
COLDEST = ("site", "air", "coldest")
LAYER = ("build_ups", PROJECT.hut.walls.build_up, "0", "thickness")


class Counted:
    """A fact that counts how often it is worked out."""

    def __init__(self, *paths):
        self.paths, self.times = paths, 0

    def __call__(self, project):
        self.times += 1
        return tuple(value_at(project, path) for path in self.paths)


def watched():
    return Book().watch(PROJECT)


def test_a_watched_project_says_what_the_project_says():
    project = watched()
    assert isinstance(project, Project)
    assert book_of(PROJECT) is None
    for path in (MASS, TRIP, LENGTH, COLDEST, LAYER, ("name",), ("electronics", "bridge", "kind")):
        assert value_at(project, path) == value_at(PROJECT, path)


def test_what_does_not_read_a_value_is_not_worked_out_again_when_that_moves():
    project, mass = watched(), Counted(MASS)
    first = answered(mass, project)
    assert answered(mass, moved(project, {TRIP: 1.25, COLDEST: 250.0})) == first
    assert mass.times == 1


@pytest.mark.parametrize("path", [MASS, TRIP, LENGTH, COLDEST, LAYER])
def test_what_reads_a_value_is_worked_out_again_when_that_moves(path):
    project, fact = watched(), Counted(path)
    before = value_at(PROJECT, path)
    assert answered(fact, project) == (before,)
    assert answered(fact, moved(project, {path: 1.01 * before})) == (1.01 * before,)
    assert answered(fact, moved(project, {path: before})) == (before,)
    assert fact.times == 2


def test_an_answer_depends_on_what_the_answers_that_it_uses_have_read():
    inner = once_a_project(lambda project: value_at(project, MASS))
    outer = Counted()
    outer_answer = once_a_project(lambda project: (outer(project), 2.0 * inner(project))[1])
    project = watched()
    mass = PROJECT.door.leaf.mass
    assert inner(project) == mass  # known already when the outer one asks
    for share in (1.0, 1.1, 1.0, 1.1):
        assert outer_answer(moved(project, {MASS: share * mass})) == 2.0 * share * mass
    assert outer.times == 2


def test_a_value_that_is_read_only_where_another_is_great_counts_only_there():
    def fact(project):
        calls.append(1)
        return project.controller.detection.trip if project.door.leaf.mass > 100.0 else 0.0

    calls: list[int] = []
    project = watched()
    found = [
        answered(fact, moved(project, {MASS: mass, TRIP: trip}))
        for mass in (10.0, 200.0)
        for trip in (1.0, 2.0, 1.0, 2.0)
    ]
    assert found == [0.0, 0.0, 0.0, 0.0, 1.0, 2.0, 1.0, 2.0]
    assert len(calls) == 3


def test_a_thing_that_is_added_is_seen_by_what_goes_through_all_of_them():
    book, fact = Book(), Counted()
    lengths = once_a_project(
        lambda project: (fact(project), [each.length for each in project.cables.values()])[1]
    )
    before = lengths(book.watch(PROJECT))
    more = replace(PROJECT, cables={**PROJECT.cables, "spare": PROJECT.cables["feed"]})
    assert lengths(book.watch(more)) == [*before, PROJECT.cables["feed"].length]
    assert lengths(book.watch(replace(PROJECT, name="another"))) == before
    assert fact.times == 2


def test_a_part_that_is_taken_out_is_missed():
    book = Book()
    described = once_a_project(lambda project: project.machine is not None)
    assert described(book.watch(PROJECT))
    assert not described(book.watch(replace(PROJECT, machine=None)))


def test_a_copy_made_by_hand_is_never_taken_for_another():
    project, mass = watched(), Counted(MASS)
    heavier = replace(project, door=replace(project.door, leaf=replace(project.door.leaf, mass=77.0)))
    assert answered(mass, project) == (PROJECT.door.leaf.mass,)
    assert answered(mass, heavier) == (77.0,)


def test_arguments_tell_answers_apart_and_stand_in_their_place():
    times = once_a_project(lambda project, factor: factor * value_at(project, MASS))
    for project in (watched(), PROJECT):
        assert [times(project, factor) for factor in (1.0, 2.0, 1.0)] == pytest.approx(
            [factor * PROJECT.door.leaf.mass for factor in (1.0, 2.0, 1.0)]
        )
        with pytest.raises(TypeError, match="by place"):
            times(project, factor=1.0)


def test_what_was_refused_is_asked_again():
    calls = []

    @once_a_project
    def refused(project):
        calls.append(project.door.leaf.mass)
        raise RequestError("no")

    project = watched()
    for _ in range(2):
        with pytest.raises(RequestError):
            refused(project)
    assert len(calls) == 2


@given(st.dictionaries(st.sampled_from([MASS, TRIP, LENGTH, COLDEST]), st.floats(-50.0, 400.0)))
def test_moves_as_a_plain_project_moves_or_refuses_as_it_refuses(changes):
    project = watched()

    def told(move, which):
        try:
            return [value_at(move(which, changes), path) for path in changes]
        except ModelError as error:
            return (error.field, error.read)

    expected = told(replaced, PROJECT)
    assert [told(moved, project) for _ in range(2)] == [expected] * 2  # the second time from memory


@pytest.mark.parametrize(
    "path", [(), ("nothing",), ("door", "nothing"), ("network", "no", "such"), ("name", "x")]
)
def test_an_address_that_leads_nowhere_is_told_as_of_a_plain_project(path):
    with pytest.raises(RequestError) as plain:
        replaced(PROJECT, {path: 1.0})
    with pytest.raises(RequestError) as caught:
        moved(watched(), {path: 1.0})
    assert str(caught.value) == str(plain.value)


def test_a_record_set_apart_is_plain_and_counts_as_read():
    project = watched()
    edge = once_a_project(lambda each: apart(value_at(each, MASS[:-1])))
    assert type(edge(project)) is type(PROJECT.door.leaf)
    assert edge(project) == PROJECT.door.leaf
    assert edge(moved(project, {MASS: 33.0})).mass == 33.0


def test_a_watched_record_in_an_answer_is_found_wherever_it_hides():
    @dataclass(frozen=True)
    class Answer:
        inner: object

    door = watched().door
    for answer in (door, (1.0, [door]), {"a": door}, Answer((door,))):
        assert list(watched_in(answer)) == [door]
    assert list(watched_in(Answer((PROJECT.door, 1.0, "x")))) == []
