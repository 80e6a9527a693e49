"""The rules that pytest itself keeps, tried out on a small suite of tests of its own."""

from __future__ import annotations

import pytest

from tests.house.budget import LIMIT_VARIABLE
from tests.house.places import TOP

pytest_plugins = ["pytester"]
pytestmark = pytest.mark.slow  # each starts a pytest of its own


@pytest.fixture
def suite(pytester, monkeypatch):
    """A folder with the project's own conftest; CI, workers and limit are as if not set."""
    pytester.makeconftest((TOP / "tests" / "conftest.py").read_text("utf-8"))
    markers = "\n    ".join(["published(source)", "practice(what)", "recalled(why)", "slow"])
    pytester.makeini(f"[pytest]\naddopts = --strict-markers -p no:cacheprovider\nmarkers =\n    {markers}\n")
    monkeypatch.setenv("PYTHONPATH", str(TOP))
    for name in ("CI", LIMIT_VARIABLE, "PYTEST_XDIST_WORKER", "PYTEST_ADDOPTS"):
        monkeypatch.delenv(name, raising=False)
    return pytester


NEEDS_A_TOOL = "def test_needs_a_tool(require_tool):\n    assert require_tool('{name}').is_file()\n"


def test_a_tool_that_is_there_is_given_as_a_path(suite):
    suite.makepyfile(NEEDS_A_TOOL.format(name="sh"))
    suite.runpytest_subprocess().assert_outcomes(passed=1)


def test_a_missing_tool_skips_the_test(suite):
    suite.makepyfile(NEEDS_A_TOOL.format(name="no-such-program"))
    result = suite.runpytest_subprocess("-rs")
    result.assert_outcomes(skipped=1)
    result.stdout.fnmatch_lines(["*no-such-program is not on PATH; `make tools` installs it*"])


def test_a_missing_tool_fails_the_test_in_ci(suite, monkeypatch):
    monkeypatch.setenv("CI", "true")
    suite.makepyfile(NEEDS_A_TOOL.format(name="no-such-program"))
    result = suite.runpytest_subprocess()
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["*in CI no test may be left out*"])


@pytest.mark.parametrize("workers", ["0", "2"])
def test_a_mark_without_its_source_stops_the_collection(suite, workers):
    suite.makepyfile("import pytest\n\n@pytest.mark.published()\ndef test_a():\n    pass\n")
    result = suite.runpytest_subprocess("-n", workers)
    assert result.ret in (pytest.ExitCode.INTERRUPTED, pytest.ExitCode.TESTS_FAILED)
    assert (
        "wants one text: the document, its edition and the place in it"
        in result.stdout.str() + result.stderr.str()
    )


@pytest.mark.parametrize("workers", ["0", "2"])
def test_a_session_over_the_limit_fails_though_every_test_passed(suite, monkeypatch, workers):
    monkeypatch.setenv(LIMIT_VARIABLE, "0.2")
    suite.makepyfile("import time\n\ndef test_a():\n    time.sleep(0.3)\n")
    result = suite.runpytest_subprocess("-n", workers)
    result.assert_outcomes(passed=1)
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["The everyday tests took * s; at most 0.2 s is wanted*"])


@pytest.mark.parametrize("workers", ["0", "2"])
def test_a_session_of_slow_tests_has_no_limit(suite, monkeypatch, workers):
    monkeypatch.setenv(LIMIT_VARIABLE, "0.2")
    suite.makepyfile("import time, pytest\n\n@pytest.mark.slow\ndef test_a():\n    time.sleep(0.3)\n")
    result = suite.runpytest_subprocess("-n", workers)
    result.assert_outcomes(passed=1)
    assert result.ret == pytest.ExitCode.OK


def test_a_session_without_any_test_fails(suite):
    suite.makepyfile("def no_test():\n    pass\n")
    assert suite.runpytest_subprocess().ret == pytest.ExitCode.NO_TESTS_COLLECTED


SETTINGS = """
from hypothesis import settings

def test_profile():
    assert (settings().derandomize, settings().max_examples, settings().deadline) == {wanted}
"""


@pytest.mark.parametrize(
    ("variables", "args", "wanted"),
    [
        ({}, (), (False, 50, None)),
        ({"CI": "true"}, (), (True, 50, None)),
        ({"CI": "true"}, ("--hypothesis-profile", "thorough"), (True, 500, None)),
    ],
)
def test_hypothesis_runs_the_same_examples_every_time_in_ci(suite, monkeypatch, variables, args, wanted):
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    suite.makepyfile(SETTINGS.format(wanted=wanted))
    suite.runpytest_subprocess(*args).assert_outcomes(passed=1)
