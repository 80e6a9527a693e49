"""Whether every function finds a pin that can do it."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.trades.wiring.pin_map import assigned
from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.pins"


def words(found) -> str:
    return "\n".join(step.words for step in found.working)


def test_the_orchard_lacks_none():
    found = check(orchard(), KEY)
    assert found.value == 0.0
    assert "bridge.open on PB1, as described" in words(found)
    assert "sense.temperature on PC2, chosen here" in words(found)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"pins.bridge.open": "PX9"}, "the board has no pin PX9"),
        ({"pins.bridge.open": "PC3"}, "PC3 can only do"),
        ({"pins.sense.current": "PC1"}, "PC1 is given to sense.current already"),
        ({"pins.sense.supply": "PB6"}, "PB6 can only do crystal"),
        ({"pins.display": {"data": "PC5", "clock": "free"}}, "PC5 can only do"),
    ],
)
def test_says_what_is_wrong_with_a_named_pin_and_sets_it_free(changes, said):
    wrong = orchard(changes)
    found = check(wrong, KEY)
    assert found.value == 1.0
    assert said in words(found)
    assert verdict(wrong, KEY).status is Status.MISSES
    option = levers(wrong, KEY)["pins chosen anew"].option
    assert option is not None
    assert "free" in option.changes.values()


CROWDED = {
    "pins.limits": {"open": "free", "shut": "free"},
    "pins.commands": {"button": "free", "relay": "free"},
    "pins.link": {"receive": "PD0", "transmit": "PD1"},
}
PARALLEL = {"electronics.display": {"bus": "parallel"}}
BUSES = ("parallel", "two-wire")
# Plain lines on four of the six pins that measure, the current and the supply on the other two.
TAKEN = {"pins.commands": {"button": "PC2", "relay": "PC3"}, "pins.limits": {"open": "PC4", "shut": "PC5"}}


def test_every_usable_pin_can_be_put_to_work():
    # 23 pins less crystal and reset are 20; so are 9 of the orchard, 5 that crowd, and 6 of the display.
    found = check(orchard({**CROWDED, **PARALLEL}), KEY)
    assert found.value == 0.0
    assert sum(" on P" in step.words for step in found.working) == 20


def test_a_function_that_no_pin_is_left_for_misses_and_both_levers_help():
    short = orchard({**CROWDED, **PARALLEL, **TAKEN})
    found = check(short, KEY)
    assert found.value == 1.0
    assert "sense.temperature: no pin is left that can do it" in words(found)
    helps = levers(short, KEY)
    assert set(helps) == {"pins chosen anew", "a display with fewer wires"}
    option = helps["a display with fewer wires"].option
    assert option is not None
    assert option.changes[("electronics", "display", "bus")] == "two-wire"


def test_a_two_wire_display_frees_four_pins():
    parallel, two_wire = (assigned(orchard({"electronics.display": {"bus": bus}}).project) for bus in BUSES)
    assert parallel is not None
    assert two_wire is not None
    assert len(parallel.pins) - len(two_wire.pins) == 4
