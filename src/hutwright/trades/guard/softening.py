"""The levers that make a closing leaf gentler; several questions share them."""

from __future__ import annotations

import math
from functools import cache, lru_cache

from hutwright import units
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.model.controller import ProtectiveLayer
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.trades.guard.meeting import KEPT, Meeting

LEAST_DUTY = 0.1  # below that no small drive moves: common practice [-]
DUTY_STEP = 0.05  # a choice of this project [-]
TRIP_STEP = 0.1  # a choice of this project [A]
EARLIER = (0.8, 0.6, 0.4, 0.2, 0.0)  # of the way from full load to the trip: a choice of this project [-]
LITTLE = 1e-9  # that a number may lie above a step which it is meant to be at [-]
SHORTEST_BLIND = 0.05  # the start current lasts at least that long: common practice [s]
BLIND_STEP = 0.01  # a choice of this project [s]
# Soft edges that can be had: stiffness as the file spells it, how far it gives. Standing: practice
SOFT_EDGES = (
    ("20 N/mm", "15 mm"),
    ("12 N/mm", "25 mm"),
    ("12 N/mm", "40 mm"),
    ("6 N/mm", "60 mm"),
    ("3 N/mm", "40 mm"),
)
# Slow stretches before shut: over which way of the edge, at what share of full duty. A choice of this project
SLOW_STRETCHES = (("100 mm", 0.5), ("350 mm", 0.5), ("350 mm", 0.35), ("600 mm", 0.5), ("600 mm", 0.3))
SOFT_AND_SLOW = (
    (SOFT_EDGES[1], ("350 mm", 0.5)),
    (SOFT_EDGES[2], ("600 mm", 0.5)),
    (SOFT_EDGES[3], ("600 mm", 0.5)),
    (SOFT_EDGES[3], ("600 mm", 0.3)),
)
SHARES = (0.8, 0.6, 0.5, 0.4, 0.3)  # of full duty, to choose from: a choice of this project [-]
SOFT_MOUNTS = ("100 N/mm", "50 N/mm", "25 N/mm")  # rubber under the drive's bracket: common practice


def slower(met: Meeting) -> Pick | None:
    """The choice of a slower leaf, at the share of full duty that holds where the leaf is met.

    A soft edge that is pressed flat makes the force jump, so that no number need lie between.
    """
    speed = met.leaf.shares
    slow = met.contact.duty < speed.normal
    return _slower(slow=slow, now=met.contact.duty, last=speed.last)


@lru_cache(maxsize=KEPT)
def _slower(*, slow: bool, now: float, last: float) -> Pick | None:
    words = "run the last stretch at" if slow else "run the leaf at"
    options = tuple(
        Option(f"{words} {round(100 * share)} % of full duty", _at_share(share, last, slow=slow))
        for share in SHARES
        if share < now
    )
    return Pick(words="a slower leaf", options=options, effort=Effort.SETTING) if options else None


def _at_share(share: float, last: float, *, slow: bool) -> dict[Keys, object]:
    """The last stretch is never quicker than the rest."""
    path: Keys = ("controller", "speed")
    if slow:
        return {(*path, "last"): share}
    changes: dict[Keys, object] = {(*path, "normal"): share}
    if share < last:
        changes[(*path, "last")] = share
    return changes


def earlier(project: Project) -> Pick | None:
    """The choice of a lower trip; not below the full load of the listing, at which the drive has to run."""
    if project.controller is None or project.drive is None:
        return None
    return _earlier(project.controller.detection.trip, project.drive.rating.current)


@lru_cache(maxsize=KEPT)
def _earlier(trip: float, rated: float) -> Pick | None:
    """Evenly from the trip down to the full load, in steps that can be set."""
    found = {
        round(math.ceil((rated + share * (trip - rated)) / TRIP_STEP - LITTLE) * TRIP_STEP, 6)
        for share in EARLIER
    }
    options = tuple(
        Option(f"reverse at no more than {text}", {("controller", "detection", "trip"): text})
        for text in (units.write(each, units.CURRENT) for each in sorted(found, reverse=True) if each < trip)
    )
    return Pick(words="an earlier trip", options=options, effort=Effort.SETTING) if options else None


def soft_edge(project: Project) -> Pick:
    """The choice of a soft closing edge."""
    return _soft_edge(_layers(project))


def _layers(project: Project) -> tuple[ProtectiveLayer, ...]:
    return () if project.controller is None else project.controller.layers


@cache
def _soft_edge(layers: tuple[ProtectiveLayer, ...]) -> Pick:
    return Pick(
        words="a soft closing edge",
        options=tuple(
            Option(_soft_words(stiffness, depth), _softened(layers, stiffness, depth))
            for stiffness, depth in SOFT_EDGES
        ),
        effort=Effort.BUY_SMALL,
    )


@cache
def slow_stretch() -> Pick:
    """The choice of a slow last stretch."""
    return Pick(
        words="a slow last stretch",
        options=tuple(Option(_slow_words(way, share), _slowed(way, share)) for way, share in SLOW_STRETCHES),
        effort=Effort.SETTING,
    )


def soft_and_slow(project: Project) -> Pick:
    """The choice of both together."""
    return _soft_and_slow(_layers(project))


@cache
def _soft_and_slow(layers: tuple[ProtectiveLayer, ...]) -> Pick:
    return Pick(
        words="a soft closing edge and a slow last stretch",
        options=tuple(
            Option(
                f"{_soft_words(stiffness, depth)} and {_slow_words(way, share)}",
                {**_softened(layers, stiffness, depth), **_slowed(way, share)},
            )
            for (stiffness, depth), (way, share) in SOFT_AND_SLOW
        ),
        effort=Effort.BUY_SMALL,
    )


@cache
def soft_mount() -> Pick:
    """The choice of a drive that sits on rubber."""
    return Pick(
        words="a mount that gives",
        options=tuple(
            Option(
                f"seat the drive on rubber that gives {stiffness} along the rod",
                {("linkage", "mount_stiffness"): stiffness},
            )
            for stiffness in SOFT_MOUNTS
        ),
        effort=Effort.BUY_SMALL,
    )


def _soft_words(stiffness: str, depth: str) -> str:
    return f"fit a soft edge of {stiffness} that gives {depth}"


def _softened(layers: tuple[ProtectiveLayer, ...], stiffness: str, depth: str) -> dict[Keys, object]:
    edge: Keys = ("door", "edge")
    changes: dict[Keys, object] = {
        (*edge, "kind"): "soft",
        (*edge, "stiffness"): stiffness,
        (*edge, "depth"): depth,
    }
    if ProtectiveLayer.SOFT_EDGE not in layers:
        changes[("controller", "layers")] = [each.value for each in (*layers, ProtectiveLayer.SOFT_EDGE)]
    return changes


def _slow_words(way: str, share: float) -> str:
    return f"run the last {way} at {round(100 * share)} % of full duty"


def _slowed(way: str, share: float) -> dict[Keys, object]:
    return {("controller", "speed", "last_over"): way, ("controller", "speed", "last"): share}
