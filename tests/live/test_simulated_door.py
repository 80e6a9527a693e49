"""The described hut as a simulated board: weather of its own for each move, and nothing in its way."""

from __future__ import annotations

import pytest

from hutwright.errors import RequestError
from hutwright.live.simulated_door import ANEW_MS, LEFT_AT, DescribedDoor
from tests.described import orchard, sports_field

AIR = (5.0, 25.0)


def driven(door: DescribedDoor, duty: float) -> list[float]:
    """Currents of a move to its end, and a rest after it in which another day comes."""
    found, place, still = [], door.place, 0
    while still < 500:
        found.append(door.live(duty, enabled=True).current)
        still = still + 1 if abs(door.place - place) < 1e-6 else 0
        place = door.place
        assert len(found) < 60_000
    assert place > 0.99 if duty > 0.0 else place < 0.01
    for _ in range(ANEW_MS + 1):
        door.live(0.0, enabled=False)
    return found


@pytest.mark.parametrize("described", [orchard, sports_field])
def test_no_two_moves_are_the_same_and_all_are_made_in_the_asked_weather(described):
    door = DescribedDoor(described(), AIR, seed=3)
    assert door.place == pytest.approx(LEFT_AT)
    driven(door, 1.0)
    seen, celsius = [], []
    for _ in range(3):
        seen += [driven(door, -0.9), driven(door, 0.9)]
        celsius.append(door.live(0.0, enabled=False).temperature)
    assert len({tuple(each) for each in seen}) == 6
    assert len(set(celsius)) == 3
    assert all(AIR[0] - 0.1 <= each <= AIR[1] + 0.1 for each in celsius)


def test_the_same_seed_makes_the_same_moves():
    first, second, other = (DescribedDoor(sports_field(), AIR, seed=each) for each in (4, 4, 5))
    moves = [driven(each, 0.9) for each in (first, second, other)]
    assert moves[0] == moves[1] != moves[2]


def test_a_drive_that_cannot_open_the_door_is_a_sentence():
    weak = orchard({"door.leaf.mass": "300 kg"})
    with pytest.raises(RequestError, match="does not open the described door on a calm day"):
        DescribedDoor(weak, AIR)
