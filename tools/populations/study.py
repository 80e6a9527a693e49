"""One member of a population trained, and judged by moves and contacts that it never saw."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from hutwright.errors import StoppedError
from hutwright.evidence.trace import Trace
from hutwright.native.records import Record
from hutwright.studies.calibrate import Calibration, calibrate
from hutwright.studies.calibrate_claim import Basis
from tools.populations.member import POPULATIONS, Member, member
from tools.populations.methods import BRANCH_OFF, Method, settings_of
from tools.populations.moves import ContactRuns, Freely, FreeRuns, Touch, hard_ones, recorded, soft_ones
from tools.populations.year import Circumstances, Season, circumstances

RECORDED_AGAIN = 2  # so many times the cycles that are wanted are recorded at most [-]


class Trained(Enum):
    """When the training cycles were recorded."""

    YEAR = "over the whole year"
    SPRING = "in spring only"

    def season(self, at: int) -> Season:
        """Season of a training cycle."""
        return Season.SPRING if self is Trained.SPRING else list(Season)[at % len(Season)]

    @property
    def seen(self) -> tuple[Season, ...]:
        """The seasons that the training saw."""
        return (Season.SPRING,) if self is Trained.SPRING else tuple(Season)


@dataclass(frozen=True, slots=True)
class Size:
    """How large a study is.

    Attributes
    ----------
    seed : int
        Of everything. [-]
    members : int
        Doors of each population. [-]
    training : tuple of int
        Numbers of training cycles. [-]
    free : int
        Free cycles of each season that each door is judged by. [-]
    hard : int
        Contacts of the force test, of each season and door. [-]
    soft : int
        Soft slow contacts, of each season and door. [-]
    methods : tuple of Method
        The methods.
    """

    seed: int
    members: int
    training: tuple[int, ...]
    free: int
    hard: int
    soft: int
    methods: tuple[Method, ...] = tuple(Method)

    @property
    def steps(self) -> int:
        """How many settings are judged, for the progress."""
        return len(POPULATIONS) * self.members * len(Trained) * len(self.training) * len(self.methods)


@dataclass(frozen=True, slots=True)
class Free:
    """Free cycles of one season.

    Attributes
    ----------
    needless : int
        That reversed needlessly. [-]
    unfinished : int
        That did not get to their end for another reason. [-]
    cycles : int
        Of how many. [-]
    """

    needless: int
    unfinished: int
    cycles: int


@dataclass(frozen=True, slots=True)
class Found:
    """What came of one setting of one door.

    Attributes
    ----------
    population : str
        Which.
    number : int
        Of the door. [-]
    trained : Trained
        When its training was recorded.
    cycles : int
        Training cycles. [-]
    left_out : int
        Cycles that were recorded and did not reach their end. [-]
    method : Method
        How it was set.
    refused : bool
        Whether our calibration refuses this door with this training.
    claim : float
        Needless reversals that our calibration claims at most, as a share of cycles. [-]
    counted : bool
        Whether that claim rests on counting.
    free : dict
        Free cycles by season.
    hard : tuple of Touch
        Contacts of the force test.
    soft : tuple of Touch
        Soft slow contacts.
    """

    population: str
    number: int
    trained: Trained
    cycles: int
    left_out: int
    method: Method
    refused: bool
    claim: float
    counted: bool
    free: dict[Season, Free]
    hard: tuple[Touch, ...]
    soft: tuple[Touch, ...]

    def needless(self, seasons: Sequence[Season]) -> tuple[int, int]:
        """Needless reversals, and of how many cycles, in some seasons [-]."""
        some = [self.free[each] for each in seasons]
        return sum(each.needless for each in some), sum(each.cycles for each in some)


class _Judged:
    """What all settings of one member are judged by."""

    def __init__(self, door: Member, size: Size, seed: Sequence[int]) -> None:
        rng = np.random.default_rng([*seed, 2])
        self.seasons = [each for each in Season for _ in range(size.free)]
        self.free = FreeRuns(door, [circumstances(door, each, rng) for each in self.seasons])
        self.hard = ContactRuns(door, hard_ones(_drawn(door, size.hard, rng)))
        self.soft = ContactRuns(door, soft_ones(_drawn(door, size.soft, rng), rng))

    def counted(self, found: dict[int, Freely]) -> dict[Season, Free]:
        """Free cycles by season; a cycle that is not among those found did not reverse."""
        by_season = {}
        for season in Season:
            some = [found.get(at) for at, each in enumerate(self.seasons) if each is season]
            by_season[season] = Free(
                sum(each is not None and each.needless for each in some),
                sum(each is not None and each.unfinished for each in some),
                len(some),
            )
        return by_season


def _drawn(door: Member, number: int, rng: np.random.Generator) -> list[Circumstances]:
    return [circumstances(door, each, rng) for each in Season for _ in range(number)]


def examined(
    population: str,
    number: int,
    size: Size,
    *,
    tell: Callable[[], None] = lambda: None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[Found, ...]:
    """One member of a population, trained in every way and judged.

    Parameters
    ----------
    population : str
        Which.
    number : int
        Of the member, from 0. [-]
    size : Size
        How large the study is.
    tell : Callable
        Is called when one setting has been judged.
    stop : Callable
        Says whether to stop.

    Raises
    ------
    StoppedError
        Where it was stopped.
    """
    seed = (size.seed, POPULATIONS.index(population), number)
    door = member(population, size.seed, number)
    judged = _Judged(door, size, seed)
    found: list[Found] = []
    for trained in Trained:
        rng = np.random.default_rng([*seed, 1, list(Trained).index(trained)])
        cycles, left_out = _training(door, trained, max(size.training), rng)
        for some in size.training:
            moves = [each for two in cycles[:some] for each in two]
            calibration = calibrate(door.described, moves, levers=False)
            told = (population, number, trained, some, left_out)
            for one in _methods(door, judged, calibration, size.methods, told, stop):
                found.append(one)
                tell()
    return tuple(found)


def _methods(
    door: Member,
    judged: _Judged,
    calibration: Calibration,
    methods: Sequence[Method],
    told: tuple[str, int, Trained, int, int],
    stop: Callable[[], bool],
) -> Iterator[Found]:
    ours: dict[int, Freely] = {}
    for method in methods:
        if stop():
            raise StoppedError("stopped; nothing was written")
        settings: Record = settings_of(method, calibration, door.settings)
        if method in BRANCH_OFF:
            # fewer detectors trip in fewer cycles: those without a trip of all detectors run the same again
            again = judged.free.run(settings, [at for at, each in ours.items() if each.needless])
            free = {at: again.get(at, each) for at, each in ours.items()}
        else:
            free = judged.free.run(settings)
            ours = free if method is Method.OURS else ours
        yield Found(
            *told,
            method=method,
            refused=calibration.refused,
            claim=calibration.claim.share,
            counted=calibration.claim.basis is Basis.COUNT,
            free=judged.counted(free),
            hard=judged.hard.run(settings),
            soft=judged.soft.run(settings),
        )


def _training(
    door: Member, trained: Trained, wanted: int, rng: np.random.Generator
) -> tuple[list[tuple[Trace, ...]], int]:
    """Clean training cycles, and how many were recorded that were not."""
    cycles: list[tuple[Trace, ...]] = []
    left_out = 0
    for at in range(RECORDED_AGAIN * wanted):
        two = recorded(door, circumstances(door, trained.season(at), rng), at + 1)
        if all(each.reached for each in two):
            cycles.append(two)
        else:
            left_out += 1
        if len(cycles) == wanted:
            break
    return cycles, left_out
