"""Which files of tests share what is dear to work out, and therefore run in one process.

xdist hands out the tests file by file; what one process remembers, the others work out again.  The files of
one group below are handed out as though they were one file.
"""

from __future__ import annotations

# Every one reads the answers of `tests.answered`.
DEMOS_ANSWERED = (
    "tests/checks/test_priorities.py",
    "tests/house/test_handbook.py",
    "tests/outputs/test_contract.py",
    "tests/outputs/test_report.py",
    "tests/test_app.py",
    "tests/test_assessment.py",
)
GROUPS = {path: "the demos answered" for path in DEMOS_ANSWERED}


def scope_of(nodeid: str) -> str:
    """The group of a test's file, or the file itself."""
    path = nodeid.split("::", 1)[0]
    return GROUPS.get(path, path)
