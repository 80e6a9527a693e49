"""The wiring as one page of text: net list, fuses, regulators, pins, and what to look at before power."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from hutwright import units
from hutwright.assessment import Assessment
from hutwright.checks.lever import Lever
from hutwright.checks.shown import shown, shown_range
from hutwright.checks.verdict import Verdict
from hutwright.model.circuit import BRIDGE, DRIVE, Regulator
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.trades.wiring.pin_map import FREE, PinMap, assigned
from hutwright.units import Dimension

WIDTH = 100
BREAKS = re.compile(r"(?<!\d) ")  # a number stays with its unit
NOTHING = "-"
TRADE = "wiring"


def wiring_page(assessment: Assessment) -> str:
    """The wiring of a described shelter as one page of plain text.

    Parameters
    ----------
    assessment : Assessment
        The answer of all trades to a description.

    Returns
    -------
    str
        The page, with a line feed at the end of every line.
    """
    project = assessment.described.project
    wiring = [each for each in assessment.verdicts if each.question.trade == TRADE]
    lines = [f"Wiring of {project.name}", "=" * len(f"Wiring of {project.name}")]
    for title, body in (
        ("Cables", _cables(project)),
        ("Fuses", _fuses(project)),
        ("Regulators, from the supply to the board", _regulators(project)),
        ("To change at the regulators", _changes(wiring)),
        ("Pins of the board", _pins(assigned(project))),
        ("What does not hold yet", _short(wiring)),
        ("Before power is applied", _before_power(assessment)),
        ("Cautions", _list(assessment.cautions)),
    ):
        text = list(body)
        if text:
            lines += ["", title, "-" * len(title), *text]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Columns as wide as what stands in them."""
    all_rows = [tuple(head), *(tuple(row) for row in rows)]
    if len(all_rows) == 1:
        return
    widths = [max(len(row[column]) for row in all_rows) for column in range(len(head))]
    for row in all_rows:
        yield "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True))


def _list(texts: Iterable[str]) -> Iterator[str]:
    """Each text with a box to tick, broken at the page's width."""
    for text in texts:
        line = "[ ]"
        for word in BREAKS.split(text):
            if len(line) + 1 + len(word) > WIDTH:
                yield line
                line = "   "
            line += f" {word}"
        yield line


def _cables(project: Project) -> Iterator[str]:
    head = ("cable", "from", "to", "core", "length", "fuse", "colours, plus and minus", "runs", "arrester")
    return _table(
        head,
        (
            (
                name,
                cable.from_,
                cable.to,
                cable.core,
                shown(cable.length, units.LENGTH),
                cable.fuse or NOTHING,
                ", ".join(cable.colours) or NOTHING,
                cable.route.value,
                "at both ends" if cable.arrester else NOTHING,
            )
            for name, cable in project.cables.items()
        ),
    )


def _fuses(project: Project) -> Iterator[str]:
    rows = []
    for name, fuse in project.fuses.items():
        starts = [each for each, cable in project.cables.items() if cable.fuse == name]
        places = [f"{each}, at {project.cables[each].from_}" for each in starts]
        rows.append((name, fuse.kind, shown(fuse.rating, units.CURRENT), "; ".join(places) or "in no cable"))
    return _table(("fuse", "kind", "rating", "at the start of"), rows)


def _regulators(project: Project) -> Iterator[str]:
    head = ("regulator", "kind", "fed by", "gives", "in", "out", "diode before it", "reservoir")
    rows = [
        (
            name,
            regulator.kind,
            _fed_by(project, name),
            shown(regulator.output, units.VOLTAGE),
            shown(regulator.input_capacitor, units.CAPACITANCE),
            shown(regulator.output_capacitor, units.CAPACITANCE),
            "yes" if regulator.diode else "no",
            _reservoir(regulator),
        )
        for name, regulator in project.regulators.items()
    ]
    return _table(head, rows)


def _reservoir(regulator: Regulator) -> str:
    return shown(regulator.reservoir, units.CAPACITANCE) if regulator.reservoir > 0.0 else NOTHING


def _fed_by(project: Project, name: str) -> str:
    cables = (f"{cable.from_} by {each}" for each, cable in project.cables.items() if cable.to == name)
    return next(cables, None) or project.regulators[name].fed_by or NOTHING


def _changes(verdicts: Iterable[Verdict]) -> Iterator[str]:
    """Parts at the regulators with which a check that fails now would hold, as its levers were solved."""
    found: dict[str, list[str]] = {}
    for verdict in verdicts:
        for lever in verdict.levers:
            if lever.option is not None and any(_at_regulator(path) for path in _paths(lever)):
                found.setdefault(lever.option.words, []).append(verdict.question.title)
    return _list(f"{words} (for: {', '.join(dict.fromkeys(titles))})" for words, titles in found.items())


def _paths(lever: Lever) -> tuple[Keys, ...]:
    return tuple(lever.option.changes) if lever.option is not None else ()


def _at_regulator(path: Keys) -> bool:
    return path[0] == "regulators"


def _pins(pins: PinMap | None) -> Iterator[str]:
    if pins is None:
        return
    rows = []
    for function in pins.functions:
        pin = pins.pins.get(function.name, "none")
        whose = "chosen" if function.given == FREE else "described"
        reason = pins.conflicts.get(function.name, function.reason)
        if function.name in pins.open:
            reason = f"no pin is left that can do it; {reason}"
        rows.append((pin, function.name, whose, reason))
    yield from _table(("pin", "function", "", "because it"), rows)
    yield from _list(pins.notes)


def _short(verdicts: Iterable[Verdict]) -> Iterator[str]:
    """Checks that miss or are undecided, each with its value, its limit and what helps first."""
    texts = []
    for verdict in verdicts:
        if not verdict.status.short:
            continue
        check, dimension = verdict.worst, verdict.question.dimension
        value = _span(verdict.low, verdict.high, dimension)
        about = f" ({check.subject})" if check.subject else ""
        wanted = f"{check.sense.value} {shown(check.limit, dimension)}"
        said = f"{verdict.question.title}{about}: {value}, wanted {wanted}"
        helps = next((lever.option.words for lever in verdict.levers if lever.option is not None), None)
        texts.append(f"{said}; {helps}" if helps else said)
    return _list(texts)


def _span(low: float, high: float, dimension: Dimension) -> str:
    return shown(low, dimension) if low == high else shown_range(low, high, dimension)


def _before_power(assessment: Assessment) -> Iterator[str]:
    """What to look at with the fuses out, and then one after another."""
    project = assessment.described.project
    texts = []
    if project.fuses:
        texts.append(f"Leave the fuses out: {', '.join(project.fuses)}.")
    texts.append("Compare every cable with the table above: from, to, core, colours; tug at every clamp.")
    texts.append("Measure between plus and minus at every node with the supply off: it must not be a short.")
    for name, cable in project.cables.items():
        if cable.fuse is not None:
            texts.append(
                f"See that fuse {cable.fuse} sits at {cable.from_}, at the very start of the {name} cable."
            )
    for name, supply in project.supplies.items():
        low, high = _ends(assessment, ("supplies", name, "voltage"), supply.voltage)
        reading = f"{_span(low, high, units.VOLTAGE)} with the red lead at plus"
        texts.append(f"Measure {name}: {reading}; a minus sign means swapped wires.")
    if project.fuses:
        texts.append("Unplug the board and the drive, and put the fuses in.")
    for name, regulator in project.regulators.items():
        low, high = _ends(assessment, ("regulators", name, "output"), regulator.output)
        reading = f"{_span(low, high, units.VOLTAGE)} at its output"
        texts.append(f"Power {name} with nothing behind it and measure {reading}.")
        if regulator.diode:
            texts.append(f"See that the diode before {name} has its ring towards the regulator.")
    texts += _moving(project)
    return _list(texts)


def _moving(project: Project) -> Iterator[str]:
    if any(cable.to == BRIDGE for cable in project.cables.values()):
        yield "Give each pin of the bridge a resistor to minus, which keeps it off while the board starts."
        yield "Reset the board while the bridge has power: the motor must not twitch."
    if any(cable.to == DRIVE for cable in project.cables.values()):
        yield "Let the drive run both ways, a second each, before it is pinned to the leaf."


def _ends(assessment: Assessment, path: Keys, nominal: float) -> tuple[float, float]:
    """The range of a value as described, in SI."""
    datum = assessment.described.values.get(path)
    if datum is None or datum.low is None or datum.high is None:
        return nominal, nominal
    return datum.low, datum.high
