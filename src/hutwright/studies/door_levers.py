"""What can be set or bought so that a door comes out better in a rehearsal, the cheapest first."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from hutwright.bench.scenario import Family
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.shown import shown
from hutwright.model.controller import Controller, ProtectiveLayer
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.trades.guard.layering import more_layers
from hutwright.trades.guard.softening import (
    SOFT_EDGES,
    earlier,
    slow_stretch,
    soft_and_slow,
    soft_edge,
    soft_mount,
)
from hutwright.units import TIME, write

# A shorter filter and a shorter wait behind it; a choice of this project [s]
QUICK_FILTER, QUICK_AFTER = 0.005, 0.010
QUICKLY = "reverse after {after} behind a filter of {filter}"
# Longer caps, as multiples of those described, and no longer than the controller can be set to; a quicker
# last stretch, as shares of full duty. Choices of this project
LONGER, LONGEST, WHOLE_SECONDS = (1.5, 3.0), 60.0, 1.0  # [-, s, s]
QUICKER_LAST = (0.8,)  # [-]
# Scenarios in which a force decides, or what is in the doorway
FORCEFUL = frozenset({Family.OBSTACLE, Family.MACHINE, Family.SENSOR})
ALL = frozenset(Family)
WATCHING = (ProtectiveLayer.PRESENT_SENSOR, ProtectiveLayer.BEAM)
# Of what can be bought or set, those that are tried: a choice of this project
EDGES_TRIED, STRETCHES_TRIED, BOTH_TRIED, MOUNTS_TRIED = slice(2, 4), slice(1, 4, 2), slice(2, 3), slice(2, 3)
SHARES_TRIED = (0.5,)  # of full duty [-]


@dataclass(frozen=True, slots=True)
class TriedOn:
    """A lever, and the families of scenarios that it is tried on.

    Attributes
    ----------
    option : Option
        What is done.
    effort : Effort
        What it costs.
    families : frozenset
        The families.
    """

    option: Option
    effort: Effort
    families: frozenset[Family]


def levers_of(project: Project) -> tuple[TriedOn, ...]:
    """What can be tried on a project, the cheapest first: settings, then what is bought.

    Parameters
    ----------
    project : Project
        The project.
    """
    if project.controller is None:
        return ()
    picks: list[tuple[Pick | None, frozenset[Family]]] = [
        (_longer_runs(project.controller), ALL),
        (_quicker_last(project.controller), ALL),
        (_more_sensitive(project), FORCEFUL),
        (_some(slow_stretch(), STRETCHES_TRIED), FORCEFUL),
        (_slower_leaf(project), FORCEFUL),
        (_some(soft_edge(project), EDGES_TRIED), FORCEFUL),
        (_some(soft_mount(), MOUNTS_TRIED), FORCEFUL),
        (_some(soft_and_slow(project), BOTH_TRIED), FORCEFUL),
        (more_layers(project, [ProtectiveLayer.PRESSURE_EDGE]), FORCEFUL),
        (_some(_soft_and_switching(project.controller), slice(0, 1)), FORCEFUL),
        (more_layers(project, WATCHING), frozenset({Family.MACHINE, Family.COMMAND})),
    ]
    found = [
        TriedOn(option, pick.effort, families)
        for pick, families in picks
        if pick is not None
        for option in pick.options
    ]
    once = {repr(sorted(each.option.changes.items())): each for each in reversed(found)}
    return tuple(sorted(reversed(once.values()), key=lambda each: each.effort))


def _some(pick: Pick, which: slice) -> Pick:
    return Pick(words=pick.words, options=pick.options[which], effort=pick.effort)


def _longer_runs(controller: Controller) -> Pick:
    """Longer caps: slow moves, and those on a cold day, take their time."""
    caps = controller.longest_run
    options = []
    for factor in LONGER:
        opening, closing = (
            min(WHOLE_SECONDS * ceil(factor * cap / WHOLE_SECONDS), LONGEST)
            for cap in (caps.opening, caps.closing)
        )
        words = f"let an opening last up to {shown(opening, TIME)}, a closing up to {shown(closing, TIME)}"
        path: Keys = ("controller", "longest_run")
        changes = {(*path, "opening"): write(opening, TIME), (*path, "closing"): write(closing, TIME)}
        options.append(Option(words, changes))
    return Pick(words="longer caps", options=tuple(options), effort=Effort.SETTING)


def _quicker_last(controller: Controller) -> Pick:
    speed = controller.speed
    options = tuple(
        Option(
            f"run the last stretch at {round(100 * share)} % of full duty",
            {("controller", "speed", "last"): share},
        )
        for share in QUICKER_LAST
        if speed.last < share <= speed.normal
    )
    return Pick(words="a quicker last stretch", options=options, effort=Effort.SETTING)


def _soft_and_switching(controller: Controller) -> Pick:
    """An edge that gives and reverses the leaf at the first touch."""
    layers = [each.value for each in controller.layers]
    for each in (ProtectiveLayer.SOFT_EDGE, ProtectiveLayer.PRESSURE_EDGE):
        if each.value not in layers:
            layers.append(each.value)
    edge: Keys = ("door", "edge")
    options = tuple(
        Option(
            f"fit a pressure-sensitive edge of {stiffness} that gives {depth}, and that reverses the leaf",
            {
                (*edge, "kind"): "soft",
                (*edge, "stiffness"): stiffness,
                (*edge, "depth"): depth,
                ("controller", "layers"): layers,
            },
        )
        for stiffness, depth in SOFT_EDGES[1:4]
    )
    return Pick(words="a soft edge that reverses", options=options, effort=Effort.BUY_SMALL)


def _slower_leaf(project: Project) -> Pick | None:
    if project.controller is None:
        return None
    speed, path = project.controller.speed, ("controller", "speed")
    options = []
    for share in SHARES_TRIED:
        if share < speed.normal:
            changes: dict[Keys, object] = {(*path, "normal"): share}
            if share < speed.last:
                changes[(*path, "last")] = share
            options.append(Option(f"run the leaf at {round(100 * share)} % of full duty", changes))
    return Pick(words="a slower leaf", options=tuple(options), effort=Effort.SETTING) if options else None


def _more_sensitive(project: Project) -> Pick | None:
    """A lower trip, not below the full load of the listing; a shorter filter; both."""
    lower, quick = earlier(project), _quick(project)
    if project.controller is None:
        return None
    options = [*(lower.options if lower else ()), *([quick] if quick else [])]
    if lower and quick:
        last = lower.options[-1]
        options.append(Option(f"{last.words} and {quick.words}", {**last.changes, **quick.changes}))
    words = "a more sensitive detection"
    return Pick(words=words, options=tuple(options), effort=Effort.SETTING) if options else None


def _quick(project: Project) -> Option | None:
    assert project.controller is not None
    now, path = project.controller.detection, ("controller", "detection")
    if now.filter <= QUICK_FILTER and now.after <= QUICK_AFTER:
        return None
    quick, after = min(now.filter, QUICK_FILTER), min(now.after, QUICK_AFTER)
    words = QUICKLY.format(after=shown(after, TIME), filter=shown(quick, TIME))
    return Option(words, {(*path, "filter"): write(quick, TIME), (*path, "after"): write(after, TIME)})
