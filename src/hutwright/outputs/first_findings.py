"""What a first description already tells: three findings, and what to measure next."""

from __future__ import annotations

from collections.abc import Sequence

from hutwright.assessment import Assessment
from hutwright.checks.verdict import Verdict
from hutwright.outputs.measuring import suggestion_lines
from hutwright.outputs.phrasing import (
    limit_text,
    listed,
    range_text,
    several,
    value_text,
    width_within,
    wrapped,
)
from hutwright.outputs.report import about, lever_lines, name_of, source_lines
from hutwright.studies.next_reading import Suggestion

MOST = 3
INDENT = " " * 5


def findings(assessment: Assessment) -> tuple[Verdict, ...]:
    """The three verdicts that matter most, the worst first.

    Parameters
    ----------
    assessment : Assessment
        Of all that is described.
    """
    by_weight = sorted(
        assessment.verdicts, key=lambda each: (-each.status.rank, -each.question.concern, each.key)
    )
    return tuple(by_weight[:MOST])


def findings_text(assessment: Assessment, next_up: Sequence[Suggestion], *, width: int = 100) -> str:
    """Three findings of a first description, and what to measure next.

    Parameters
    ----------
    assessment : Assessment
        Of all that is described.
    next_up : Sequence
        The values worth measuring, the one that decides most first.
    width : int
        Columns of the screen. [-]
    """
    width = width_within(width)
    found = findings(assessment)
    if not found:
        return "\n".join(_nothing(assessment, width)) + "\n"
    checks = several(len(assessment.verdicts), "check", "checks")
    lines = [f"What it tells already, the weightiest of {checks}:"]
    for number, verdict in enumerate(found, 1):
        lines += wrapped(f"{verdict.status.value}: {name_of(verdict)}", width, f"  {number}. ")
        spread = range_text(verdict)
        told = f"{value_text(verdict)}{f' ({spread})' if spread else ''}, {limit_text(verdict.worst)}"
        lines += wrapped(told, width, INDENT)
        lines += [*lever_lines(verdict, width, INDENT), *source_lines(verdict, width, INDENT)]
    lines.append("")
    if next_up:
        lines += ["Measure next:", *suggestion_lines(next_up[0], width, "  ")]
    else:
        lines += wrapped("No open check hangs on a value that could be measured better.", width)
    return "\n".join(lines) + "\n"


def _nothing(assessment: Assessment, width: int) -> list[str]:
    if assessment.described.project.network is not None:
        return wrapped(
            "Nothing can be told of the wireless signal yet: there are no checks of it. What is written down "
            "is kept for them. `hutwright start` with another answer to what bothers you tells of the rest.",
            width,
        )
    lacking = {path[0]: about(path) for each in assessment.not_asked for path in each.lacking}
    return wrapped(
        f"Nothing can be told of it yet; most waits for {listed(list(lacking.values())[:4])}. Write more of "
        "it down: docs/start.md.",
        width,
    )
