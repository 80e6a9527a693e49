"""An assessment as text: what to do first, every check worst first, what was assumed, what was not asked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hutwright.assessment import Assessment, Measurement, NotAsked
from hutwright.checks.priorities import Action
from hutwright.checks.verdict import Status, Tier, Verdict
from hutwright.description import wanted
from hutwright.model.paths import Keys, field_name
from hutwright.outputs.cautions import cautions_of
from hutwright.outputs.phrasing import (
    cited,
    columns,
    datum_text,
    doubt_text,
    heading,
    lever_text,
    limit_text,
    listed,
    lowered,
    margin_text,
    range_text,
    reason_text,
    several,
    spread_of,
    value_text,
    width_within,
    wrapped,
)

HEADS = ("status", "check", "value", "limit", "margin")
NARROW = 76  # columns; on a narrower screen each check stands on lines of its own
STATUS_WIDTH = len(Status.UNDECIDED.value)


def report(assessment: Assessment, *, width: int = 100, titles: dict[str, str] | None = None) -> str:
    """An assessment as text.

    Parameters
    ----------
    assessment : Assessment
        What came out.
    width : int
        Columns of the screen; at most 100 are used. [-]
    titles : dict of str to str or None
        Title of a trade by its name; the name itself where it is not given.

    Returns
    -------
    str
        The report, with a line end behind its last line.
    """
    width = width_within(width)
    lines = [
        *_title(assessment, width),
        *_first(assessment, width),
        *_trades(assessment, width, titles or {}),
        *_not_asked(assessment.not_asked, width),
        *_assumed(assessment, width),
        *_cautions(assessment, width),
    ]
    return "\n".join(lines) + "\n"


def counted(verdicts: Iterable[Verdict]) -> str:
    """How many hold, barely hold, are undecided and miss."""
    found = [verdict.status for verdict in verdicts]
    counts = [found.count(status) for status in Status]
    holds, barely, undecided, misses = counts
    return f"{holds} hold, {barely} barely, {undecided} undecided, {misses} miss"


def _title(assessment: Assessment, width: int) -> list[str]:
    described = assessment.described
    name = described.project.name
    if described.variant:
        name += f', variant "{described.title or described.variant}"'
    if not assessment.verdicts:
        return wrapped(f"{name}: nothing could be asked yet", width)
    checks = several(len(assessment.verdicts), "check", "checks")
    return wrapped(f"{name}: {checks}: {counted(assessment.verdicts)}", width, rest="  ")


def _first(assessment: Assessment, width: int) -> list[str]:
    lines: list[str] = []
    if assessment.actions:
        lines += heading("Do first")
        for number, action in enumerate(assessment.actions, 1):
            lines += _action(number, action, width)
    if assessment.measurement is not None:
        lines += heading("Measure first")
        lines += _measurement(assessment.measurement, width)
    return lines


def _action(number: int, action: Action, width: int) -> list[str]:
    return [
        *wrapped(lever_text(action.lever), width, f"  {number}. "),
        *wrapped(f"serves {listed(action.keys)}", width, "     "),
    ]


def _measurement(measurement: Measurement, width: int) -> list[str]:
    datum = measurement.datum
    path = ".".join(datum.path)
    why = reason_text(datum)
    lines = wrapped(
        f"{path}: taken as {datum_text(datum)} ({datum.origin.value}{f'; {why}' if why else ''})",
        width,
        "  ",
        "     ",
    )
    if measurement.settles:
        lines += wrapped(f"knowing it could settle {listed(measurement.settles)}", width, "     ")
    share = f"takes away up to {_percent(measurement.shrinks)} of the doubt in {listed(measurement.keys)}"
    return lines + wrapped(share, width, "     ")


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


# --- the checks ----------------------------------------------------------------------------------------


def _trades(assessment: Assessment, width: int, titles: dict[str, str]) -> list[str]:
    lines: list[str] = []
    for trade in dict.fromkeys(verdict.question.trade for verdict in assessment.verdicts):
        own = [verdict for verdict in assessment.verdicts if verdict.question.trade == trade]
        lines += heading(titles.get(trade, trade))
        lines += _table(own, width) if width >= NARROW else _stack(own, width)
    return lines


def name_of(verdict: Verdict) -> str:
    """Title of a check, the thing it is about, and its key."""
    about = f", {verdict.check.subject}" if verdict.check.subject else ""
    return f"{verdict.question.title}{about} [{verdict.key}]"


def _cells(verdict: Verdict) -> tuple[str, ...]:
    extent = range_text(verdict)
    value = value_text(verdict)
    if extent and extent != value:
        value += f" ({extent.replace(' ', NO_BREAK)})"
    margin = margin_text(verdict.worst, spread_of(verdict))
    limit = limit_text(verdict.worst)
    return verdict.status.value, name_of(verdict), value, limit, margin


NO_BREAK = "\N{NO-BREAK SPACE}"


def _table(verdicts: Sequence[Verdict], width: int) -> list[str]:
    rows = [_cells(verdict) for verdict in verdicts]
    value = min(20, max(len(HEADS[2]), *(_longest_part(row[2]) for row in rows)))
    limit = min(18, max(len(HEADS[3]), *(len(row[3]) for row in rows)))
    margin = min(11, max(len(HEADS[4]), *(len(row[4]) for row in rows)))
    check = width - 2 - STATUS_WIDTH - value - limit - margin - 4 * 2
    widths = (STATUS_WIDTH, check, value, limit, margin)
    lines = columns([HEADS], widths, "  ")
    for verdict, row in zip(verdicts, rows, strict=True):
        lines += [line.replace(NO_BREAK, " ") for line in columns([row], widths, "  ")]
        lines += _explained(verdict, width)
    return lines


def _longest_part(cell: str) -> int:
    """Length of the longest of a value and its range, which may stand on two lines."""
    return max(len(part) for part in cell.replace(" (", "\n(").split("\n"))


def _stack(verdicts: Sequence[Verdict], width: int) -> list[str]:
    lines: list[str] = []
    for verdict in verdicts:
        status, name, value, limit, margin = _cells(verdict)
        lines += wrapped(name, width, f"  {status.ljust(STATUS_WIDTH)}  ")
        numbers = "; ".join(part.replace(" ", NO_BREAK) for part in (value, limit, f"margin {margin}"))
        told = wrapped(numbers, width, " " * (STATUS_WIDTH + 4))
        lines += [line.replace(NO_BREAK, " ") for line in told]
        lines += _explained(verdict, width)
    return lines


def _explained(verdict: Verdict, width: int) -> list[str]:
    """Why a check matters, what would change it and where its limit comes from; nothing where it holds."""
    if verdict.status is Status.HOLDS:
        return []
    indent = " " * (STATUS_WIDTH + 4)
    lines: list[str] = []
    if verdict.check.meaning:
        lines += wrapped(f"because {lowered(verdict.check.meaning)}", width, indent, indent + "  ")
    return [*lines, *lever_lines(verdict, width, indent), *source_lines(verdict, width, indent), ""]


def source_lines(verdict: Verdict, width: int, indent: str) -> list[str]:
    """Where the limit of a check comes from."""
    return wrapped(f"limit: {cited(verdict.worst.limit_from)}", width, indent, indent + "  ")


def lever_lines(verdict: Verdict, width: int, indent: str) -> list[str]:
    """What would change a check, the cheapest first."""
    if not verdict.status.short:
        return []
    working = [lever for lever in verdict.levers if lever.works]
    if not working and verdict.status is Status.UNDECIDED and verdict.tier is Tier.QUICK:
        return _settled_by(verdict, width, indent)
    if not working:
        told = "no lever within the allowed range" if verdict.levers else "no lever is known for this check"
        return wrapped(told, width, indent)
    lines: list[str] = []
    for number, lever in enumerate(working):
        lines += wrapped(lever_text(lever), width, f"{indent}{'or ' if number else 'do '}")
    return lines


def _settled_by(verdict: Verdict, width: int, indent: str) -> list[str]:
    """What would settle a check that is open; a quick answer looks for no levers before it is."""
    more = f"`hutwright why DIR {verdict.key}` lists what would change it"
    doubt, first = verdict.check.doubt, next(iter(verdict.influences), None)
    known = f"know {'.'.join(first.path)} first" if first is not None and first.settles else ""
    if verdict.method_settles and doubt is not None:
        told = f"{doubt.settled_by} could settle it{' too' if known else ''}"
        more = f"the method leaves {doubt_text(verdict.check)} open; {more}"
        return wrapped("; ".join(filter(None, (known, told, more))), width, indent, indent + "  ")
    if first is None:
        return wrapped(more, width, indent)
    known = known or f"narrow {'.'.join(first.path)} first"
    return wrapped(f"{known}; {more}", width, indent, indent + "  ")


# --- the rest ------------------------------------------------------------------------------------------


def _not_asked(not_asked: Sequence[NotAsked], width: int) -> list[str]:
    if not not_asked:
        return []
    lines = heading("Not asked yet")
    for lacking in dict.fromkeys(each.lacking for each in not_asked):
        titles = [each.question.title for each in not_asked if each.lacking == lacking]
        lines += ["  Describe"]
        for path in lacking:
            lines += wrapped(f"{'.'.join(path)}: {about(path)}", width, "    ", "      ")
        lines += ["  to learn"]
        for title in titles:
            lines += wrapped(title, width, "    - ")
    return lines


def about(path: Keys) -> str:
    """What stands at an address, in plain words."""
    record = wanted.hint_at(path[:-1])
    if not isinstance(record, type):
        return path[-1]
    return wanted.meaning(record, field_name(path[-1]))


def _assumed(assessment: Assessment, width: int) -> list[str]:
    if not assessment.assumed:
        return []
    lines = heading("Assumed")
    lines += wrapped(
        "What the description does not say was taken as follows; what you write yourself goes first.",
        width,
        "  ",
    )
    for datum in assessment.assumed:
        path = ".".join(datum.path)
        lines += wrapped(f"{path}: {datum_text(datum)}; {reason_text(datum)}", width, "  ", "      ")
    return lines


def _cautions(assessment: Assessment, width: int) -> list[str]:
    lines = heading("Cautions")
    for caution in cautions_of(assessment):
        lines += wrapped(caution, width, "  - ")
    return lines
