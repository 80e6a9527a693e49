"""Setting the reversal from recorded moves: learn, claim, simulate the forces, then offer or refuse."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isnan

import numpy as np

from hutwright.bench.electrics import sensing
from hutwright.bench.scenario import Family
from hutwright.bench.settings import core_settings
from hutwright.checks.lever import Effort, Option
from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.errors import Cancel, HutwrightError, Progress, StoppedError, stopped
from hutwright.evidence.force_trials import ForceTrial
from hutwright.evidence.trace import Trace, Way
from hutwright.laws.exact_share import greatest_share
from hutwright.laws.force_trace import REST_FORCE
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.native.records import Record
from hutwright.plant.conditions import nominal
from hutwright.plant.motion import move
from hutwright.plant.travel import drive_of
from hutwright.studies.calibrate_claim import Basis, Bought, Branch, Claim, claim_of, more_cycles
from hutwright.studies.calibrate_forces import (
    Press,
    Sensed,
    Thresholds,
    days_of,
    presses,
    scaled,
    sensed_at,
    simulated_profiles,
    trial_settings,
)
from hutwright.studies.calibrate_learn import (
    PARTS,
    Learnt,
    Trained,
    beyond,
    calibrated,
    clean_moves,
    learn,
    trained_range,
)
from hutwright.studies.door_levers import levers_of
from hutwright.studies.force_trials import Compared, compared, sentences
from hutwright.studies.rehearse import stage_of

TRAINING = (10, 30, 100, 200)  # cycles whose time is told before it starts: a choice of this project
FACTORS = (
    0.5,
    0.7,
    0.85,
    1.0,
    1.25,
    1.6,
    2.0,
)  # of the thresholds in the trade-off: a choice of this project
ENOUGH_HELP = 3  # levers that help; no more are looked for: a choice of this project
TRIP: Keys = ("controller", "detection", "trip")
DETECTION, SPEED = ("controller", "detection"), ("controller", "speed")


@dataclass(frozen=True, slots=True)
class TrainingTime:
    """How long a number of cycles takes at the drive's duty."""

    cycles: int  # that many
    time: float  # [s]
    duty: float  # share of the time that the drive may run, by its listing. [-]


@dataclass(frozen=True, slots=True)
class Helped:
    """A lever as it was tried.

    Attributes
    ----------
    option : Option
        What is done.
    effort : Effort
        What it costs.
    holds : bool
        Whether every contact keeps its limits with it.
    worst : Press
        The worst contact with it.
    anew : bool
        Whether the door must be recorded anew, because it moves otherwise.
    """

    option: Option
    effort: Effort
    holds: bool
    worst: Press
    anew: bool


@dataclass(frozen=True, slots=True)
class Tradeoff:
    """What other thresholds would cost.

    Attributes
    ----------
    factor : float
        Of all thresholds. [-]
    needless : float
        Share of cycles that reverse needlessly, by fitted laws or by the maxima themselves. [-]
    peak : float
        Greatest peak force on the instrument on a mild day. [N]
    """

    factor: float
    needless: float
    peak: float


@dataclass(frozen=True, slots=True)
class Verified:
    """What labelled obstruction runs say; they verify and tune nothing.

    Attributes
    ----------
    told : int
        Runs that a detector would have told.
    runs : int
        Of how many.
    missed_at_most : float
        Share that is missed at most, at 95 % confidence. [-]
    missed : tuple of str
        Those that were not told.
    """

    told: int
    runs: int
    missed_at_most: float
    missed: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Calibration:
    """All that a calibration found.

    Attributes
    ----------
    described : Described
        The description.
    left_out : tuple of str
        A sentence on each move that nothing was learnt from.
    learnt : tuple of Learnt
        Opening and closing.
    trained : Trained
        In what range.
    claim : Claim
        How often it reverses needlessly at most.
    settings : Record
        The core's settings; offered only where nothing is over a limit.
    presses : tuple of Press
        Simulated contacts.
    sensed : tuple of Sensed
        What a current means at the edge.
    helped : tuple of Helped
        Levers that were tried where a contact is over a limit; those that help first.
    tradeoff : tuple of Tradeoff
        What other thresholds would cost.
    bought : tuple of Bought
        What more cycles would buy.
    verified : Verified or None
        What labelled obstruction runs say.
    compared : tuple of Compared
        Trials with a household scale beside their simulation: an indication.
    apart : float
        Mean distance of the recorded closing profile from that of the simulated leaf. [A]
    warnings : tuple of str
        What must be known beside it.
    complete : bool
        Whether all levers were tried that were to be.
    """

    described: Described
    left_out: tuple[str, ...]
    learnt: tuple[Learnt, ...]
    trained: Trained
    claim: Claim
    settings: Record
    presses: tuple[Press, ...]
    sensed: tuple[Sensed, ...]
    helped: tuple[Helped, ...]
    tradeoff: tuple[Tradeoff, ...]
    bought: tuple[Bought, ...]
    verified: Verified | None
    compared: tuple[Compared, ...]
    apart: float
    warnings: tuple[str, ...]
    complete: bool = True

    @property
    def over(self) -> tuple[Press, ...]:
        """The simulated contacts that are over a limit."""
        return tuple(each for each in self.presses if not each.kept)

    @property
    def refused(self) -> bool:
        """Whether the thresholds are refused: with them the door cannot be made gentle enough."""
        return bool(self.over)

    @property
    def worst(self) -> Press | None:
        """The contact that comes nearest to its limits, or goes furthest beyond; None without any gap."""
        return max(self.presses, key=lambda each: each.worst_share, default=None)


def training_times(project: Project) -> tuple[TrainingTime, ...]:
    """How long training takes at the drive's duty, for some numbers of cycles.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    """
    calm, duty = nominal(project), drive_of(project).rating.duty
    cycle = sum(move(project, calm, opening=way).total for way in (True, False)) / duty
    return tuple(TrainingTime(number, number * cycle, duty) for number in TRAINING)


def calibrate(
    described: Described,
    traces: Sequence[Trace],
    obstructed: Sequence[Trace] = (),
    *,
    trials: Sequence[ForceTrial] = (),
    levers: bool = True,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Calibration:
    """Set the reversal from recorded moves.

    Parameters
    ----------
    described : Described
        The description, with door, linkage, drive and controller.
    traces : sequence of Trace
        Moves with nothing in the way.
    obstructed : sequence of Trace
        Moves with something in the way: they verify, and tune nothing.
    trials : sequence of ForceTrial
        Trials with a household scale: they are compared, and tune nothing.
    levers : bool
        Whether levers are tried where a simulated contact is over a limit.
    progress : Callable or None
        Is told how many moves of how many are heard.
    cancel : Cancel or None
        Ends it early.

    Returns
    -------
    Calibration
        All that was found; its settings are refused where a simulated contact is over a limit.

    Raises
    ------
    RequestError
        Where there are too few moves, or what a door needs is not described.
    EvidenceError
        Where a trial stands at a gap that the travel does not have.
    StoppedError
        Where it was ended early while moves were heard.
    """
    base = core_settings(described.project)
    clean, left_out = clean_moves(traces)
    learnt = learn(clean, base, progress=progress, cancel=cancel)
    trained = trained_range(clean)
    trial = _Trial(described, learnt, trained)
    found = trial.presses()
    over = any(not each.kept for each in found)
    controller = described.project.controller
    reading = sensing(described.project)
    beside = compared(trial.stage, trial.settings, trials)
    return Calibration(
        described=described,
        left_out=left_out,
        learnt=learnt,
        trained=trained,
        claim=claim_of(
            [each for one in learnt for each in one.thresholds],
            0 if controller is None else controller.cycles_a_day,
        ),
        settings=calibrated(base, learnt, trained),
        presses=found,
        sensed=tuple(sensed_at(trial.stage, trial.settings, None if reading is None else reading.step)),
        helped=_helped(described, clean, learnt, trained, cancel) if over and levers else (),
        tradeoff=tuple(_tradeoff(trial, learnt)),
        bought=more_cycles(learnt[-1].threshold(Branch.RESIDUAL), PARTS),
        verified=_verified(learnt, obstructed, base) if obstructed else None,
        compared=beside,
        apart=float(np.mean(np.abs(learnt[-1].profile.bins - trial.profiles[Way.CLOSING].bins))),
        warnings=(*_warnings(learnt, trained, base), *beforehand(found), *sentences(beside)),
        complete=not stopped(cancel),
    )


def _by_way(learnt: Sequence[Learnt]) -> Thresholds:
    return {one.way: {each.branch: each for each in one.thresholds} for one in learnt}


class _Trial:
    """The simulated leaf with calibrated thresholds."""

    def __init__(self, described: Described, learnt: Sequence[Learnt], trained: Trained) -> None:
        self.stage = stage_of(described)
        self.base = core_settings(described.project)
        self.profiles = simulated_profiles(
            described.project, self.base, {each.way: each.profile for each in learnt}, trained.temperature
        )
        self.trained = trained
        self.thresholds = _by_way(learnt)
        self.settings = trial_settings(self.base, self.profiles, self.thresholds)

    def presses(self) -> tuple[Press, ...]:
        """Every contact in all weather."""
        return presses(self.stage, self.settings, days_of(self.stage, self.trained.temperature))

    def mild_peak(self, factor: float) -> float:
        """The greatest peak on a mild day with other thresholds [N]."""
        own = trial_settings(self.base, self.profiles, scaled(self.thresholds, factor))
        met = presses(self.stage, own, [self.stage.mild()])
        return max((each.contact.peak_seen for each in met), default=float("nan"))


def _tradeoff(trial: _Trial, learnt: Sequence[Learnt]) -> Iterator[Tradeoff]:
    thresholds = [each for one in learnt for each in one.thresholds]
    for factor in FACTORS:
        needless = 0.0
        for each in thresholds:
            value = factor * each.value
            if each.basis is Basis.LAW and each.law is not None:
                needless += each.law.beyond(value)
            elif len(each.maxima):
                needless += (float(np.sum(each.maxima >= value)) + 1.0) / (len(each.maxima) + 1.0)
        yield Tradeoff(factor, min(needless, 1.0), trial.mild_peak(factor))


def _helped(
    described: Described,
    clean: Sequence[Trace],
    learnt: Sequence[Learnt],
    trained: Trained,
    cancel: Cancel | None,
) -> tuple[Helped, ...]:
    """Each lever that could help, on a rebuilt description; those that help first, the cheapest first."""
    found: list[Helped] = []
    for lever in levers_of(described.project):
        changes = lever.option.changes
        if stopped(cancel):
            break
        if Family.OBSTACLE not in lever.families or not changes or TRIP in changes:
            continue  # the same without the trip, which the calibration sets, is among them
        if sum(each.holds for each in found) >= ENOUGH_HELP:
            break
        try:
            other = rebuild(described, changes)
            again = learnt
            if any(path[:2] == DETECTION for path in changes):
                again = learn(clean, core_settings(other.project), cancel=cancel)
            met = _Trial(other, again, trained).presses()
        except StoppedError:
            break
        except HutwrightError:
            continue
        if met:
            found.append(
                Helped(
                    lever.option,
                    lever.effort,
                    all(each.kept for each in met),
                    max(met, key=lambda each: each.worst_share),
                    any(path[:2] == SPEED for path in changes),
                )
            )
    return tuple(sorted(found, key=lambda each: (not each.holds, each.effort, each.worst.worst_share)))


def _verified(learnt: Sequence[Learnt], obstructed: Sequence[Trace], base: Record) -> Verified:
    told, missed = 0, []
    for one in learnt:
        runs = [each for each in obstructed if each.way is one.way]
        if not runs:
            continue
        most = beyond(one, runs, base)
        for at, run in enumerate(runs):
            seen = (
                most.residual[at] >= one.threshold(Branch.RESIDUAL).value
                or most.rise[at] >= one.threshold(Branch.RISE).value
            )
            told += bool(seen)
            if not seen:
                missed.append(f"{run.source or 'a run'}: {run.way.value} of cycle {run.cycle}")
    number = len(obstructed)
    return Verified(told, number, greatest_share(number - told, number, 0.95), tuple(missed))


def _warnings(learnt: Sequence[Learnt], trained: Trained, base: Record) -> Iterator[str]:
    if trained.temperature is None:
        yield (
            "the temperature was not recorded with every move: nothing tells in what weather this holds, and "
            "the controller cannot tell when it leaves the trained range; record it, and calibrate again"
        )
    if trained.supply is None:
        yield (
            "the supply was not recorded with every move: nothing tells with how weak a battery this holds; "
            "record it, and calibrate again"
        )
    backstop = float(base["backstop_mA"]) / 1e3
    for one in learnt:
        most = max(float(each.filtered.max()) for each in one.moves)
        if most >= backstop:
            yield (
                f"while {one.way.value} the free leaf itself drew {most:.2g} A, and {backstop:.2g} A "
                "always means an obstruction; give controller.detection.trip a higher value"
            )
    if all(isnan(each.share) for one in learnt for each in one.thresholds):
        yield "no fitted law holds for any detector; look at the pictures for moves that were disturbed"


def beforehand(found: Sequence[Press]) -> Iterator[str]:
    """Weather in which the simulated leaf does not get to what it is to meet; and what it would not let go.

    Parameters
    ----------
    found : sequence of Press
        Simulated contacts.
    """
    days = list(dict.fromkeys(each.weather for each in found if each.by_itself))
    if days:
        yield (
            f"in simulation the free leaf reverses by itself in this weather: {'; '.join(days)}; nothing was "
            "trained there, or the drive cannot get there: record in such weather, and calibrate again"
        )
    held = max(found, key=lambda each: each.held, default=None)
    if held is not None and held.held > 0.0:
        yield (
            f"something that yields ({1e-3 * held.stiffness:.0f} N/mm, gap {1e3 * held.gap:.0f} mm, "
            f"{held.weather}) is pressed with {held.held:.0f} N for good, and nothing reverses: that is "
            f"below the limits of peak and duration, but above the {REST_FORCE:.0f} N that a force test "
            "allows after 5 s; a present sensor or a pressure edge would tell it"
        )
