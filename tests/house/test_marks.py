"""A mark of the outside checks says in one text where its values come from."""

from __future__ import annotations

import pytest

from tests.house.marks import OUTSIDE_MARKS, fault_of_mark
from tools.outside_checks import MARKS


@pytest.mark.parametrize("name", OUTSIDE_MARKS)
@pytest.mark.parametrize(
    ("args", "kwargs"),
    [((), {}), (("",), {}), (("  ",), {}), ((7,), {}), (("one", "two"), {}), ((), {"source": "one"})],
)
def test_refuses_a_mark_without_its_one_text(name, args, kwargs):
    fault = fault_of_mark(name, args, kwargs)
    assert fault is not None
    assert OUTSIDE_MARKS[name] in fault


@pytest.mark.parametrize("name", OUTSIDE_MARKS)
def test_takes_a_mark_with_its_one_text(name):
    assert fault_of_mark(name, ("a document, 2nd edition, table 1",), {}) is None


def test_leaves_other_marks_alone():
    assert fault_of_mark("slow", (), {}) is None


def test_the_handbook_knows_the_same_marks():
    assert list(OUTSIDE_MARKS) == list(MARKS)
