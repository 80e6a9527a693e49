"""The search for roof windows: how ready the machine would be with any of thousands of layouts.

One window is found by trying all. For more, each of a few good sets gets the best partner, and then each of
its windows in turn is exchanged for the best that goes with the others, until no exchange makes it better:
what comes out is no worse than anything that differs from it by one window.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hutwright.laws.open_sky import open_sky_density_db
from hutwright.layout.frame import Floats
from hutwright.model.machine import StartRule
from hutwright.model.project import Project
from hutwright.plant.sky.inside import FLOOR_DB
from hutwright.plant.sky.kernel import PATTERNS, Waves
from hutwright.plant.sky.readiness import Counts, Day, day, dilution_of, roof_hears, room_db, rule_of

CHUNK = 16  # layouts that are worked on at once, for the processor's cache: ours to choose [-]
STARTS = 4  # sets that are carried on, by each of two orders: ours to choose [-]
ROUNDS = 6  # of exchanges at most: ours to choose [-]
TIE = 0.01  # shares of the day that are nearer to each other are equal: ours to choose [-]
Rank = tuple[int, float, float]
Chosen = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """What a layout is worth: share of the day ready, mean count of satellites [-], area that is cut [m2]."""

    ready: float
    count: float
    area: float

    @property
    def rank(self) -> Rank:
        """Greater is better: readiness to a hundredth of the day, then the smaller area, then the count.

        Where the machine is never ready the count goes before the area.
        """
        share = int(self.ready / TIE + 0.5)
        return (share, -self.area, self.count) if share else (0, self.count, -self.area)


class Listening:
    """What of a layout's field is heard over a day, for many layouts at once."""

    def __init__(self, project: Project, weights: Floats) -> None:
        """Gather what is the same for every layout.

        Parameters
        ----------
        project : Project
            The project.
        weights : array
            How likely each place of the antenna is. [-]
        """
        self.over: Day = day(project)
        self.rule: StartRule = rule_of(project)
        self.weights = weights
        roof = roof_hears(project)
        seen = self.over.clear if roof is None else self.over.clear & roof
        self.moment, self.satellite = np.nonzero(seen)
        self.ends = np.searchsorted(self.moment, np.arange(len(seen) + 1))
        where = (slice(None), self.moment, self.satellite)
        self.index, self.weight = self.over.inside.index[where], self.over.inside.weight[where]
        machine = project.machine
        assert machine is not None
        assert machine.antenna is not None
        up = np.sin(np.maximum(self.over.sky.elevation[self.moment, self.satellite], 0.0))
        pattern = open_sky_density_db(PATTERNS[machine.antenna.pattern](up), 0.0)
        self.least = np.asarray(-room_db(project) - pattern, dtype=np.float32)

    def heard(self, fields: Waves) -> NDArray[np.bool_]:
        """Which of all that could be heard are, (layouts, all).

        Parameters
        ----------
        fields : array
            Field ratios, (layouts, places * directions). [-]
        """
        parts = fields.reshape(len(fields), len(self.weights), -1)
        power = np.zeros((len(fields), parts.shape[2]), dtype=np.float32)
        for number, weight in enumerate(self.weights):
            part = parts[:, number]
            power += np.float32(weight) * (part.real**2 + part.imag**2)
        loss = 10.0 * np.log10(np.maximum(power, np.float32(10.0 ** (FLOOR_DB / 10.0))))
        read = np.zeros((len(fields), len(self.least)), dtype=np.float32)
        for index, share in zip(self.index, self.weight, strict=True):
            read += loss[:, index] * share
        return np.asarray(read >= self.least)

    def counts(self, heard: NDArray[np.bool_]) -> Counts:
        """How many count at each moment, (layouts, moments).

        Parameters
        ----------
        heard : array
            Which are heard, (layouts, all).
        """
        sums = np.zeros((len(heard), len(self.least) + 1), dtype=np.intp)
        np.cumsum(heard, axis=1, out=sums[:, 1:])
        return np.asarray(np.diff(sums[:, self.ends], axis=1))

    def ready(self, heard: NDArray[np.bool_], counts: Counts) -> float:
        """Share of the day in which one layout would do: enough satellites, well enough spread [-].

        Parameters
        ----------
        heard : array
            Which are heard, (all,).
        counts : array
            How many at each moment.
        """
        enough = np.flatnonzero(counts >= self.rule.satellites)
        if not len(enough):
            return 0.0
        flags = np.zeros(self.over.clear.shape, dtype=bool)
        flags[self.moment[heard], self.satellite[heard]] = True
        some = replace(self.over, products=self.over.products[enough])
        return float(np.sum(dilution_of(some, flags[enough]) <= self.rule.pdop) / len(counts))


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """The field of the hut, and what each window that may be cut would add to it, in one weather.

    `base` is (places * directions), `added` (windows, places * directions); `areas` of the holes [m2];
    `pairs` says which two can be cut both.
    """

    base: Waves
    added: Waves
    areas: Floats
    pairs: NDArray[np.bool_]


class Search:
    """Looks for the best windows, and counts what it tried."""

    def __init__(self, listening: Listening, field: Field, stopped: Callable[[], bool]) -> None:
        """Begin with nothing tried.

        Parameters
        ----------
        listening : Listening
            What is heard of a field.
        field : Field
            The fields.
        stopped : Callable
            Whether the answer is no longer wanted.
        """
        self.listening, self.field, self.stopped = listening, field, stopped
        self.tried = 0
        self._areas = tuple(float(each) for each in field.areas)

    def score(self, chosen: Chosen) -> Score:
        """What some windows are worth together."""
        heard = self.listening.heard(self._field(chosen)[None, :])
        counts = self.listening.counts(heard)[0]
        ready = self.listening.ready(heard[0], counts)
        return Score(ready, float(counts.mean()), sum(self._areas[each] for each in chosen))

    def best(self, most: int) -> Iterator[tuple[Chosen, Score] | None]:
        """The best one, two and so on up to a number of windows; None where so many do not fit.

        Stops early, without another word, once the answer is no longer wanted.
        """
        beam: list[tuple[Chosen, Score]] = [((), self.score(()))]
        for _ in range(most):
            found: dict[Chosen, Score] = {}
            for chosen, _score in beam:
                for grown, score in self._partners(chosen, 1 if chosen else STARTS):
                    settled, worth = self._settled(grown, score) if chosen else (grown, score)
                    found[settled] = worth
                if self.stopped():
                    return
            beam = _carried_on(found)
            yield beam[0] if beam else None
            if not beam:
                return

    def _field(self, chosen: Chosen) -> Waves:
        found = self.field.base.copy()
        for each in chosen:
            found += self.field.added[each]
        return found

    def _settled(self, chosen: Chosen, score: Score) -> tuple[Chosen, Score]:
        """A set after exchanges, one window at a time, until none makes it better."""
        for _ in range(ROUNDS):
            before = chosen
            for each in before:
                if each not in chosen or self.stopped():
                    continue
                rest = tuple(other for other in chosen if other != each)
                for other, worth in self._partners(rest, 1):
                    if worth.rank > score.rank:
                        chosen, score = other, worth
            if chosen == before:
                break
        return chosen, score

    def _partners(self, chosen: Chosen, wanted: int) -> list[tuple[Chosen, Score]]:
        """The best that go with some windows, by rank and, with more than one wanted, by count as well.

        A share of the day with enough satellites is an upper bound of that in which they also stand well, so
        that the slow look at how they stand is left out where it cannot change the answer.
        """
        free = np.ones(len(self._areas), dtype=bool)
        for each in chosen:
            free &= self.field.pairs[each]
        numbers = np.flatnonzero(free)
        if not len(numbers):
            return []
        self.tried += len(numbers)
        base, area = self._field(chosen), sum(self._areas[each] for each in chosen)
        kept = [self._chunk(base, numbers[at : at + CHUNK]) for at in range(0, len(numbers), CHUNK)]
        heard, counts = np.concatenate([one for one, _ in kept]), np.concatenate([two for _, two in kept])
        enough = (counts >= self.listening.rule.satellites).mean(axis=1)
        hopes = [
            Score(float(share), float(mean), area + self._areas[number])
            for share, mean, number in zip(enough, counts.mean(axis=1), numbers, strict=True)
        ]
        order = sorted(range(len(numbers)), key=lambda row: hopes[row].rank, reverse=True)
        exact: dict[int, Score] = {}
        for row in order:
            ranks = sorted((score.rank for score in exact.values()), reverse=True)
            if len(ranks) >= wanted and ranks[wanted - 1] >= hopes[row].rank:
                break
            exact[row] = self._worth(hopes[row], heard[row], counts[row])
        best = sorted(exact, key=lambda row: exact[row].rank, reverse=True)[:wanted]
        if wanted > 1:
            by_count = sorted(range(len(numbers)), key=lambda row: hopes[row].count, reverse=True)[:wanted]
            best += [row for row in by_count if row not in best]
        return [
            (
                tuple(sorted((*chosen, int(numbers[row])))),
                exact[row] if row in exact else self._worth(hopes[row], heard[row], counts[row]),
            )
            for row in best
        ]

    def _worth(self, hope: Score, heard: NDArray[np.bool_], counts: Counts) -> Score:
        return replace(hope, ready=self.listening.ready(heard, counts))

    def _chunk(self, base: Waves, numbers: NDArray[np.intp]) -> tuple[NDArray[np.bool_], Counts]:
        heard = self.listening.heard(base[None, :] + self.field.added[numbers])
        return heard, self.listening.counts(heard)


def _carried_on(found: dict[Chosen, Score]) -> list[tuple[Chosen, Score]]:
    """The best sets by rank, and those by count behind them."""
    by_rank = sorted(found, key=lambda each: found[each].rank, reverse=True)[:STARTS]
    by_count = sorted(found, key=lambda each: found[each].count, reverse=True)[:STARTS]
    return [(each, found[each]) for each in dict.fromkeys([*by_rank, *by_count])]
