"""The two tables of numbers of a firmware: ``board_config.h``, and the core's settings to be read."""

from __future__ import annotations

from collections.abc import Iterator
from enum import IntEnum, IntFlag

from hutwright import units
from hutwright.bench import choices
from hutwright.description.described import Described, Origin
from hutwright.native.board_plan import config_text
from hutwright.native.records import DETECTOR, SETTINGS, Record
from hutwright.native.words import Commands, Ends, Eyes, LinkLost, Sense
from hutwright.studies.firmware_plan import FirmwarePlan

# Where each setting comes from: an address of the description, or a choice of hutwright and its reason.
FROM = {
    "version": "of the settings' layout",
    "sense": "electronics.current_sensor.place",
    "ends": "drive.end_switches",
    "commands": "controller.commands",
    "eyes": "controller.layers",
    "link_lost": "hutwright: a move under way is finished when the link is lost",
    "most_reversals": "hutwright: then a person must look",
    "normal_permille": "controller.speed.normal",
    "last_permille": "controller.speed.last",
    "start_permille": f"hutwright: {choices.START_SHARE:g} of the normal duty",
    "ramp_ms": "hutwright: a soft start",
    "dead_ms": "hutwright: both sides off before a motor is turned round",
    "last_shut_permille": "controller.speed.last_over, as a share of the rod's travel",
    "last_open_permille": "hutwright: no slow stretch before open",
    "opening_cap_ms": "controller.longest_run.opening",
    "closing_cap_ms": "controller.longest_run.closing",
    "backstop_mA": "controller.detection.trip and the drive's stall at nominal supply",
    "backstop_ms": "hutwright: longer than the noise of brushes",
    "filter_q16": "controller.detection.filter",
    "slow_q16": "hutwright: of a detector that is off until a calibration",
    "after_ms": "controller.detection.after",
    "blind_ms": "controller.detection.blind_after_start",
    "start_step_ms": "hutwright: of a profile that is nothing until a calibration",
    "reference_dC": "hutwright: of a profile that is nothing until a calibration",
    "reference_mV": "supplies: nominal",
    "trained_low_dC": "hutwright: no weather is outside until a calibration",
    "trained_high_dC": "hutwright: no weather is outside until a calibration",
    "trained_low_mV": "hutwright: no supply is outside until a calibration",
    "trained_high_mV": "hutwright: no supply is outside until a calibration",
    "widen_per_kelvin_mA": "hutwright: nothing until a calibration",
    "widen_per_volt_mA": "hutwright: nothing until a calibration",
    "widen_most_mA": "hutwright: nothing until a calibration",
    "start_above_mV": f"supplies: {choices.START_OF_SUPPLY:g} of nominal, above what board and bridge need",
    "stop_below_mV": "electronics: what board and bridge need, and a margin",
    "stop_below_ms": "hutwright: a soft start dips the supply for less",
    "place_gain_q8": "drive.no_load and the travel between the pins",
    "resistance_mohm": "drive, cables and electronics.bridge together",
    "drop_mV": "electronics.bridge.offset",
    "end_permille": "hutwright: by the kind of end switches",
    "slip_permille": "hutwright: three windows at the ends",
    "zero_ms": "hutwright: readings of rest that the sensor is zeroed over",
    "zero_most_mA": f"electronics.current_sensor.range: {choices.ZERO_SHARE:g} of it",
    "range_mA": f"electronics.current_sensor.range: {choices.RANGE_SHARE:g} of it",
    "stuck_ms": "electronics.current_sensor.noise against a count of the converter",
    "none_mA": "half of the least current that moves the free leaf",
    "none_ms": "the time that the rotor takes to slow down, and a margin",
    "relax_permille": "linkage.mount_stiffness: until it has unwound from a stall",
    "back_permille": f"hutwright: {100.0 * choices.BACK_EDGE:g} cm of the edge, room for a hand",
    "present_hold_ms": "hutwright: a sensor may lose a moving machine for so long",
    "auto_close_s": "hutwright: never by itself",
    "link_lost_ms": "hutwright: some heart beats of the far end",
    "debounce_ms": "hutwright: contacts bounce for less",
    "clear_ms": "hutwright: nobody holds a button so long by mistake",
    "opening": "",
    "closing": "",
    "checksum": "over all bytes before it",
    "profile_mA": "hutwright: nothing until a calibration, so that the trip is a plain current",
    "start_mA": "hutwright: nothing until a calibration",
    "per_kelvin_uA": "hutwright: nothing until a calibration",
    "per_volt_mA": "hutwright: nothing until a calibration",
    "trip_mA": "controller.detection.trip",
    "rise_mA": "hutwright: 65535 is off; without a profile it would trip at every seal",
}
SUFFIXES = {
    "mA": "mA", "mV": "mV", "ms": "ms", "s": "s", "dC": "tenths of degC", "permille": "permille",
    "q16": "of 65536", "q8": "in 1/256", "mohm": "mohm", "uA": "uA",
}  # fmt: skip
KINDS: dict[str, type[IntEnum]] = {"sense": Sense, "ends": Ends, "link_lost": LinkLost}
FLAGS: dict[str, type[IntFlag]] = {"commands": Commands, "eyes": Eyes}


# ---- board_config.h --------------------------------------------------------------------------------------


def board_config(plan: FirmwarePlan) -> str:
    """The text of ``board_config.h``: every value with what it is, its unit and where it comes from.

    Parameters
    ----------
    plan : FirmwarePlan
        The board.
    """
    said = _config_words(plan)
    lines = []
    for line in config_text(plan.board).splitlines():
        name = line.split()[1].removeprefix("BOARD_") if line.startswith("#define BOARD_") else ""
        key = name.removesuffix("_PIN")
        if name.endswith("_CHANNEL"):
            line = f"#define BOARD_{name} {plan.channels[name.removesuffix('_CHANNEL')]}u"
        if key in said:
            lines.append(f"/* {said[key]} */")
        lines.append(line)
    return "\n".join(lines) + "\n"


def _config_words(plan: FirmwarePlan) -> dict[str, str]:
    """What stands above a line of ``board_config.h``, by its name without prefix."""
    board, described = plan.board, plan.described
    reference = _electronic(described, "board", "reference")
    sensitivity = _electronic(described, "current_sensor", "sensitivity")
    upper, lower = (f"{each / 1e3:g} kohm" for each in plan.divider)
    found = {
        "CLOCK_HZ": "Hz; electronics.board.kind",
        "PWM_TOP": "counts of full duty, for pulses of 20 kHz",
        "BAUD": "bits a second on the serial line",
        "PARALLELED": "1: two channels share the motor; electronics.bridge.paralleled",
        "HAS_LIMITS": "1: limit switches come to the board; drive.end_switches",
        "HAS_BEAM": "1: a beam is fitted; controller.layers",
        "HAS_EDGE": "1: a pressure edge is fitted; controller.layers",
        "PRESENT": "1: a pulse-echo sensor is fitted; electronics.present_sensor, controller.layers",
        "DISPLAY": "1: a display is on the two-wire bus; electronics.display",
        "DISPLAY_ADDRESS": "of 7 bits, of the usual expander; look at the display's own",
        "CURRENT_CHANNEL": "converter's input; pins.sense.current",
        "SUPPLY_CHANNEL": "converter's input; pins.sense.supply",
        "TEMPERATURE_CHANNEL": "converter's input; pins.sense.temperature",
        "CURRENT_ZERO_counts": "counts at no current; electronics.current_sensor.kind",
        "CURRENT_mA_q8": f"1/256 mA a count; sensitivity {sensitivity}, full scale {reference}",
        "SUPPLY_mV_q8": f"1/256 mV a count; divider of {upper} and {lower}, full scale {reference}",
        "TEMPERATURE_ZERO_counts": "counts at 0 degC; a sensor with 0.5 V there",
        "TEMPERATURE_dC_q8": "1/256 of 0.1 K a count; a sensor of 10 mV/K",
        "PRESENT_NEAR_units": (
            f"64 us of echo: nearer than {units.show(board.near, units.LENGTH)}; 0.9 of door.opening.width"
            if board.present
            else "not used: no pulse-echo sensor is fitted"
        ),
    }
    return found | {name: _line_words(name, plan) for name in board.pins}


def _electronic(described: Described, part: str, name: str) -> str:
    """A value of the electronics with its unit and where it came from."""
    return _datum(described, f"electronics.{part}.{name}")


def _line_words(name: str, plan: FirmwarePlan) -> str:
    if name in plan.fitted:
        return "port, bit; WIRING.md says what goes there"
    if name in ("BUTTON", "RELAY", "SENSOR"):
        return "port, bit; nothing is wired there and nothing is heard: not among controller.commands"
    return "not fitted; the firmware never looks there"


# ---- settings --------------------------------------------------------------------------------------------


def settings_page(plan: FirmwarePlan) -> str:
    """The core's settings as a table to be read: value, unit, where it comes from.

    Parameters
    ----------
    plan : FirmwarePlan
        The board and its settings.
    """
    rows = ["| setting | value | unit | where it comes from |", "| --- | --- | --- | --- |"]
    rows += [f"| {' | '.join(row)} |" for row in _settings_rows(plan)]
    return "\n".join(
        [
            f"# Settings of {plan.described.project.name}",
            "",
            "What `store.bin` holds, as the rehearsal played it. To change one, change `hut.toml` and write "
            "the firmware again: the board refuses settings whose checksum does not fit.",
            "",
            *rows,
            "",
        ]
    )


def _settings_rows(plan: FirmwarePlan) -> Iterator[tuple[str, str, str, str]]:
    described, settings = plan.described, plan.settings
    for name in SETTINGS.names or ():
        if name in ("opening", "closing"):
            for each in DETECTOR.names or ():
                yield _row(described, f"{name}.{each}", each, settings[name][each])
        else:
            yield _row(described, name, name, settings[name])


def _row(described: Described, shown: str, name: str, value: Record) -> tuple[str, str, str, str]:
    return f"`{shown}`", _value(name, value), _unit(name), _origin(described, FROM[name])


def _value(name: str, value: Record) -> str:
    if getattr(value, "shape", ()):
        numbers = sorted({int(each) for each in value})
        return f"{numbers[0]} (all {len(value)})" if len(numbers) == 1 else " ".join(map(str, value))
    if name in KINDS or name in FLAGS:
        return f"{int(value)} ({_words(name, int(value))})"
    return str(int(value))


def _words(name: str, value: int) -> str:
    if name in FLAGS:
        return (
            " and ".join(each.name or "" for each in FLAGS[name] if each in FLAGS[name](value)).lower()
            or "none"
        )
    return KINDS[name](value).name.lower()


def _unit(name: str) -> str:
    if name.startswith("per_") or name.startswith("widen_per"):
        unit = SUFFIXES[name.rsplit("_", 1)[1]]
        return f"{unit}/K" if "kelvin" in name else f"{unit}/V"
    suffix = name.rsplit("_", 1)[-1]
    return SUFFIXES.get(suffix, "-") if "_" in name else "-"


def _origin(described: Described, source: str) -> str:
    """The source; an address of the description with what stands there and how it got there."""
    path, colon, rest = source.partition(", ")
    if tuple(path.split(".")) in described.values:
        return f"{path} = {_datum(described, path)}{colon}{rest}"
    return source


def _datum(described: Described, path: str) -> str:
    """A value of the description as a builder reads it, with its origin where it was not given."""
    datum = described.values[tuple(path.split("."))]
    value = datum.value
    if isinstance(value, float) and datum.dimension is not None:
        text = f"{value:g}" if datum.dimension == units.NUMBER else units.show(value, datum.dimension)
    elif isinstance(value, (tuple, list)):
        text = ", ".join(str(getattr(each, "value", each)) for each in value)
    else:
        text = str(getattr(value, "value", value))
    return text if datum.origin is Origin.GIVEN else f"{text} ({datum.origin.value})"
