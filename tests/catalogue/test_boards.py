"""Controller boards by kind."""

import pytest

from hutwright.catalogue.boards import BOARDS, PinUse

BOARD = BOARDS["8-bit AVR, 5 V, 16 MHz"]


@pytest.mark.published("data sheet of an 8-bit controller family, table 'Brown-out detection'")
@pytest.mark.parametrize(
    ("name", "levels"), [("4.3 V", (4.1, 4.3, 4.5)), ("2.7 V", (2.5, 2.7, 2.9)), ("1.8 V", (1.7, 1.8, 2.0))]
)
def test_resets_at_the_printed_levels(name, levels):
    spread = BOARD.brown_outs[name]
    assert (spread.low, spread.nominal, spread.high) == levels


@pytest.mark.published(
    "data sheet of an 8-bit controller family: 10-bit converter, hysteresis 50 mV, dip of 2 us"
)
def test_has_the_printed_converter_and_reset():
    assert BOARD.converter_bits == 10
    assert BOARD.brown_out_hysteresis == 0.05
    assert BOARD.brown_out_pulse == 2e-6


@pytest.mark.recalled("the pin table of the 28-pin package is known to everybody who has wired one")
@pytest.mark.parametrize(
    ("use", "pins"),
    [
        (PinUse.PULSE_TIMER_0, ("PD5", "PD6")),
        (PinUse.PULSE_TIMER_1, ("PB1", "PB2")),
        (PinUse.PULSE_TIMER_2, ("PB3", "PD3")),
        (PinUse.ANALOGUE, ("PC0", "PC1", "PC2", "PC3", "PC4", "PC5")),
        (PinUse.BUS_DATA, ("PC4",)),
        (PinUse.BUS_CLOCK, ("PC5",)),
        (PinUse.RECEIVE, ("PD0",)),
        (PinUse.TRANSMIT, ("PD1",)),
        (PinUse.INTERRUPT, ("PD2", "PD3")),
        (PinUse.CAPTURE, ("PB0",)),
        (PinUse.RESET, ("PC6",)),
        (PinUse.CRYSTAL, ("PB6", "PB7")),
    ],
)
def test_its_pins_do_what_the_table_says(use, pins):
    assert BOARD.pins_for(use) == pins


def test_clock_and_reset_are_not_offered_for_anything_else():
    for name in (*BOARD.pins_for(PinUse.CRYSTAL), *BOARD.pins_for(PinUse.RESET)):
        assert len(BOARD.pins[name].uses) == 1
    assert len(BOARD.pins) == 23
    assert len(BOARD.pins_for(PinUse.DIGITAL)) == 20


def test_pins_say_whether_a_timer_drives_them():
    assert [name for name, pin in BOARD.pins.items() if pin.pulses] == [
        "PB1",
        "PB2",
        "PB3",
        "PD3",
        "PD5",
        "PD6",
    ]
    assert all(pin.name == name for name, pin in BOARD.pins.items())


def test_the_setting_for_five_volts_resets_before_the_clock_is_too_fast():
    assert BOARD.brown_outs["4.3 V"].low > BOARD.lowest_supply > BOARD.brown_outs["2.7 V"].high
