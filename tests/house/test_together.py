"""Files that share dear answers run in one process, and no such file is left out."""

from __future__ import annotations

from tests.house.places import TOP
from tests.house.together import GROUPS, scope_of


def readers() -> set[str]:
    """The files of tests that read the demos' shared answers."""
    return {
        path.relative_to(TOP).as_posix()
        for path in (TOP / "tests").rglob("test_*.py")
        if "from tests.answered import" in path.read_text("utf-8") and path.name != "test_together.py"
    }


def test_every_file_that_reads_the_demos_answers_is_in_their_group_and_no_other():
    assert readers() == set(GROUPS)


def test_tests_of_one_group_have_one_scope_and_all_others_that_of_their_file():
    assert scope_of("tests/test_app.py::test_a[x::y]") == scope_of("tests/test_assessment.py::test_b")
    assert scope_of("tests/test_units.py::test_a[x::y]") == "tests/test_units.py"
