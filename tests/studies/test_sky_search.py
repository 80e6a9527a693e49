"""The search for roof windows, on fields made by chance: what it finds, and what it costs."""

from itertools import combinations
from types import SimpleNamespace

import numpy as np
import pytest

from hutwright.plant.sky.inside import dome, loss_db
from hutwright.plant.sky.readiness import SHUT, day, enough_share, ready_share, rule_of
from hutwright.studies.sky_search import Field, Listening, Score, Search
from tests.studies.skies import PROJECT

COUNT = 10
DIRECTIONS = len(dome().toward)


@pytest.fixture(scope="module")
def listening():
    return Listening(PROJECT, np.ones(1))


def field(seed, apart=()):
    """A weak field and windows that each add beams of their own; some pairs cannot be cut both."""
    chance = np.random.default_rng(seed)

    def waves(count, size):
        both = chance.normal(size=(2, count, 40)) @ chance.normal(size=(40, DIRECTIONS)) / 40**0.5
        return (size * (both[0] + 1j * both[1])).astype(np.complex64)

    pairs = ~np.eye(COUNT, dtype=bool)
    for one, other in apart:
        pairs[one, other] = pairs[other, one] = False
    areas = chance.choice([0.1, 0.15, 0.2], COUNT)
    return Field(waves(1, 0.1)[0], waves(COUNT, 0.25), areas, pairs)


def search(listening, seed, stopped=lambda: False, apart=()):
    return Search(listening, field(seed, apart), stopped)


def exhaustively(searched, number):
    """The best rank of all sets of so many windows."""
    pairs = searched.field.pairs
    return max(
        searched.score(each).rank
        for each in combinations(range(COUNT), number)
        if all(pairs[one, other] for one, other in combinations(each, 2))
    )


@pytest.mark.parametrize("seed", range(3))
def test_one_window_is_the_best_of_all(listening, seed):
    searched = search(listening, seed)
    ((_, score),) = searched.best(1)
    assert score.rank == exhaustively(searched, 1)


@pytest.mark.parametrize("seed", range(3))
def test_two_windows_are_no_worse_than_any_that_differ_by_one(listening, seed):
    searched = search(listening, seed, apart=[(0, 1), (2, 5), (3, 7)])
    _, (chosen, score) = searched.best(2)
    assert searched.field.pairs[chosen]
    for kept in chosen:
        for other in range(COUNT):
            if searched.field.pairs[kept, other]:
                assert searched.score(tuple(sorted((kept, other)))).rank <= score.rank
    assert score.rank == exhaustively(searched, 2)


def test_its_score_is_the_readiness_that_the_plain_way_finds(listening):
    power = 10.0 ** (loss_db(PROJECT, SHUT) / 10.0)
    nothing = np.zeros((1, DIRECTIONS), dtype=np.complex64)
    plain = Field(np.sqrt(power).astype(np.complex64), nothing, np.ones(1), np.zeros((1, 1), dtype=bool))
    score = Search(listening, plain, lambda: False).score(())
    # A satellite on the very threshold may fall to either side by rounding.
    assert score.ready == pytest.approx(ready_share(PROJECT, SHUT), abs=2.5 / len(day(PROJECT).clear))
    heard = listening.heard(plain.base[None, :])
    enough = float((listening.counts(heard)[0] >= rule_of(PROJECT).satellites).mean())
    assert enough == pytest.approx(enough_share(PROJECT, SHUT), abs=2.5 / len(day(PROJECT).clear))


def test_the_same_question_has_the_same_answer(listening):
    first, second = (list(search(listening, 4).best(3)) for _ in range(2))
    assert first == second


def test_it_ends_when_told_to_and_keeps_what_it_has(listening):
    asked = SimpleNamespace(times=0)

    def stopped():
        asked.times += 1
        return asked.times > 1

    found = list(search(listening, 1, stopped).best(3))
    assert len(found) == 1
    assert list(search(listening, 1, lambda: True).best(3)) == []


def test_windows_that_do_not_fit_beside_each_other_end_it(listening):
    everything = list(combinations(range(COUNT), 2))
    one, none = search(listening, 2, apart=everything).best(3)
    assert one is not None
    assert none is None


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (Score(0.60, 9.0, 0.2), Score(0.58, 12.0, 0.1)),  # ready for longer
        (Score(0.601, 9.0, 0.1), Score(0.604, 12.0, 0.2)),  # as long, by what can be told apart: less cut
        (Score(0.60, 12.0, 0.1), Score(0.60, 9.0, 0.1)),  # and then more satellites
        (Score(0.0, 9.0, 0.2), Score(0.0, 8.0, 0.1)),  # never ready: more satellites before less cut
    ],
)
def test_readiness_goes_before_area_and_area_before_satellites(better, worse):
    assert better.rank > worse.rank
