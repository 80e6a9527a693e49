"""Which pin of the board does what."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from hutwright.catalogue.boards import BOARDS, PinUse
from hutwright.trades.wiring.pin_map import FREE, assigned, wanted
from tests.described import orchard

BOARD = BOARDS["8-bit AVR, 5 V, 16 MHz"]
GROUPS = {
    "bridge": ("open", "close", "enable"),
    "sense": ("current", "supply", "temperature"),
    "present": ("trigger", "echo"),
    "limits": ("open", "shut"),
    "commands": ("button", "relay"),
    "link": ("receive", "transmit"),
    "display": ("data", "clock"),
}


def free(**pins: str):
    """The orchard with some pins named and all others free."""
    changes = {
        f"pins.{group}.{line}": FREE for group in ("bridge", "sense", "present") for line in GROUPS[group]
    }
    changes |= {f"pins.{name.replace('__', '.')}": pin for name, pin in pins.items()}
    return assigned(orchard(changes).project)


def test_puts_both_directions_on_the_16_bit_timer():
    found = free()
    assert {found.pins["bridge.open"], found.pins["bridge.close"]} == {"PB1", "PB2"}
    assert found.notes == ()


def test_puts_the_second_direction_beside_the_first():
    found = free(bridge__open="PD5")
    assert found.pins["bridge.close"] == "PD6"
    assert any("16-bit" in note for note in found.notes)


def test_says_when_the_two_directions_hang_on_two_timers():
    assert any("two timers" in note for note in free(bridge__open="PD5", bridge__close="PB1").notes)


def test_gives_the_echo_an_interrupt_and_says_when_it_has_none():
    assert PinUse.INTERRUPT in BOARD.pins[free().pins["present.echo"]].uses
    assert any("no interrupt" in note for note in free(present__echo="PD7").notes)


def test_leaves_the_serial_line_and_the_bus_to_the_last():
    assert not {"PD0", "PD1", "PC4", "PC5"} & set(free().pins.values())


def test_asks_for_what_described_parts_need_though_no_pin_is_named():
    changes = {"electronics.display": {"bus": "two-wire"}, "controller.commands": ["button", "relay"]}
    found = assigned(orchard({**changes, "drive.end_switches": "to the board", "pins.present": None}).project)
    assert found is not None
    assert {"display.data", "display.clock", "commands.relay", "limits.shut", "present.echo"} <= set(
        found.pins
    )


def test_a_beam_needs_no_trigger():
    names = {
        each.name
        for each in wanted(orchard({"electronics.present_sensor.kind": "beam", "pins.present": None}).project)
    }
    assert "present.echo" in names
    assert "present.trigger" not in names


def test_reads_names_in_any_case():
    assert free(sense__current=" pc3 ").pins["sense.current"] == "PC3"


def test_has_no_map_without_a_board():
    assert assigned(orchard({"electronics.board": None}).project) is None


named = st.sampled_from([FREE, *BOARD.pins])


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.sampled_from(sorted(GROUPS)), st.tuples(named, named, named), min_size=1),
    st.booleans(),
)
def test_gives_each_pin_once_and_finds_as_many_as_can_be_found(chosen, parallel):
    changes: dict[str, object] = {
        f"pins.{group}": dict(zip(GROUPS[group], picks, strict=False)) for group, picks in chosen.items()
    }
    if parallel:
        changes["electronics.display"] = {"bus": "parallel"}
    found = assigned(orchard(changes).project)
    assert found is not None
    assert len(set(found.pins.values())) == len(found.pins)
    assert set(found.pins) | set(found.conflicts) | set(found.open) == {each.name for each in found.functions}
    given_pins = {
        found.pins[each.name] for each in found.functions if each.given != FREE and each.name in found.pins
    }
    left = [each for each in found.functions if each.given == FREE]
    for each in left:
        if each.name in found.pins:
            assert not BOARD.pins[found.pins[each.name]].uses.isdisjoint(each.fits)
    assert len(left) - len(found.open) == largest(left, given_pins)


def largest(functions, taken) -> int:
    """Size of the largest matching, by an independent library."""
    pins = [pin for name, pin in BOARD.pins.items() if name not in taken]
    if not functions or not pins:
        return 0
    fits = np.array(
        [[not pin.uses.isdisjoint(each.fits) for pin in pins] for each in functions], dtype=np.int8
    )
    return int(np.sum(maximum_bipartite_matching(csr_array(fits), perm_type="column") >= 0))


@pytest.mark.recalled("pin table of the 28-pin package: converter inputs 0 to 5 are the six lines of port C")
def test_measures_on_port_c_only():
    found = free()
    assert all(found.pins[f"sense.{line}"].startswith("PC") for line in GROUPS["sense"])
