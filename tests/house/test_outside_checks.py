"""The handbook's page of the checks against the outside is complete and current."""

from __future__ import annotations

import pytest

from tools.outside_checks import PAGE, OutsideCheck, UnreadableMarkError, all_checks, checks_in, page

SAMPLE = """
import pytest

pytestmark = pytest.mark.practice("whole file")
DOCUMENT = "A document, 1st edition"
TABLED = pytest.mark.published(DOCUMENT + ", table 2")
CASES = [1, pytest.param(2, marks=pytest.mark.recalled("seen "
                                                       "once"))]

@TABLED
@pytest.mark.parametrize("x", [1, 2])
def test_named(x): ...

@pytest.mark.parametrize("x", CASES)
def test_cases(x): ...

@pytest.mark.published(f"{DOCUMENT}, clause 3")
class TestGroup:
    pytestmark = [pytest.mark.slow, pytest.mark.recalled("group")]

    async def test_inside(self): ...

    def help_only(self): ...
"""

PRACTICE = ("practice", "whole file")


def test_reads_a_mark_wherever_pytest_takes_one():
    found = [(check.mark, check.source, check.test) for check in checks_in("tests/test_s.py", SAMPLE)]
    assert found == [
        (*PRACTICE, "tests/test_s.py::test_named"),
        ("published", "A document, 1st edition, table 2", "tests/test_s.py::test_named"),
        (*PRACTICE, "tests/test_s.py::test_cases"),
        ("recalled", "seen once", "tests/test_s.py::test_cases"),
        (*PRACTICE, "tests/test_s.py::TestGroup::test_inside"),
        ("published", "A document, 1st edition, clause 3", "tests/test_s.py::TestGroup::test_inside"),
        ("recalled", "group", "tests/test_s.py::TestGroup::test_inside"),
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("@pytest.mark.published(source())\ndef test_a(): ...", "line 1: a mark wants one text"),
        ("@pytest.mark.published('')\ndef test_a(): ...", "line 1: a mark wants one text"),
        ("@pytest.mark.published\ndef test_a(): ...", "line 1: a mark wants one text"),
        ("\n@pytest.mark.recalled('x')\ndef no_test(): ...", "line 2: this mark belongs to no test"),
    ],
)
def test_refuses_a_mark_that_it_cannot_place(text, fault):
    with pytest.raises(UnreadableMarkError, match=fault):
        checks_in("tests/test_s.py", text)


def test_groups_by_mark_and_source_in_an_order_that_does_not_change():
    checks = [
        OutsideCheck("recalled", "seen once", "tests/test_b.py::test_c"),
        OutsideCheck("published", "Paper, table 1", "tests/test_b.py::test_b"),
        OutsideCheck("published", "Paper, table 1", "tests/test_a.py::test_a"),
    ]
    text = page(checks)
    assert text == page(checks[::-1])
    assert "Paper, table 1\n\n- `tests/test_a.py::test_a`\n- `tests/test_b.py::test_b`\n" in text
    assert text.index("## Published") < text.index("## Common practice") < text.index("seen once")


def test_the_committed_page_is_current():
    assert PAGE.is_file(), "the page is not there: `make handbook` writes it"
    assert PAGE.read_text("utf-8") == page(all_checks()), (
        "the page is out of date: `make handbook` writes it anew"
    )
