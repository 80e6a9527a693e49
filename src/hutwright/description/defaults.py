"""What is taken where the builder said nothing: a range with its reason, or a row of the catalogue.

A rule per record and field. A rule that finds nothing to go by lets the value stand as missing.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hutwright import units
from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.bridges import BRIDGES, BridgeKind
from hutwright.catalogue.cores import CORES
from hutwright.catalogue.materials import MATERIAL_DENSITIES, MATERIALS
from hutwright.catalogue.regulators import REGULATORS, RegulatorKind
from hutwright.catalogue.sensors import SENSORS, SensorKind
from hutwright.catalogue.spread import Spread
from hutwright.catalogue.supplies import SUPPLIES, SupplyKind
from hutwright.catalogue.tables import BROWN_OUT_OFF
from hutwright.description.assembly import About, Assumed, Rule, is_within
from hutwright.description.assuming import exact, nothing, plain, practice, share, spread, times, usual, where
from hutwright.description.described import Origin
from hutwright.laws.motor_line import cold_friction
from hutwright.model import (
    box,
    cables,
    circuit,
    controller,
    door,
    drive,
    hut,
    machine,
    network,
    project,
    site,
    supplies,
)
from hutwright.model.hut import Layer
from hutwright.model.references import unusable_build_up
from hutwright.sources import Source
from hutwright.units import Reading

MONTH = 30.0 * 86400.0  # as the catalogue counts it [s]
LONG_CABLE = 5.0  # a cable longer than this leaves a small hut: a choice of this project [m]


def _supply(about: About) -> SupplyKind:
    return SUPPLIES[about.here["kind"]]


def _self_discharge(about: About) -> Assumed:
    lost = _supply(about).self_discharge
    return spread(Spread(lost.low * MONTH, lost.nominal * MONTH, lost.high * MONTH), _supply(about).source)


def _regulator(about: About) -> RegulatorKind:
    return REGULATORS[about.here["kind"]]


def _bridge(about: About) -> BridgeKind:
    return BRIDGES[about.here["kind"]]


def _sensor(about: About) -> SensorKind:
    return SENSORS[about.here["kind"]]


def _bridge_resistance(about: About) -> Assumed:
    kind = _bridge(about)
    cold, hot = kind.resistance, kind.hot_factor
    return spread(Spread(cold.low * hot.low, cold.nominal * hot.nominal, cold.high * hot.high), kind.source)


def _route(about: About) -> Assumed:
    length: float = about.here["length"]
    if length > LONG_CABLE:
        return Assumed(cables.Route.OUTDOORS, practice("a cable longer than 5 m leaves a small hut"))
    return Assumed(cables.Route.INSIDE, practice("a short cable stays inside"))


def _fitted(least: float, source: Source) -> Assumed:
    """A capacitor that was not mentioned: anything from none to the one of the data sheet."""
    return Assumed(Reading(least / 2, 0.0, least, ""), source)


def _resets_below(about: About) -> Assumed:
    board = BOARDS[about.here["kind"]]
    level = about.here["brown_out"]
    if level == BROWN_OUT_OFF:
        what = "without a brown-out setting the clock fails somewhere below its allowed supply"
        return Assumed(Reading(4.15, board.lowest_supply, 4.5, ""), practice(what))
    return spread(board.brown_outs[level], board.brown_out_source)


def _warmest(about: About) -> Assumed:
    outside = (
        about.outer.reading("site", "air", "warmest") if about.outer else Reading(313.15, 313.15, 313.15, "")
    )
    low, high = outside.low + 5.0, outside.high + 15.0
    return Assumed(
        Reading((low + high) / 2, low, high, ""), practice("a closed box is 5 to 15 K warmer than the shade")
    )


def _asleep(about: About) -> Assumed:
    return Assumed(
        about.reading("load"), practice("a board that is not sent to sleep draws what it draws awake")
    )


def _build_up(about: About, name: str) -> tuple[Layer, ...]:
    address = ("build_ups", name)
    if is_within(address, about.broken):
        raise KeyError(address)
    whole = about
    while whole.outer is not None:
        whole = whole.outer
    known: Mapping[str, tuple[Layer, ...]] = whole.here["build_ups"]
    fault = unusable_build_up(".".join((*about.path, "build_up")), name, known)
    if fault is not None:
        raise fault
    return known[name]


def _leaf_mass(about: About) -> Assumed:
    area = about.here["width"] * about.here["height"]
    layers = _build_up(about, about.here["build_up"])
    rows = [(layer.thickness, MATERIALS[layer.material].density) for layer in layers]
    low, usual, high = (
        area * sum(thickness * density[end] for thickness, density in rows) for end in range(3)
    )
    return Assumed(Reading(usual, low, high, ""), MATERIAL_DENSITIES, Origin.DERIVED)


def _cold_friction(about: About) -> Assumed:
    coldest = (
        about.outer.reading("site", "air", "coldest") if about.outer else Reading(253.15, 253.15, 253.15, "")
    )
    low, high = cold_friction(coldest.high).least, cold_friction(coldest.low).greatest
    usual = cold_friction(coldest.nominal).usual
    return Assumed(
        Reading(usual, low, high, ""),
        practice("grease of small drives in the cold: 1.5 times at 0 degC, 2 to 3 times at -20 degC"),
    )


def _rated_current(about: About) -> Assumed:
    """From the one other current that a listing may give."""
    given = about.outer.given if about.outer else {}
    stalled = (given.get("stall") or {}).get("current")
    free = (given.get("no_load") or {}).get("current")
    if isinstance(stalled, Reading):
        low, high, what = stalled.low / 4.0, stalled.high / 2.0, "stall draws 2 to 4 times the rated current"
    elif isinstance(free, Reading):
        low, high, what = (
            free.low * 2.0,
            free.high * 5.0,
            "free running draws 0.2 to 0.5 of the rated current",
        )
    else:
        raise KeyError(("drive", "stall", "current"))
    return Assumed(Reading((low + high) / 2, low, high, ""), practice(what))


def _trip(about: About) -> Assumed:
    drawn = about.reading_at("drive", "rating", "current").nominal
    low, high = 1.2 * drawn, 1.6 * drawn
    return Assumed(
        Reading((low + high) / 2, low, high, ""), practice("trip at 1.2 to 1.6 times the rated current")
    )


def _last_share(about: About) -> Assumed:
    least = about.reading("normal").low
    return Assumed(
        Reading(least, least, least, ""),
        practice("no slow last stretch unless one is described"),
        Origin.DERIVED,
    )


def _high_side(about: About) -> Assumed | None:
    inside = about.outer.here["inside"] if about.outer else None
    if not isinstance(inside, hut.Inside):
        raise KeyError(inside)
    high = hut.Side.FRONT if inside.front >= inside.back else hut.Side.BACK
    return Assumed(high, practice("the higher of the two walls"), Origin.DERIVED)


_CIRCUIT: dict[type, dict[str, Rule]] = {
    circuit.Electronics: {"warmest": _warmest},
    supplies.Charger: {"time_a_day": usual("24 h", units.TIME, "a charger on the mains is always on")},
    supplies.Supply: {
        "voltage": lambda about: spread(_supply(about).voltage, _supply(about).source),
        "resistance": lambda about: spread(_supply(about).resistance, _supply(about).source),
        "usable": lambda about: spread(_supply(about).usable_share, _supply(about).source),
        "cold_loss": lambda about: spread(_supply(about).cold_coefficient, _supply(about).source),
        "self_discharge_a_month": _self_discharge,
    },
    cables.Cable: {
        "colours": plain(["red", "black"], "plus red, minus black"),
        "route": _route,
        "arrester": plain(False, "no surge arrester unless one is described"),
        "resistance_per_length": lambda about: exact(
            CORES[about.here["core"]].resistance_per_length, CORES[about.here["core"]].source
        ),
        "capacity": lambda about: exact(
            CORES[about.here["core"]].capacity, CORES[about.here["core"]].capacity_source
        ),
    },
    circuit.Regulator: {
        "output": lambda about: spread(_regulator(about).output, _regulator(about).own_current_source),
        "dropout": lambda about: spread(_regulator(about).dropout, _regulator(about).spread_source),
        "quiescent": lambda about: spread(_regulator(about).quiescent, _regulator(about).own_current_source),
        "efficiency": lambda about: spread(_regulator(about).efficiency, _regulator(about).source),
        "cooling": lambda about: exact(_regulator(about).junction_ambient, _regulator(about).source),
        "junction_limit": lambda about: exact(_regulator(about).junction_limit, _regulator(about).source),
        "highest_input": lambda about: exact(_regulator(about).highest_input, _regulator(about).source),
        "current_limit": lambda about: exact(_regulator(about).current_limit, _regulator(about).source),
        "input_capacitor": lambda about: _fitted(_regulator(about).input_capacitor, _regulator(about).source),
        "output_capacitor": lambda about: _fitted(
            _regulator(about).output_capacitor, _regulator(about).source
        ),
        "diode": plain(False, "no blocking diode unless one is described"),
        "diode_drop": usual("0.4..1.0 V", units.VOLTAGE, "a metal-semiconductor or a silicon diode"),
        "reservoir": nothing(units.CAPACITANCE, "no reservoir unless one is described"),
    },
    circuit.Bridge: {
        "paralleled": plain(1, "one channel drives the motor unless more are described"),
        "cooling": lambda about: exact(_bridge(about).junction_ambient, _bridge(about).limits_source),
        "offset": lambda about: spread(_bridge(about).offset, _bridge(about).source),
        "resistance": _bridge_resistance,
        "current_limit": lambda about: exact(
            _bridge(about).current_limit(about.here["paralleled"]), _bridge(about).limits_source
        ),
        "peak_limit": lambda about: exact(
            _bridge(about).repetitive_limit(about.here["paralleled"]), _bridge(about).limits_source
        ),
        "junction_limit": lambda about: exact(_bridge(about).junction_limit, _bridge(about).limits_source),
        "lowest_supply": lambda about: exact(_bridge(about).lowest_supply, _bridge(about).limits_source),
        "quiescent": lambda about: spread(
            _bridge(about).quiescent, practice("own current of a bridge module")
        ),
    },
    circuit.Logic: {
        "load": usual("30..120 mA", units.CURRENT, "a small board with a sensor and a display"),
        "asleep": _asleep,
    },
    circuit.CurrentSensor: {
        "place": plain(circuit.SensorPlace.MOTOR_LEAD, "the sensor sits in a motor lead"),
        "range": lambda about: exact(_sensor(about).range, _sensor(about).source),
        "sensitivity": lambda about: spread(_sensor(about).sensitivity, _sensor(about).spread_source),
        "noise": lambda about: exact(_sensor(about).noise, _sensor(about).noise_source),
    },
    circuit.PresentSensor: {
        "kind": plain(circuit.PresentKind.PULSE_ECHO, "a pulse-echo sensor"),
        "current": usual("10..20 mA", units.CURRENT, "a small pulse-echo sensor or beam"),
        "always_on": plain(True, "a present sensor is always on"),
    },
    circuit.Board: {
        "brown_out": plain("4.3 V", "the strictest of the board's levels"),
        "resets_below": _resets_below,
        "reference": lambda about: exact(
            BOARDS[about.here["kind"]].supply, BOARDS[about.here["kind"]].converter_source
        ),
    },
    circuit.Display: {"bus": plain(circuit.DisplayBus.TWO_WIRE, "a display on the two-wire bus")},
}

_DRIVE: dict[type, dict[str, Rule]] = {
    drive.Rating: {
        "voltage": usual("12 V", units.VOLTAGE, "small drives are made for 12 V"),
        "current": _rated_current,
        "duty": share(0.10, 0.25, "small rod drives are made for 10 to 25 % duty"),
    },
    drive.NoLoad: {
        "speed": times(1.1, 1.5, "rating", "speed", "free running 1.1 to 1.5 times as quick as at full load"),
        "current": times(0.2, 0.5, "rating", "current", "free running draws 0.2 to 0.5 of the rated current"),
    },
    drive.Stall: {
        "current": times(2.0, 4.0, "rating", "current", "stall draws 2 to 4 times the rated current"),
        "force": times(1.5, 3.0, "rating", "force", "stall presses 1.5 to 3 times the rated force"),
        "endurance": usual("3..20 s", units.TIME, "a small winding stands a stall for seconds"),
    },
    drive.Screw: {
        "lead": usual("2..6 mm", units.LENGTH, "lead of small rod drives"),
        "self_locking": plain(True, "a trapezoidal screw holds by itself"),
        "efficiency": share(0.20, 0.50, "a trapezoidal screw passes on 20 to 50 %"),
    },
    drive.Motor: {
        "inductance": usual("0.5..3 mH", units.INDUCTANCE, "small 12 V motors"),
        "time_constant": usual("20..80 ms", units.TIME, "small 12 V motors with their gears"),
    },
    drive.Drive: {
        "body": usual("35..75 mm", units.LENGTH, "thickness of small rod drives"),
        "holding": lambda about: times(1.0, 2.0, "rating", "force", "holds one to two times its rated force")(
            about.inside(about.path)
        ),
        "cold_friction": _cold_friction,
        "end_switches": plain(drive.EndSwitches.INSIDE, "small rod drives carry end switches inside"),
    },
}

_DOOR: dict[type, dict[str, Rule]] = {
    door.Leaf: {
        "mass": _leaf_mass,
        "fittings": usual("0.3..1.5 kg", units.MASS, "hinges, handle, strip and screws"),
    },
    door.Hinge: {
        "y": usual("-10..10 mm", units.LENGTH, "hinges near the outer face"),
        "friction": usual("0.2..1.5 N m", units.TORQUE, "a pair of outdoor hinges"),
    },
    door.Track: {
        "way": plain(door.SlideWay.LEFT, "opens to the left"),
        "friction": share(0.03, 0.15, "rollers in a dirty track"),
        "tilt": nothing(units.ANGLE, "a track that does not lean"),
    },
    door.Seal: {
        "force": usual("0..60 N", units.FORCE, "from no seal to a stiff rubber strip"),
        "over": usual("6..18 mm", units.LENGTH, "depth of a rubber strip"),
    },
    door.Gaps: {
        "hinge_side": usual("3..8 mm", units.LENGTH, "gaps of a wooden leaf"),
        "sides": usual("3..8 mm", units.LENGTH, "gaps of a wooden leaf"),
    },
    door.Edge: {"kind": plain(door.EdgeKind.HARD, "a bare wooden edge")},
    door.Release: {
        "kind": plain(door.ReleaseKind.NONE, "no manual release unless one is described"),
        "force": usual("20..80 N", units.FORCE, "pull of a pin under load"),
    },
    door.Door: {
        "counterweight": nothing(units.MASS, "no counterweight unless one is described"),
        "ice": usual("0..120 N", units.FORCE, "a frozen edge"),
    },
    door.Linkage: {
        "kind": plain(door.LinkageKind.ROD, "a rod between two pins"),
        "mount_stiffness": usual("100..500 N/mm", units.STIFFNESS, "brackets on timber"),
    },
    controller.Detection: {
        "trip": _trip,
        "after": usual("20..60 ms", units.TIME, "a few readings in a row"),
        "filter": usual("10..30 ms", units.TIME, "a first-order filter"),
        "blind_after_start": usual("0.3..0.5 s", units.TIME, "until the start current has gone"),
    },
    controller.SpeedShares: {
        "normal": share(1.0, 1.0, "full speed"),
        "last": _last_share,
        "last_over": nothing(units.LENGTH, "no slow last stretch unless one is described"),
    },
    controller.LongestRun: {
        "opening": usual("15..40 s", units.TIME, "a run-time cap"),
        "closing": usual("15..40 s", units.TIME, "a run-time cap"),
    },
    controller.Controller: {
        "wait": usual("0..20 s", units.TIME, "between opening and sending the machine out"),
        "cycles_a_day": plain(4, "two trips a day, each with a way out and a way home"),
        "commands": plain([controller.Command.BUTTON], "a plain button"),
        "layers": plain([], "no other protective layer unless one is described"),
        "after_power_return": plain(controller.PowerReturn.STAY, "nothing moves until it is asked"),
    },
}

_HUT: dict[type, dict[str, Rule]] = {
    site.Place: {"elevation": usual("0..600 m", units.LENGTH, "most inhabited ground")},
    site.North: {
        "kind": plain(site.NorthKind.TRUE, "azimuths from true north"),
        "declination": where(
            "kind",
            site.NorthKind.MAGNETIC,
            usual("-15..15 deg", units.ANGLE, "declination of most inhabited ground"),
            nothing(units.ANGLE, "true north needs no correction"),
        ),
    },
    site.Wind: {
        "basic": usual("22..30 m/s", units.SPEED, "basic wind speed of most lowlands"),
        "working": usual(
            "8..14 m/s", units.SPEED, "a fresh to strong breeze in gusts; in more wind a door is left alone"
        ),
        "terrain": plain(site.Terrain.FIELDS, "open fields with hedges and single houses"),
    },
    site.Snow: {
        "ground": usual("0.4..1.5 kPa", units.PRESSURE, "snow load of most lowlands"),
        "exposure": plain(site.Exposure.NORMAL, "neither windswept nor sheltered"),
        "drift": usual("0..0.3 m", units.LENGTH, "snow before a door that is cleared now and then"),
    },
    site.Air: {
        "coldest": usual("-20..-5 degC", units.TEMPERATURE, "coldest night of most lowlands"),
        "warmest": usual("30..40 degC", units.TEMPERATURE, "warmest day of most lowlands"),
    },
    site.Soil: {"frost_depth": usual("0.5..1.0 m", units.LENGTH, "frost depth of most lowlands")},
    site.Site: {
        "skyline": plain([], "nothing stands around unless it is described"),
        "reach": plain(list(site.Reach), "anybody may come near"),
    },
    hut.Roof: {"high": _high_side, "overhang": nothing(units.LENGTH, "no overhang unless one is described")},
    hut.Walls: {"moisture": plain(hut.Moisture.DRY, "walls as built, dry; wet walls are looked at as well")},
    hut.Base: {
        "kind": plain(hut.BaseKind.NONE, "no base unless one is described"),
        "thickness": where(
            "kind",
            hut.BaseKind.SLAB,
            usual("80..150 mm", units.LENGTH, "slabs of small huts"),
            nothing(units.LENGTH, "no slab unless one is described"),
        ),
        "margin": where(
            "kind",
            hut.BaseKind.SLAB,
            usual("0..0.2 m", units.LENGTH, "slabs of small huts"),
            nothing(units.LENGTH, "no slab unless one is described"),
        ),
        "anchors": plain(0, "no anchors unless they are described"),
    },
    hut.Member: {
        "grade": plain("C16", "timber of unknown grade"),
        "along": plain(hut.Along.SLOPE, "rafters run down the slope"),
    },
    hut.Pane: {
        "edges": plain("held, free to slide", "a pane in a frame with room to move"),
        "metallised": plain(False, "no metal film unless one is described"),
    },
    hut.Opening: {"screen": share(1.0, 1.0, "nothing covers it unless it is described")},
}

_MACHINE: dict[type, dict[str, Rule]] = {
    machine.Body: {
        "mass": usual("8..16 kg", units.MASS, "small outdoor machines"),
        "charging_heat": usual("15..40 W", units.POWER, "losses while charging"),
    },
    machine.Motion: {
        "speed": usual("0.3..0.6 m/s", units.SPEED, "small outdoor machines"),
        "leaves_unasked": plain(True, "a machine may start by its own timetable"),
    },
    machine.Parked: {"error": usual("20..60 mm", units.LENGTH, "parking on a charging contact")},
    machine.Antenna: {
        "ahead": usual("-0.15..0.15 m", units.LENGTH, "somewhere near the middle"),
        "pattern": plain(machine.AntennaPattern.PATCH, "a flat patch antenna"),
    },
    machine.Receiver: {
        "systems": plain(list(machine.SatelliteSystem), "a receiver of all four systems"),
        "threshold": usual("35..40 dB-Hz", units.CARRIER_TO_NOISE, "from which a satellite counts"),
        "overhead": usual("43..47 dB-Hz", units.CARRIER_TO_NOISE, "a satellite overhead, in the open"),
    },
    machine.StartRule: {
        "satellites": plain(10, "ten satellites"),
        "pdop": plain(3.0, "a dilution of 3"),
        "share_of_day": share(0.95, 0.95, "nearly all day"),
    },
    machine.MachineRadio: {
        "power": usual("13..18 dBm", units.POWER, "a small wireless module"),
        "gain": usual("-3..2 dBi", units.GAIN, "an antenna inside a plastic shell"),
        "up": usual("0.2..0.35 m", units.LENGTH, "height of a low machine"),
    },
    machine.Lane: {"slope": nothing(units.SLOPE, "level unless it is described")},
    machine.Threshold: {"height": usual("0..20 mm", units.LENGTH, "a low step")},
    machine.ComesHome: {
        "waits_for_door": plain(False, "a machine does not know of the door"),
        "stops_at": usual("0.3..1.5 m", units.LENGTH, "where it halts before an obstacle"),
    },
    machine.RoofAntenna: {
        "skyline": plain([], "nothing stands around unless it is described"),
        "link": plain(machine.CorrectionLink.RADIO, "a radio of its own"),
    },
    machine.Corrections: {
        "every": usual("1 s", units.TIME, "usually sent once a second"),
        "delay": usual("0.1..2 s", units.TIME, "a radio, or a detour over the internet"),
        "oldest": usual("10..60 s", units.TIME, "usual settings of receivers"),
    },
    network.Need: {
        "rate": usual("1..4 Mbit/s", units.DATA_RATE, "a video picture"),
        "reliability": share(0.9, 0.9, "nine times out of ten"),
        "area": share(0.95, 0.95, "nearly all the ground"),
    },
    network.RadioNode: {
        "power": usual("20 dBm", units.POWER, "the usual limit in the low band"),
        "gain": usual("2..4 dBi", units.GAIN, "a small rod antenna"),
        "up": usual("1.5..3 m", units.LENGTH, "on a wall or post"),
        "region": plain(network.Region.EU, "rules of the European Union"),
    },
    network.Network: {"bands": plain([network.Band.LOW], "the band that every machine has")},
    box.PrintLayer: {
        "height": usual("0.20 mm", units.LENGTH, "a usual layer"),
        "first": usual("0.25 mm", units.LENGTH, "a usual first layer"),
    },
    project.Project: {"name": plain("hut without a name", "a name is for people")},
}

RULES: Mapping[type, Mapping[str, Rule]] = MappingProxyType(
    {**_HUT, **_DOOR, **_DRIVE, **_CIRCUIT, **_MACHINE}
)

# Tables whose absent values follow from other tables: what each looks at.
READS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "door": frozenset({"build_ups"}),
        "drive": frozenset({"site"}),
        "electronics": frozenset({"site"}),
        "controller": frozenset({"site", "drive"}),
    }
)
