"""What came of many doors, put together: one line for a population, a training and a method."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from hutwright.laws.force_trace import LASTING_TIME
from tools.populations.member import POPULATIONS
from tools.populations.methods import Method
from tools.populations.moves import Touch
from tools.populations.study import Found, Trained
from tools.populations.year import Season


@dataclass(frozen=True, slots=True)
class Pool:
    """Several doors with one training and one method.

    Attributes
    ----------
    population : str
        Which.
    trained : Trained
        When the training was recorded.
    cycles : int
        Training cycles. [-]
    method : Method
        How it was set.
    found : tuple of Found
        Door by door.
    """

    population: str
    trained: Trained
    cycles: int
    method: Method
    found: tuple[Found, ...]

    @property
    def offered(self) -> tuple[Found, ...]:
        """The doors that our calibration does not refuse with this training."""
        return tuple(each for each in self.found if not each.refused)

    @property
    def refused(self) -> tuple[Found, ...]:
        """The doors that it refuses."""
        return tuple(each for each in self.found if each.refused)

    def needless(self, seasons: Sequence[Season]) -> tuple[int, int]:
        """Needless reversals, and of how many cycles, in some seasons [-]."""
        return summed(each.needless(seasons) for each in self.found)

    @property
    def in_season(self) -> tuple[int, int]:
        """Needless reversals in the seasons that the training saw, and of how many cycles [-]."""
        return self.needless(self.trained.seen)

    @property
    def elsewhere(self) -> tuple[int, int]:
        """Needless reversals in the other seasons, and of how many cycles [-]."""
        return self.needless([season for season in Season if season not in self.trained.seen])

    @property
    def claimed(self) -> float:
        """Needless reversals that the claims allow in those cycles at most [-]."""
        return sum(each.claim * each.needless(self.trained.seen)[1] for each in self.found)


@dataclass(frozen=True, slots=True)
class Pressed:
    """What came of contacts.

    Attributes
    ----------
    touched : tuple of Touch
        Those in which the leaf got there.
    before : int
        Those in which it reversed before, or did not get there. [-]
    """

    touched: tuple[Touch, ...]
    before: int

    @property
    def over(self) -> int:
        """Over a limit of peak, duration or rest, or never decided where that is wanted [-]."""
        return sum(not each.press.kept for each in self.touched)

    @property
    def over_untold(self) -> int:
        """Over the peak, or above 150 N for too long, and no detector ever told it [-]."""
        return sum(not each.tripped and over_force(each) for each in self.touched)

    @property
    def over_late(self) -> int:
        """Over the peak, or above 150 N for too long, though it was told [-]."""
        return sum(each.tripped and over_force(each) for each in self.touched)

    @property
    def held(self) -> int:
        """Pressed for good with more than a force test allows after five seconds [-]."""
        return sum(not each.tripped and each.press.held > 0.0 for each in self.touched)

    @property
    def delays(self) -> list[float]:
        """From the touch to the decision; infinite without one [s]."""
        return [each.delay for each in self.touched]

    @property
    def peaks(self) -> list[float]:
        """Peak forces [N]."""
        return [each.press.contact.peak_seen for each in self.touched]


def summed(counts: Iterable[tuple[int, int]]) -> tuple[int, int]:
    """Counts, each with of how many, put together; 0 of 0 without any [-]."""
    known = list(counts)
    return sum(met for met, _ in known), sum(of for _, of in known)


def over_force(touch: Touch) -> bool:
    """Whether a contact goes over the limit of the peak, or stays above 150 N for too long."""
    return touch.over_peak or touch.press.contact.above_150 > LASTING_TIME


def pressed(found: Iterable[Found], *, soft: bool) -> Pressed:
    """The contacts of some doors.

    Parameters
    ----------
    found : iterable of Found
        The doors.
    soft : bool
        Whether the soft slow ones; else those of the force test.
    """
    everything = [touch for each in found for touch in (each.soft if soft else each.hard)]
    touched = tuple(each for each in everything if each.touched)
    return Pressed(touched, len(everything) - len(touched))


def pools(found: Sequence[Found]) -> Iterator[Pool]:
    """All pools, in reading order."""
    for population in POPULATIONS:
        for trained in Trained:
            for cycles in sorted({each.cycles for each in found}):
                for method in Method:
                    some = tuple(
                        each
                        for each in found
                        if (each.population, each.trained, each.cycles, each.method)
                        == (population, trained, cycles, method)
                    )
                    if some:
                        yield Pool(population, trained, cycles, method, some)
