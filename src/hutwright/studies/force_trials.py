"""Trials with a household scale and a block of foam, beside the simulated edge at calibrated thresholds.

An indication, not the force test: a household scale is slow, and shows less than the peak; foam is no spring;
a hand holds the block. What it can tell is whether the finished door presses far harder than the simulated
one, or does not reverse where that one does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from hutwright.bench.contact import Contact, Spot, contact_of, contact_scenarios
from hutwright.bench.plant import sim_door
from hutwright.bench.stage import Stage
from hutwright.evidence.force_trials import ForceTrial
from hutwright.evidence.side_file import Findings
from hutwright.evidence.trace import Way
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.words import Mode
from hutwright.plant.travel import place_at_gap

# Foam's stiffness from one force is right to a third, a household scale misses some of a peak that lasts less
# than its half second: agreement is this wide. A choice of this project [-]
WIDE = 1.0 / 3.0


class Told(Enum):
    """What a trial says of the simulation."""

    AGREES = "agrees"
    HARDER = "harder than simulated"
    GENTLER = "gentler than simulated"
    NOT_REVERSED = "did not reverse, and should have"
    REVERSED = "reversed where the simulated door does not"


@dataclass(frozen=True, slots=True)
class Compared:
    """A trial beside its simulation.

    Attributes
    ----------
    trial : ForceTrial
        What was seen.
    contact : Contact
        What the simulated edge does with a block of that stiffness at that place, on a mild day.
    """

    trial: ForceTrial
    contact: Contact

    @property
    def predicted(self) -> float:
        """Greatest force that the simulated edge presses with [N]."""
        return self.contact.peak_seen

    @property
    def reverses(self) -> bool:
        """Whether the simulated door reverses."""
        onwards = (Mode.OPENING, Mode.OPEN) if self.contact.spot.opening else (Mode.CLOSING, Mode.SHUT)
        return self.contact.mode not in onwards

    @property
    def ratio(self) -> float:
        """What the scale showed over what was simulated [-]."""
        return self.trial.force / self.predicted if self.predicted > 0.0 else float("nan")

    @property
    def told(self) -> Told:
        """What the trial says."""
        if self.reverses and not self.trial.reversed:
            return Told.NOT_REVERSED
        if self.ratio > 1.0 + WIDE:
            return Told.HARDER
        if self.trial.reversed and not self.reverses:
            return Told.REVERSED
        return Told.GENTLER if self.ratio < 1.0 / (1.0 + WIDE) else Told.AGREES

    @property
    def warns(self) -> bool:
        """Whether the finished door may press harder than all that was simulated."""
        return self.told in (Told.NOT_REVERSED, Told.HARDER)


def compared(stage: Stage, settings: Record, trials: Sequence[ForceTrial]) -> tuple[Compared, ...]:
    """Each trial beside its simulation.

    Parameters
    ----------
    stage : Stage
        The stage.
    settings : Record
        The core's settings for simulated contacts, with the thresholds of the calibration.
    trials : sequence of ForceTrial
        What was seen.

    Returns
    -------
    tuple of Compared
        In the order of the trials.

    Raises
    ------
    EvidenceError
        Where a trial stands at a gap that the travel does not have.
    """
    if not trials:
        return ()
    spots, findings = [], Findings(trials[0].file)
    for trial in trials:
        place = place_at_gap(stage.project, trial.gap)
        if place is None or not place < stage.over.full:
            findings.add(
                trial.line,
                "gap_mm",
                f"{1e3 * trial.gap:g} mm",
                f"a gap that the described travel has, up to {1e3 * _widest(stage):.0f} mm",
                "measure the gap before the closing edge at the touch, or look at [door] and [linkage]",
            )
            continue
        spots.append(Spot(place, trial.stiffness, opening=trial.way is Way.OPENING))
    findings.raise_any()
    day = stage.mild()
    door = sim_door(stage.project, day.conditions, sensed=False, voltage=day.voltage)
    scenes = contact_scenarios(stage.project, day.conditions, spots, followed=True)
    results = engine.batch(door, settings, scenes)
    return tuple(
        Compared(trial, contact_of(spot, result, followed=True))
        for trial, spot, result in zip(trials, spots, results, strict=True)
    )


def _widest(stage: Stage) -> float:
    """The widest gap that is surely there: the greatest of a row of tried ones [m]."""
    tried = [0.01 * at for at in range(1, 201)]
    return max((each for each in tried if place_at_gap(stage.project, each) is not None), default=0.0)


def sentences(found: Sequence[Compared]) -> tuple[str, ...]:
    """What must be known of trials in which the finished door did worse than the simulated one.

    Parameters
    ----------
    found : sequence of Compared
        The trials.
    """
    worse = [each for each in found if each.warns]
    if not worse:
        return ()
    lines = ", ".join(str(each.trial.line) for each in worse)
    where = f"{worse[0].trial.file}, {'line' if len(worse) == 1 else 'lines'} {lines}"
    return (
        f"{len(worse)} of {len(found)} force trials went worse than simulated ({where}): the forces here are "
        "then not those of the finished door; look for why (mount, friction, other thresholds on the board) "
        "before you rely on them",
    )
