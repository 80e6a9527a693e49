"""The documents that are cited: edition, place, and how sure we are of what stands there."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Standing(Enum):
    """How a value came to us, from the surest to the weakest."""

    READ = "read"
    SECOND_HAND = "second-hand"
    DERIVED = "derived here"
    PRACTICE = "practice"
    RECALLED = "recalled"

    @property
    def firm(self) -> bool:
        """Whether a safety check may rest on it alone."""
        return self in (Standing.READ, Standing.SECOND_HAND, Standing.DERIVED)


@dataclass(frozen=True, slots=True)
class Source:
    """One place in one document.

    Attributes
    ----------
    document : str
        Name and edition of the document.
    place : str
        Clause, table or page in it; "" where the whole of it is meant.
    standing : Standing
        How the value came to us.
    """

    document: str
    place: str
    standing: Standing

    def cite(self) -> str:
        """The source as one line, such as ``IEC 60228:2004, table 3 (second-hand)``."""
        where = f", {self.place}" if self.place else ""
        return f"{self.document}{where} ({self.standing.value})"


_PRACTICE = "common practice of the trade"
_PHYSICS = "elementary physics"
_BRIDGE = "data sheet of a dual full-bridge driver, January 2000"
_REGULATOR_1_A = "data sheet of a three-terminal 1 A positive regulator family"
_REGULATOR_HALF_A = "data sheet of a three-terminal 0.5 A positive regulator family, January 2004"
_CONTROLLER = "data sheet of an 8-bit controller family"
_HALL = "data sheet of a 5 V open-loop Hall current sensor"

# Conductors
IEC_60228_CLASS_2 = Source("IEC 60228:2004", "tables 1 and 2", Standing.SECOND_HAND)
IEC_60228_CLASS_5 = Source("IEC 60228:2004", "table 3", Standing.SECOND_HAND)
IEC_60228_TEMPERATURE = Source("IEC 60228:2004", "temperature correction factors", Standing.SECOND_HAND)
WIRE_GAUGE_TABLE = Source("American wire gauge table of a physics course", "copper, 20 degC", Standing.READ)
WIRE_GAUGE_FORMULA = Source("American wire gauge formula", "ratio 92 over 39 steps", Standing.RECALLED)
IEC_60364_5_52_G = Source("IEC 60364-5-52:2009", "annex G", Standing.SECOND_HAND)
IEC_60364_5_52_G_REACTANCE = Source("IEC 60364-5-52:2009", "annex G, reactance", Standing.RECALLED)
IEC_60364_5_52_B2 = Source("IEC 60364-5-52", "table B.52.2, method B2, PVC, two loaded", Standing.SECOND_HAND)
IEC_60364_5_52_B2_RECALLED = Source("IEC 60364-5-52", "table B.52.2, method B2, 10 mm2", Standing.RECALLED)
IEC_60364_5_52_AMBIENT = Source("IEC 60364-5-52", "factors for air temperature, PVC", Standing.SECOND_HAND)
SANS_10142_A1 = Source("SANS 10142-1", "method A1, 1 mm2", Standing.SECOND_HAND)
CABLE_CAPACITY = Source("DIN VDE 0298-4:2023-06", "table 11, multicore, 30 degC", Standing.SECOND_HAND)
CABLE_CAPACITY_HOUSEHOLD = Source("DIN VDE 0298-4:2023-06", "table 11, household flex", Standing.SECOND_HAND)
ADIABATIC = Source("IEC 60364-4-43", "adiabatic check, as in BS 7671, k = 115", Standing.SECOND_HAND)
ADIABATIC_CONSTANT = Source("IEC 60364-4-43", "formula for k, copper", Standing.RECALLED)
FUSE_CABLE_COORDINATION = Source("IEC 60364-4-43", "I_b, I_n, I_z and 1.45 I_z", Standing.RECALLED)

# Fuses
IEC_60127_2_SHEET_2 = Source("IEC 60127-2", "sheet 2, quick-acting F, glass", Standing.SECOND_HAND)
IEC_60127_2_SHEET_3 = Source("IEC 60127-2", "sheet 3, time-lag T, glass", Standing.SECOND_HAND)
IEC_60127_2_SHEET_5 = Source("IEC 60127-2", "sheet 5, time-lag T, ceramic", Standing.SECOND_HAND)
ISO_8820_3_TYPE_C = Source("ISO 8820-3", "type C, time and current", Standing.SECOND_HAND)
ISO_8820_3_TYPE_C_RECALLED = Source("ISO 8820-3", "type C, 110, 350 and 600 %", Standing.RECALLED)
ISO_8820_3_TYPE_E = Source("ISO 8820-3", "type E, time and current", Standing.SECOND_HAND)
UL_248_14 = Source("UL 248-14", "time and current, 0 to 30 A", Standing.SECOND_HAND)
UL_248_14_BREAKING = Source("UL 248-14", "lowest breaking capacity at 250 V", Standing.RECALLED)
FUSE_SELECTION_GUIDE = Source("fuse maker's selection guide", "pulse endurance, pulse shapes", Standing.READ)
FUSE_CURVE = Source(_PHYSICS, "melting integral never grows with the current", Standing.DERIVED)
FUSE_CONTINUOUS_LOAD = Source("fuse makers' guidance", "continuous load, 75 or 100 %", Standing.RECALLED)
FUSE_RATINGS = Source(_PRACTICE, "ratings on sale", Standing.PRACTICE)

# Bridges and regulators
BRIDGE_DATA_SHEET_DROP = Source(_BRIDGE, "table 'Electrical characteristics'", Standing.READ)
BRIDGE_DATA_SHEET_LIMITS = Source(_BRIDGE, "tables 'Absolute maximum ratings', 'Thermal data'", Standing.READ)
BRIDGE_DATA_SHEET_PARALLEL = Source(_BRIDGE, "note on channels in parallel", Standing.READ)
BRIDGE_LINE = Source(_BRIDGE, "straight line through the 1 A and 2 A points", Standing.DERIVED)
FET_BRIDGE_LOSS = Source("data sheet of a switching controller, design part", "MOSFET losses", Standing.READ)
FET_BRIDGE_PRACTICE = Source(_PRACTICE, "single MOSFET bridge modules", Standing.PRACTICE)
THERMAL_CHAIN = Source("data sheet of a regulator with reset", "p. 7, equations 1 to 3", Standing.READ)
CASE_TO_SINK = Source(_PRACTICE, "case to sink, 0.5 to 2.5 K/W", Standing.PRACTICE)
REGULATOR_DATA_SHEET_1_A = Source(_REGULATOR_1_A, "table 'Electrical characteristics'", Standing.READ)
REGULATOR_DATA_SHEET_HALF_A = Source(_REGULATOR_HALF_A, "table 'Electrical characteristics'", Standing.READ)
REGULATOR_SPREAD = Source(_PRACTICE, "dropout 1.7 to 2.5 V over load and temperature", Standing.PRACTICE)
REGULATOR_OWN_CURRENT = Source(_REGULATOR_1_A, "quiescent current and output tolerance", Standing.RECALLED)
SWITCHING_REGULATOR_PRACTICE = Source(_PRACTICE, "small step-down modules", Standing.PRACTICE)

# Supply, sensing, controller
HOLD_UP = Source("public pages on hold-up capacitors", "constant power or current", Standing.SECOND_HAND)
SUPPLY_PRACTICE = Source(_PRACTICE, "small batteries and power supplies", Standing.PRACTICE)
LEAD_ACID_COLD = Source(_PRACTICE, "lead-acid capacity in the cold, 0.6 to 1 %/K", Standing.PRACTICE)
OHM = Source(_PHYSICS, "Ohm's law along a shared feed", Standing.DERIVED)
MOTOR_EQUATIONS = Source("course text on direct-current drives", "armature and rotor equation", Standing.READ)
CONTROLLER_DATA_SHEET_BROWN_OUT = Source(_CONTROLLER, "table 'Brown-out detection'", Standing.READ)
CONTROLLER_DATA_SHEET_PINS = Source(_CONTROLLER, "pin table of the 28-pin package", Standing.RECALLED)
CONTROLLER_DATA_SHEET_CONVERTER = Source(_CONTROLLER, "10-bit converter", Standing.READ)
CONTROLLER_PRACTICE = Source(_PRACTICE, "consumption of a small 5 V board at 16 MHz", Standing.PRACTICE)
QUANTISATION = Source(_PHYSICS, "uniform error over one step", Standing.DERIVED)
HALL_DATA_SHEET = Source(_HALL, "sensitivity, noise and zero of the 5 A and 20 A types", Standing.READ)
HALL_DATA_SHEET_RECALLED = Source(_HALL, "noise and spread of the 30 A type", Standing.RECALLED)
SHUNT = Source(_PHYSICS, "resistance times gain", Standing.DERIVED)
SHUNT_PRACTICE = Source(_PRACTICE, "noise of a shunt amplifier", Standing.PRACTICE)

# Wind and snow
EN_1991_1_4_PRESSURE = Source("EN 1991-1-4:2005", "4.3 to 4.5, table 4.1", Standing.SECOND_HAND)
EN_1991_1_4_WALLS = Source("EN 1991-1-4:2005", "7.2.2, table 7.1, c_pe,1", Standing.SECOND_HAND)
EN_1991_1_4_INTERNAL = Source("EN 1991-1-4:2005", "7.2.9, +0.2 and -0.3", Standing.RECALLED)
EN_1991_1_4_DOMINANT = Source("EN 1991-1-4:2005", "7.2.9, dominant face", Standing.RECALLED)
EN_1991_1_4_SIGNBOARD = Source("EN 1991-1-4:2005", "7.4.3, signboards", Standing.SECOND_HAND)
OPEN_LEAF = Source(_PRACTICE, "an open leaf reckoned as a signboard", Standing.PRACTICE)
EN_1991_1_3_ROOF = Source("EN 1991-1-3:2003", "5.2 and 5.3, tables 5.1 and 5.2", Standing.SECOND_HAND)
EN_1991_1_3_WEIGHTS = Source("EN 1991-1-3:2003", "annex E", Standing.SECOND_HAND)
SNOW_BEFORE_DOOR = Source(_PRACTICE, "snow pushed by a leaf, 0.3 to 3 times its weight", Standing.PRACTICE)

# Drive and linkage
SCREW_TEXTBOOK = Source("textbook on machine elements, 4th edition", "17-2, power screws", Standing.READ)
SCREW_LOCKING = Source("textbook on statics, open edition", "5.6, square-threaded screws", Standing.READ)
SCREW_PLANE = Source(_PHYSICS, "screw as an inclined plane", Standing.DERIVED)
OVERHAULING = Source(_PHYSICS, "the same friction both ways", Standing.DERIVED)
MOTOR_PARAMETERS = Source("public page on motor parameters", "constants of a data sheet", Standing.READ)
IEC_60028 = Source("IEC 60028", "temperature coefficient of copper", Standing.RECALLED)
FERRITE_MAGNET = Source("course notes on motors", "flux of ferrite, -0.2 %/K", Standing.SECOND_HAND)
COLD_FRICTION = Source(_PRACTICE, "friction of small geared drives in the cold", Standing.PRACTICE)
SLIDER_CRANK = Source(_PHYSICS, "triangle of crank, rod and slide", Standing.DERIVED)
KINETIC_ENERGY = Source(_PHYSICS, "kinetic energy of bodies and rotors", Standing.DERIVED)

# Satellites inside the hut
FIELD_INSIDE = Source(
    "closed-surface integral over the hut's inner skin", "held to full-wave solutions", Standing.DERIVED
)
CORRECTIONS_ON_THEIR_WAY = Source(_PHYSICS, "times on a way add up", Standing.DERIVED)
READINGS_SCATTER = Source(_PRACTICE, "a receiver's count scatters by two satellites", Standing.PRACTICE)

# Guarding the door
EN_16005_LOW_ENERGY = Source("EN 16005", "annex F, low-energy use", Standing.SECOND_HAND)
BHMA_A156_19 = Source("ANSI/BHMA A156.19-1997", "4.1 to 4.6", Standing.SECOND_HAND)
BHMA_A156_19_TIME = Source("ANSI/BHMA A156.19", "formula for the closing time", Standing.RECALLED)
EN_12453_LIMITS = Source("EN 12453:2017+A1:2021", "annex A, force over time", Standing.SECOND_HAND)
EN_12453_VERTICAL = Source("EN 12453:2017+A1:2021", "annex A, leaf moving up and down", Standing.RECALLED)
EN_12453_TEST = Source("EN 12453:2017+A1:2021", "annex C, instrument and points", Standing.SECOND_HAND)
CONTACT_STUDY = Source("study of a simulated door, two bodies, 180 cases", "closed form", Standing.DERIVED)
# The bench is held to two other integrations of its equations in tests/native/sim; not to any hardware.
CONTACT_BENCH = Source(
    "simulation of the door with the controller's own code",
    "peak within 1 % of other integrators; no hardware measured",
    Standing.DERIVED,
)
CONTACT_SPRINGS = Source(_PHYSICS, "springs in series, impact on a spring", Standing.DERIVED)
ISO_TS_15066_LIMITS = Source("ISO/TS 15066:2016", "annex A, tables A.2 and A.3", Standing.SECOND_HAND)
ISO_TS_15066_SPEED = Source("ISO/TS 15066:2016", "annex A, permissible speed", Standing.SECOND_HAND)
ISO_13854_GAPS = Source("ISO 13854:2017", "least gaps", Standing.SECOND_HAND)
ISO_13857_OPENINGS = Source("ISO 13857", "reach through openings, 14 years and over", Standing.SECOND_HAND)
US_WINDOW_OBSTACLES = Source("49 CFR 571.118", "S5, obstacles of 4 to 200 mm", Standing.READ)
BODY_PART_ENTRY = Source(_PRACTICE, "least gap that a body part gets into", Standing.PRACTICE)
