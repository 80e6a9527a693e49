"""Writes the handbook's page of the reversal's setting; run as ``python -m tools.populations``.

It takes some forty minutes on two shared cores. What is drawn by chance is drawn by the number of door and
cycle, so that the page is the same every time; only the last bits of sine, cosine and exponential differ from
one C library to the next, which may move a cycle or two from one column to another.
"""

from __future__ import annotations

import sys
from pathlib import Path

from hutwright.description.writing import write_atomic
from tools.populations.page import page
from tools.populations.run import all_found
from tools.populations.study import Size

PAGE = Path(__file__).resolve().parents[2] / "docs" / "handbook" / "reversal-study.md"
SIZE = Size(seed=1, members=6, training=(10, 30, 100, 200), free=60, hard=12, soft=12)
INTERRUPTED = 130  # exit status, as shells have it


def main() -> int:
    """Write the page; 130 where it was stopped, which leaves the page as it was."""

    def tell(done: int, of: int) -> None:
        sys.stderr.write(f"\r{done} of {of} settings judged")
        sys.stderr.flush()

    try:
        found = all_found(SIZE, progress=tell)
    except KeyboardInterrupt:
        sys.stderr.write(f"\nstopped; {PAGE.name} is as it was\n")
        return INTERRUPTED
    sys.stderr.write("\n")
    write_atomic(PAGE, page(found, SIZE))
    return 0


if __name__ == "__main__":
    sys.exit(main())
