"""What every test may use, and the rules of the house that pytest itself keeps."""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from tests.house.budget import Spent, fault_of
from tests.house.marks import fault_of_mark
from tests.house.places import TOP
from tests.house.together import scope_of

IN_CI = os.environ.get("CI") == "true"

# Machines are shared and tests compile and simulate: an example that is slow once says nothing.
settings.register_profile(
    "everyday",
    max_examples=50,
    deadline=None,
    derandomize=IN_CI,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("thorough", settings.get_profile("everyday"), max_examples=500)
settings.load_profile("everyday")  # --hypothesis-profile on the command line comes later, and wins


def tool_path(name: str, *, in_ci: bool = IN_CI) -> Path:
    """The program of that name; a test that lacks it is skipped, and in CI fails."""
    found = shutil.which(name)
    if found is None:
        sentence = f"{name} is not on PATH; `make tools` installs it on Debian"
        if in_ci:
            pytest.fail(f"{sentence}; in CI no test may be left out for that", pytrace=False)
        pytest.skip(sentence)
    return Path(found)


@pytest.fixture(scope="session")
def require_tool() -> Callable[[str], Path]:
    """A function that gives the path of a program, or skips the test (in CI: fails it)."""
    return tool_path


@pytest.fixture
def hut(tmp_path: Path) -> Path:
    """A folder of a project that a test may write to, with the orchard demo's description."""
    folder = tmp_path / "hut"
    folder.mkdir()
    shutil.copy(TOP / "demos" / "orchard" / "hut.toml", folder)
    return folder


# ---- marks -------------------------------------------------------------------------------------------


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Generator[None, Any, pytest.CollectReport]:
    """Refuse a mark of the outside checks that does not say where its values come from."""
    report: pytest.CollectReport = yield
    faults = [
        f"{item.nodeid}: {fault}"
        for item in report.result or ()
        if isinstance(item, pytest.Item)
        for mark in item.iter_markers()
        if (fault := fault_of_mark(mark.name, mark.args, mark.kwargs)) is not None
    ]
    if faults:
        report.outcome, report.longrepr, report.result = "failed", "\n".join(faults), []
    return report


# ---- what runs together ------------------------------------------------------------------------------


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Hand out tests by files, as `--dist loadfile` does, and some files as though they were one."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling  # type: ignore[import-untyped]

    class Together(LoadFileScheduling):  # type: ignore[misc]
        def _split_scope(self, nodeid: str) -> str:
            return scope_of(nodeid)

    return Together(config, log)


# ---- the five minutes of the everyday tests -----------------------------------------------------------

SPENT = pytest.StashKey[Spent]()
VERDICT = pytest.StashKey[str]()


def pytest_configure(config: pytest.Config) -> None:
    """Start the watch, on the process that collects the results (xdist's workers only run).

    Slow results are kept in a folder of this session, which its workers share, and not in the user's.
    """
    if not hasattr(config, "workerinput"):
        folder = tempfile.mkdtemp(prefix="hutwright-tests-")
        os.environ["XDG_CACHE_HOME"] = folder
        config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
        workers = getattr(config.option, "numprocesses", None) or 1
        config.stash[SPENT] = Spent(began=time.monotonic(), workers=int(workers))
        config.pluginmanager.register(Watch(config), "everyday-budget")


class Watch:
    """Adds up what each test took, and ends the session badly where the everyday part took too long."""

    def __init__(self, config: pytest.Config) -> None:
        """Remember where the sums are kept."""
        self.config = config

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count one phase of one test: setup, call or teardown."""
        self.config.stash[SPENT].add(report.duration, slow="slow" in report.keywords)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Judge the whole session once it is over."""
        spent = self.config.stash[SPENT]
        fault = fault_of(spent.everyday_seconds(time.monotonic()))
        if fault is not None:
            self.config.stash[VERDICT] = fault
            if session.exitstatus == pytest.ExitCode.OK:
                session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Say it where people look."""
        fault = self.config.stash.get(VERDICT, None)
        if fault is not None:
            terminalreporter.write_line(fault, red=True, bold=True)
