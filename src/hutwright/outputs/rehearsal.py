"""A rehearsal as text: every scenario with what was expected of it, what was not met, and what would help."""

from __future__ import annotations

import math
from collections.abc import Iterable

from hutwright import units
from hutwright.assessment import trades
from hutwright.bench.rehearsal import Performance, Take
from hutwright.bench.scenario import Bound, Family, Quantity, Reading, Scenario
from hutwright.checks.check import Sense
from hutwright.checks.shown import shown
from hutwright.description.described import Described
from hutwright.native.records import has_profile
from hutwright.native.words import Broken, Mode, spoken
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.phrasing import cited, columns, heading, listed, several, width_within, wrapped
from hutwright.studies.rehearse import Finding, Rehearsed, Tried
from hutwright.studies.trials import Share, Trials
from hutwright.units import NUMBER

MET, NOT_MET = "met", "not met"
STATUS_WIDTH, NUMBER_WIDTH, STATE_WIDTH = 7, 7, 18
NARROW = 76  # columns; on a narrower screen the numbers stand on a line of their own
HEADS = ("", "scenario", "peak", "> 150 N", "> 25 N", "back", "ends")
MEASURED = (Quantity.PEAK, Quantity.LASTING, Quantity.PRESSING, Quantity.REVERSAL)
LEVERS_SHOWN, FAILED_SHOWN = 3, 2  # of those that work, and else of those that do not
ABOUT = ("door", "drive", "guard")  # trades whose cautions go with a rehearsal
PLAIN = (
    "The controller judges a plain current, the same all over the travel and in every weather; with a "
    "calibrated profile it would tell an obstacle earlier."
)
LEARNT = (
    "The controller judges what goes beyond the profile that its settings hold, learnt from recorded moves; "
    "outside of the trained range it reverses needlessly more often. The levers that were tried keep what "
    "was learnt: after one that changes how the door moves, record and calibrate anew."
)
CLAIM = (
    "Simulated, with the controller's own code; leaf and drive are two bodies joined by the mount. No "
    "hardware was measured.",
    "A pressure-sensitive edge counts as speaking at the first touch. Whatever stands before the closing "
    "edge counts as unseen by beam and present sensor, unless the scenario says otherwise.",
    "Every value that is a range is taken at its middle, but for temperature and supply where a scenario "
    "says so; `--runs` draws all of them.",
)
# What a bound says, its limit put in; an upper one where nothing else is said
PHRASES = {
    Quantity.PEAK: "peak force at most {}",
    Quantity.LASTING: "above 150 N for at most {}",
    Quantity.PRESSING: "above 25 N for at most {}",
    Quantity.REST: "at most {} after 5 s",
    Quantity.REVERSAL: "moving back within {}",
    Quantity.OPENING: "open within {}",
    Quantity.CLOSING: "shut within {}",
    Quantity.TRIPS: "at most {} reversals",
    Quantity.STARTS: "at most {} moves begun",
    Quantity.PLACE: "at most {} short of open",
    Quantity.SPEED: "at rest in the end",
}
BROKEN = {
    Broken.BOTH_SIDES: "both sides of the bridge on at once",
    Broken.VETO: "driven shut although something stood in the doorway",
    Broken.RUN_CAP: "driven one way for longer than its cap",
    Broken.STOP: "driven in the moment of a stop command",
    Broken.DEAD_TIME: "turned round without the dead time",
    Broken.FAULT: "driven in spite of a fault",
}


def rehearsal_text(found: Rehearsed, trials: Trials | None = None, *, width: int = 100) -> str:
    """A rehearsal as text.

    Parameters
    ----------
    found : Rehearsed
        What came of it.
    trials : Trials or None
        What came of it with the unsure values drawn again and again.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = [*_title(found, width), *_scenarios(found, width), *_findings(found, width)]
    if trials is not None:
        lines += _trials(trials, width)
    lines += heading("What this rests on")
    for sentence in claim_of(found):
        lines += wrapped(sentence, width, "  - ")
    lines += heading("Cautions")
    for caution in cautions_of(found.described):
        lines += wrapped(caution, width, "  - ")
    return "\n".join(lines) + "\n"


def claim_of(found: Rehearsed) -> tuple[str, ...]:
    """What a rehearsal rests on."""
    trained = found.flashed is not None and has_profile(found.flashed)
    return (CLAIM[0], LEARNT if trained else PLAIN, *CLAIM[1:])


def settings_text(found: Rehearsed) -> str:
    """With which settings it was played, and what of them is otherwise than described; "" with those."""
    if found.flashed is None:
        return ""
    differ = ", ".join(found.otherwise)
    told = f"with the settings {int(found.flashed['checksum']):04X} of the file"
    own = ("what is not learnt is as described", f"otherwise than described: {differ}")
    return f"{told}; {own[bool(differ)]}"


def scenarios_text(scenarios: Iterable[Scenario], arising: Iterable[str], *, width: int = 100) -> str:
    """The scenarios that there are, with their keys.

    Parameters
    ----------
    scenarios : iterable of Scenario
        The scenarios.
    arising : iterable of str
        Keys of those that arise for the project.
    width : int
        Columns of the screen; at most 100 are used. [-]
    """
    width, there = width_within(width), set(arising)
    lines: list[str] = []
    for family, own in _by_family(scenarios):
        lines += heading(family.value) if lines else heading(family.value)[1:]
        for scenario in own:
            absent = "" if scenario.key in there else " (does not arise here)"
            lines += wrapped(f"{scenario.key}: {scenario.title}{absent}", width, "  ", "    ")
    return "\n".join(lines) + "\n"


def cautions_of(described: Described) -> tuple[str, ...]:
    """The standing cautions, and those of the trades that a rehearsal is about."""
    own = (caution for trade in trades(ABOUT) for caution in trade.cautions(described.project))
    return tuple(dict.fromkeys((*STANDING, *own)))


# ---- words -----------------------------------------------------------------------------------------------


def state_text(take: Take) -> str:
    """How a run ended."""
    judgement = take.judgement
    if judgement.mode is Mode.FAULT:
        return f"fault: {spoken(judgement.fault)}"
    return spoken(judgement.mode)


def bound_text(bound: Bound) -> str:
    """A bound in words."""
    limit = limit_text(bound)
    if bound.sense is Sense.AT_LEAST:
        return f"{bound.quantity.value} {bound.sense.value} {limit}"
    if bound.limit == 0.0 and bound.quantity.dimension == NUMBER:
        return f"no {bound.quantity.value}"
    return PHRASES[bound.quantity].format(limit)


def limit_text(bound: Bound) -> str:
    """The limit of a bound."""
    return number_text(bound.limit, bound.quantity)


def number_text(value: float, quantity: Quantity) -> str:
    """A value of a quantity; a share as per cent."""
    if quantity is Quantity.PLACE and math.isfinite(value):
        return f"{100.0 * value:.3g} % of the travel"
    return shown(value, quantity.dimension)


def expected_text(performance: Performance) -> str:
    """What was expected, with the limits."""
    parts = [performance.expected.words, *map(bound_text, performance.expected.bounds)]
    return "; ".join(parts)


def value_text(value: float, bound: Bound) -> str:
    """What was measured of a bounded quantity."""
    if math.isnan(value):
        return "the leaf touched nothing"
    if math.isinf(value):
        return "never"
    return number_text(value, bound.quantity)


def broken_text(broken: Broken) -> str:
    """The promises that were broken."""
    return listed(words for flag, words in BROKEN.items() if flag in broken)


def _cell(take: Take, quantity: Quantity) -> str:
    value = take.value(quantity)
    if not take.touched or math.isnan(value):
        return ""
    if math.isinf(value):
        return "never"
    return shown(value, quantity.dimension, digits=2 if quantity.dimension == units.TIME else 3)


def _name(scenario: Scenario) -> str:
    return f"{scenario.title} [{scenario.key}]"


# ---- the scenarios ---------------------------------------------------------------------------------------


def _title(found: Rehearsed, width: int) -> list[str]:
    described, played = found.described, found.rehearsal
    name = described.project.name
    if described.variant:
        name += f', variant "{described.title or described.variant}"'
    missed = len(played.not_met)
    told = f"{name}: {several(len(played.performances), 'scenario', 'scenarios')} rehearsed: "
    told += f"{len(played.performances) - missed} met, {missed} not met"
    if played.not_arising:
        told += f"; {several(len(played.not_arising), 'does', 'do')} not arise here"
    if played.left_out:
        told += f"; {several(len(played.left_out), 'was', 'were')} left out, because it was stopped"
    lines = wrapped(told, width, rest="  ")
    return lines + (wrapped(settings, width, "  ") if (settings := settings_text(found)) else [])


def _by_family(scenarios: Iterable[Scenario]) -> list[tuple[Family, list[Scenario]]]:
    every = list(scenarios)
    return [(family, own) for family in Family if (own := [each for each in every if each.family is family])]


def _scenarios(found: Rehearsed, width: int) -> list[str]:
    lines: list[str] = []
    for family in Family:
        own = [each for each in found.rehearsal.performances if each.scenario.family is family]
        if own:
            lines += heading(family.value)
            if width >= NARROW:
                lines += columns([HEADS], _widths(width), "  ")
            for each in own:
                lines += _scenario(each, width)
    return lines


def _widths(width: int) -> tuple[int, ...]:
    numbers = (NUMBER_WIDTH,) * len(MEASURED)
    scenario = width - 2 - STATUS_WIDTH - sum(numbers) - STATE_WIDTH - 2 * (len(numbers) + 2)
    return (STATUS_WIDTH, scenario, *numbers, STATE_WIDTH)


def _scenario(performance: Performance, width: int) -> list[str]:
    take = performance.worst
    status = MET if performance.met else NOT_MET
    cells = [_cell(take, quantity) for quantity in MEASURED]
    name, state = _name(performance.scenario), state_text(take)
    indent = " " * (STATUS_WIDTH + 4)
    if width >= NARROW:
        lines = columns([(status, name, *cells, state)], _widths(width), "  ")
    else:
        lines = wrapped(name, width, f"  {status.ljust(STATUS_WIDTH)}  ")
        told = [f"{head} {cell}" for head, cell in zip(HEADS[2:6], cells, strict=True) if cell]
        lines += wrapped("; ".join([*told, f"ends {state}"]), width, indent)
    lines += wrapped(f"expected: {expected_text(performance)}", width, indent, indent + "  ")
    if len(performance.takes) > 1 and take.prepared.words:
        runs = several(len(performance.takes), "run", "runs")
        lines += wrapped(f"the worst of {runs}: {take.prepared.words}", width, indent, indent + "  ")
    return lines


# ---- what was not met ------------------------------------------------------------------------------------


def _findings(found: Rehearsed, width: int) -> list[str]:
    if not found.findings:
        return []
    lines = heading("Not met")
    for finding in found.findings:
        lines += _finding(finding, width)
    return lines


def _finding(finding: Finding, width: int) -> list[str]:
    performance = finding.performance
    lines = [*wrapped(_name(performance.scenario), width, "  ", "    ")]
    lines += wrapped(performance.scenario.tells, width, "    ", "      ")
    for reason in reasons(performance):
        lines += wrapped(reason, width, "    ", "      ")
    lines += _levers(finding, width)
    return [*lines, ""]


def reasons(performance: Performance) -> list[str]:
    """What was otherwise than declared, in the run that came out worst."""
    judgement = performance.worst.judgement
    found = []
    if not judgement.as_declared:
        found.append(f"ended {state_text(performance.worst)}; expected: {performance.expected.words}")
    if judgement.broken:
        found.append(f"a promise was broken: {broken_text(judgement.broken)}")
    if not judgement.finite:
        found.append("the simulation left every sense; please report it")
    return found + [_missed(reading) for reading in judgement.readings if not reading.kept]


def _missed(reading: Reading) -> str:
    """What a bound comes to that is not kept."""
    bound = reading.bound
    wanted = f"{bound.sense.value} {limit_text(bound)} was wanted ({cited(bound.source)})"
    if math.isnan(reading.value):
        return f"{bound.quantity.value}: {value_text(reading.value, bound)}; {wanted}"
    return f"{bound.quantity.value} {value_text(reading.value, bound)}; {wanted}"


def _levers(finding: Finding, width: int) -> list[str]:
    indent = "    "
    working = finding.working
    if not finding.tried:
        milder = finding.performance.scenario.follows
        told = f"what helps {milder} comes first" if milder else "no lever is known for this scenario"
        return wrapped(told, width, indent)
    if not working:
        count = several(len(finding.tried), "lever was", "levers were")
        lines = wrapped(f"{count} tried, and none alone is enough; the nearest:", width, indent)
        for tried in finding.tried[:FAILED_SHOWN]:
            lines += wrapped(f"{tried.option.words}{_left(tried)}", width, "      - ")
        return lines
    lines = []
    for number, tried in enumerate(working[:LEVERS_SHOWN]):
        told = f"{'or ' if number else 'do '}{tried.option.words}{_left(tried)}{_harm(tried)}"
        lines += wrapped(told, width, indent, indent + "  ")
    return lines


def _left(tried: Tried) -> str:
    """The new values of what was not kept."""
    told = [
        value_text(value.value, value.bound)
        if math.isnan(value.value)
        else f"{value.bound.quantity.value} {value_text(value.value, value.bound)}"
        for value in tried.values
    ]
    return f": {', '.join(told)}" if told else ""


def _harm(tried: Tried) -> str:
    if tried.harms is None:
        return ""
    if not tried.harms:
        return "; no other scenario is harmed"
    return f"; harms {listed(tried.harms)}"


# ---- again and again -------------------------------------------------------------------------------------


def _trials(trials: Trials, width: int) -> list[str]:
    lines = heading("With every unsure value drawn anew")
    drawn = several(len(trials.drawn), "value", "values")
    told = f"{several(trials.runs, 'run', 'runs')}, {drawn} drawn, even chance between the ends, seed "
    told += (
        f"{trials.seed}. The interval is for the share that is met, at 95 %; the settings are those of the "
    )
    told += "description."
    lines += wrapped(told, width, "  ")
    if trials.runs < trials.wanted:
        lines += wrapped(f"Stopped: {trials.wanted} runs were asked for.", width, "  ")
    for share in trials.shares:
        lines += _share(share, width)
    return lines


def _share(share: Share, width: int) -> list[str]:
    low, high = share.interval
    head = f"{share.met} of {share.runs} met ({_percent(low)}..{_percent(high)} %)"
    lines = wrapped(f"{head}: {_name(share.scenario)}", width, "  ", "    ")
    if share.met == share.runs:
        return lines
    told = [
        f"{spread.bound.quantity.value} {value_text(spread.median, spread.bound)} in the middle, "
        f"{value_text(spread.worst, spread.bound)} at worst, {spread.bound.sense.value} "
        f"{limit_text(spread.bound)}"
        for spread in share.spreads
        if not spread.bound.kept(spread.worst)
    ]
    for each in told:
        lines += wrapped(each, width, "      ", "        ")
    return lines


def _percent(share: float) -> str:
    return f"{100.0 * share:.1f}".removesuffix(".0")
