"""Quantities as text: what reads, what is refused and with which advice, and the way back to text."""

from __future__ import annotations

import copy
import math
import pickle
import re
import warnings
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright import units
from hutwright.errors import QuantityError
from hutwright.units import Dimension, Scale
from tests.patience import patience

DIMENSION = st.sampled_from(sorted(units.DIMENSIONS.values(), key=lambda dimension: dimension.name))
EVERY_UNIT = [
    (dimension, spelling) for dimension in units.DIMENSIONS.values() for spelling in dimension.units
]
LINEAR_UNITS = [
    (dimension, spelling)
    for dimension, spelling in EVERY_UNIT
    if dimension.units[spelling].scale is Scale.LINEAR
]
FINITE = st.floats(allow_nan=False, allow_infinity=False)
ABOVE_ZERO = st.floats(min_value=5e-324, allow_infinity=False)


def name_of(value):
    return value.name.replace(" ", "_") if isinstance(value, Dimension) else None


# ---- what reads ----------------------------------------------------------------------------------------

READ = [
    ("0.80 m", units.LENGTH, 0.8, 0.8),
    ("0.80m", units.LENGTH, 0.8, 0.8),
    ("  0.80   m  ", units.LENGTH, 0.8, 0.8),
    ("+5 mm", units.LENGTH, 0.005, 0.005),
    ("-8 mm", units.LENGTH, -0.008, -0.008),
    ("1e-3 m", units.LENGTH, 0.001, 0.001),
    ("1E+3 mm", units.LENGTH, 1.0, 1.0),
    ("0.1 mm", units.LENGTH, 0.0001, 0.0001),
    ("10 ft", units.LENGTH, 3.048, 3.048),
    ("2.5 mm2", units.AREA, 2.5e-6, 2.5e-6),
    ("2.5 mm²", units.AREA, 2.5e-6, 2.5e-6),
    ("2.5 mm^2", units.AREA, 2.5e-6, 2.5e-6),
    ("1.5 L", units.VOLUME, 0.0015, 0.0015),
    ("16 s", units.TIME, 16.0, 16.0),
    ("30 mm/s", units.SPEED, 0.03, 0.03),
    ("30 mm / s", units.SPEED, 0.03, 0.03),
    ("3.6 km/h", units.SPEED, 1.0, 1.0),
    ("40 N +- 10 N", units.FORCE, 30.0, 50.0),
    ("40N+-10N", units.FORCE, 30.0, 50.0),
    ("40 N ± 10 N", units.FORCE, 30.0, 50.0),
    ("40 N +/- 10 N", units.FORCE, 30.0, 50.0),
    ("40 N +- 25 %", units.FORCE, 30.0, 50.0),
    ("-40 N +- 25 %", units.FORCE, -50.0, -30.0),
    ("40 N +- 0 N", units.FORCE, 40.0, 40.0),
    ("1 m +- 5 mm", units.LENGTH, 0.995, 1.005),
    ("35..45 N", units.FORCE, 35.0, 45.0),
    ("35...45 N", units.FORCE, 35.0, 45.0),
    ("35…45 N", units.FORCE, 35.0, 45.0),
    ("35 N..45 N", units.FORCE, 35.0, 45.0),
    ("35 N .. 0.045 kN", units.FORCE, 35.0, 45.0),
    ("-5..5 mm", units.LENGTH, -0.005, 0.005),
    ("11.8..13.6 V", units.VOLTAGE, 11.8, 13.6),
    ("0.4 N m", units.TORQUE, 0.4, 0.4),
    ("0.4 N·m", units.TORQUE, 0.4, 0.4),
    ("0.4 N * m", units.TORQUE, 0.4, 0.4),
    ("0.4 Nm", units.TORQUE, 0.4, 0.4),
    ("250 N/mm +- 40 %", units.STIFFNESS, 150e3, 350e3),
    ("80 mohm", units.RESISTANCE, 0.08, 0.08),
    ("80 mΩ", units.RESISTANCE, 0.08, 0.08),
    ("80 Ohm", units.RESISTANCE, 80.0, 80.0),
    ("4.7 kohm", units.RESISTANCE, 4700.0, 4700.0),
    ("0.33 µF", units.CAPACITANCE, 0.33e-6, 0.33e-6),
    ("0.33 \u03bcF", units.CAPACITANCE, 0.33e-6, 0.33e-6),
    ("18 Ah", units.CHARGE, 64800.0, 64800.0),
    ("18 A s", units.CHARGE, 18.0, 18.0),
    ("20 mN m/A", units.MOTOR_CONSTANT, 0.02, 0.02),
    ("0.02 V s/rad", units.MOTOR_CONSTANT, 0.02, 0.02),
    ("50 A²·s", units.MELTING_INTEGRAL, 50.0, 50.0),
    ("0.39 %/K", units.TEMPERATURE_COEFFICIENT, 0.0039, 0.0039),
    ("0.4 %/K +- 25 %", units.TEMPERATURE_COEFFICIENT, 0.003, 0.005),
    ("-18 degC", units.TEMPERATURE, 255.15, 255.15),
    ("-18 °C", units.TEMPERATURE, 255.15, 255.15),
    ("\u221218\u00a0°C", units.TEMPERATURE, 255.15, 255.15),
    ("-18\u2103", units.TEMPERATURE, 255.15, 255.15),
    ("68 degF", units.TEMPERATURE, 293.15, 293.15),
    ("-18 degC +- 3 K", units.TEMPERATURE, 252.15, 258.15),
    ("-18 degC +- 3 degC", units.TEMPERATURE, 252.15, 258.15),
    ("-18..36 degC", units.TEMPERATURE, 255.15, 309.15),
    ("3 degC", units.TEMPERATURE_DIFFERENCE, 3.0, 3.0),
    ("180 deg", units.ANGLE, math.pi, math.pi),
    ("180°", units.ANGLE, math.pi, math.pi),
    ("2 %", units.SLOPE, 0.02, 0.02),
    ("90 %", units.RATIO, 0.9, 0.9),
    ("85..95 %", units.RATIO, 0.85, 0.95),
    ("30 dBm", units.POWER, 1.0, 1.0),
    ("0 dBi", units.GAIN, 1.0, 1.0),
    ("10 dB +- 10 dB", units.GAIN, 1.0, 100.0),
    ("20 dBm +- 10 dB", units.POWER, 0.01, 1.0),
    ("20 dBm +- 10 dBm", units.POWER, 0.01, 1.0),
    ("40 dB-Hz", units.CARRIER_TO_NOISE, 1e4, 1e4),
    ("30..40 dB-Hz", units.CARRIER_TO_NOISE, 1e3, 1e4),
    ("3 Mbit/s", units.DATA_RATE, 3e6, 3e6),
    ("2.4 GHz", units.FREQUENCY, 2.4e9, 2.4e9),
]


@pytest.mark.parametrize(("text", "dimension", "low", "high"), READ, ids=name_of)
def test_reads_what_builders_write_to_the_last_digit(text, dimension, low, high):
    reading = units.read(text, dimension)
    assert (reading.low, reading.high) == (low, high)
    assert reading.text == text
    assert reading.exact == (low == high)
    assert low <= reading.nominal <= high


def test_takes_the_middle_of_a_range_as_its_nominal_value():
    assert units.read("35..45 N", units.FORCE).nominal == 40.0
    assert units.read("10..30 dBm", units.POWER).nominal == pytest.approx(0.1, rel=1e-15)  # 20 dBm


def test_takes_the_tangent_of_a_slope_in_degrees():
    reading = units.read("45 deg +- 15 deg", units.SLOPE)
    assert reading.low == pytest.approx(1.0 / math.sqrt(3.0), rel=1e-15)
    assert reading.nominal == pytest.approx(1.0, rel=1e-15)
    assert reading.high == pytest.approx(math.sqrt(3.0), rel=1e-15)


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=name_of)
def test_reads_the_example_that_it_gives_for_every_dimension(dimension):
    reading = units.read(dimension.example, dimension)
    assert reading.exact
    assert math.isfinite(reading.nominal)
    assert dimension.usual in dimension.units


@pytest.mark.parametrize(("dimension", "spelling"), EVERY_UNIT, ids=name_of)
def test_reads_every_spelling_and_its_typeset_twin_alike(dimension, spelling):
    twin = spelling.replace("ohm", "Ω").replace("deg", "°").replace(" ", "·").replace("-", "\u2011")
    twin = re.sub(r"(?<=[a-zA-Z])2", "²", re.sub(r"(?<=[a-zA-Z])3", "³", twin))
    twin = "µ" + twin[1:] if twin.startswith("u") else twin
    plain, typeset = (units.read(f"1.25 {text}", dimension) for text in (spelling, twin))
    assert plain.nominal == typeset.nominal


# ---- what is refused -----------------------------------------------------------------------------------

REFUSED = [
    ("12", units.VOLTAGE, "no unit: write '12 V'"),
    ("-5", units.TEMPERATURE, "no unit: write '-5 degC'"),
    ("35..45", units.FORCE, "no unit: write '35..45 N'"),
    ("35 N..45", units.FORCE, "no unit: write '35..45 N'"),
    ("40 +- 10 N", units.FORCE, "no unit: write '40 N +- 10 N'"),
    ("40 N +- 10", units.FORCE, "no unit: write '40 N +- 10 N' or '40 N +- 10 %'"),
    ("", units.FORCE, "nothing to read"),
    ("   ", units.FORCE, "nothing to read"),
    ("V", units.VOLTAGE, "no number"),
    ("fast", units.SPEED, "no number: write it like '30 mm/s'"),
    ("..45 N", units.FORCE, "no number before '..45 N'"),
    ("35 N..", units.FORCE, "no number after '35 N..'"),
    ("+- 3 N", units.FORCE, "no number before"),
    ("6 V", units.LENGTH, "'V' is a unit of voltage: write one of m, mm,"),
    ("6 volts", units.LENGTH, "'volts' is a unit of voltage"),
    ("2 %", units.LENGTH, "'%' is a unit of slope or share"),
    ("35 N..45 V", units.FORCE, "'V' is a unit of voltage"),
    ("35 V..45 N", units.FORCE, "'V' is a unit of voltage"),
    ("5 N +- 1 V", units.FORCE, "'V' is a unit of voltage"),
    ("-18 degC +- 3 V", units.TEMPERATURE, "'V' is a unit of voltage: write one of K, degC"),
    ("0.8 meter", units.LENGTH, "write '0.8 m'"),
    ("0.8 Metres", units.LENGTH, "write '0.8 m'"),
    ("12 volts", units.VOLTAGE, "write '12 V'"),
    ("20 C", units.TEMPERATURE, "write '20 degC'"),
    ("20 celsius", units.TEMPERATURE, "write '20 degC'"),
    ("3 Mbps", units.DATA_RATE, "write '3 Mbit/s'"),
    ("12 VDC", units.VOLTAGE, "write '12 V'"),
    ("5 Mm", units.LENGTH, "small and capital letters differ: write '5 mm'"),
    ("5 mv", units.VOLTAGE, "small and capital letters differ: write '5 mV'"),
    ("5 MV", units.VOLTAGE, "small and capital letters differ: write '5 mV'"),
    ("5 mOhms", units.RESISTANCE, "write '5 mohm'"),
    ("5 quux", units.LENGTH, "'quux' is not a unit of length: write one of m, mm, cm"),
    ("1,5 mm", units.LENGTH, "the decimal sign is a point: write '1.5 mm'"),
    ("40 N +- 2,5 N", units.FORCE, "write '40 N +- 2.5 N'"),
    ("1,000 mm", units.LENGTH, "write '1.000 mm' or '1000 mm'"),
    ("1,000.5 mm", units.LENGTH, "write '1000.5 mm'"),
    ("1.000,5 mm", units.LENGTH, "a comma is not read"),
    ("1 000 mm", units.LENGTH, "side by side: write '1000 mm'"),
    ("1\u202f000 mm", units.LENGTH, "side by side: write '1000 mm'"),
    ("1 00 mm", units.LENGTH, "side by side: write it like"),
    ("1'000 mm", units.LENGTH, "not grouped here: write '1000 mm'"),
    ("1\u2019000 mm", units.LENGTH, "not grouped here: write '1000 mm'"),
    ("1_000 mm", units.LENGTH, "not grouped here: write '1000 mm'"),
    ("1.2.3 m", units.LENGTH, "two decimal points"),
    (".5 m", units.LENGTH, "write '0.5 m'"),
    ("5. m", units.LENGTH, "write '5 m'"),
    ("- 5 m", units.LENGTH, "write '-5 m'"),
    ("--5 m", units.LENGTH, "no number"),
    ("1/2 in", units.LENGTH, "a fraction is not read"),
    ("1 1/2 in", units.LENGTH, "side by side"),
    ("1·5 m", units.LENGTH, "'·' has no place"),
    ("0x10 m", units.LENGTH, "ordinary decimal numbers"),
    ("0b11 m", units.LENGTH, "ordinary decimal numbers"),
    ("nan V", units.VOLTAGE, "finite"),
    ("NaN", units.VOLTAGE, "finite"),
    ("inf V", units.VOLTAGE, "finite"),
    ("-Infinity V", units.VOLTAGE, "finite"),
    ("0..inf V", units.VOLTAGE, "finite"),
    ("∞ V", units.VOLTAGE, "'∞' has no place"),
    ("1e999 m", units.LENGTH, "too large"),
    ("-1e999 m", units.LENGTH, "too large"),
    ("1e308 km", units.LENGTH, "too large"),
    ("1e99999999 m", units.LENGTH, "exponent"),
    ("1e-99999999 m", units.LENGTH, "exponent"),
    ("1e-999 m", units.LENGTH, "too small"),
    ("99999 dB", units.GAIN, "too large"),
    ("-99999 dB", units.GAIN, "too small"),
    ("40 N +- -10 N", units.FORCE, "never negative: write '40 N +- 10 N'"),
    ("45..35 N", units.FORCE, "backwards: write '35..45 N'"),
    ("45 N..35 N", units.FORCE, "backwards: write '35 N..45 N'"),
    ("-5..-10 degC", units.TEMPERATURE, "backwards: write '-10..-5 degC'"),
    ("35-45 N", units.FORCE, "write '35..45 N'"),
    ("35–45 N", units.FORCE, "write '35..45 N'"),
    ("35 to 45 N", units.FORCE, "write '35..45 N'"),
    ("1..2..3 N", units.FORCE, "more than one"),
    ("5 N +- 1 N +- 1 N", units.FORCE, "more than one"),
    ("35..45 N +- 5 N", units.FORCE, "more than one"),
    ("40 N +- 10 % N", units.FORCE, "either in % or in a unit: write '40 N +- 10 %'"),
    ("40 N +- 10 N 5 %", units.FORCE, "either in % or in a unit"),
    ("12V DC", units.VOLTAGE, "not 'DC' after them: write '12 V'"),
    ("12 V A", units.VOLTAGE, "not 'A' after them: write '12 V'"),
    ("1 m 20 cm", units.LENGTH, "not '20 cm' after them"),
    ("1 m and more", units.LENGTH, "not 'and more' after them"),
    ("１２ V", units.VOLTAGE, "digits other than 0 to 9: write '12 V'"),
    ("١٢ V", units.VOLTAGE, "digits other than 0 to 9: write '12 V'"),
    ("12² V", units.VOLTAGE, "'²' has no place"),
    ("5 €", units.LENGTH, "'€' has no place"),
    ("5\u200b m", units.LENGTH, "has no place"),
    ("5\n m", units.LENGTH, "has no place"),
    ("5 m\x00", units.LENGTH, "has no place"),
    ("(5) m", units.LENGTH, "'(' has no place"),
    ("__import__('os')", units.LENGTH, "has no place"),
    ("2*3 m", units.LENGTH, "'*' has no place"),
    ("1e3*m", units.LENGTH, "'*' has no place"),
    ("-18 degC +- 10 %", units.TEMPERATURE, "share of a temperature says nothing: write the tolerance in K"),
    ("15 dBm +- 10 %", units.POWER, "share of decibels says nothing: write the tolerance in dB"),
    ("15 dBm +- 2 mW", units.POWER, "write '15 dBm +- 2 dB'"),
    ("35 W +- 2 dB", units.POWER, "'dB' is a unit of gain"),
    ("10 mW..20 dBm", units.POWER, "different scales: write both ends in the same unit"),
    ("90 % +- 5 %", units.RATIO, "read in two ways: write both ends"),
    ("2 % +- 1 deg", units.SLOPE, "different scales"),
    ("2 %..3 deg", units.SLOPE, "different scales"),
    ("90 deg", units.SLOPE, "below 90 deg"),
    ("9" * 79 + " m", units.LENGTH, "81 characters: write at most 80"),
]


@pytest.mark.parametrize(("text", "dimension", "advice"), REFUSED, ids=name_of)
def test_refuses_with_a_sentence_that_says_what_to_write(text, dimension, advice):
    with pytest.raises(QuantityError) as refused:
        units.read(text, dimension)
    assert refused.value.read == text
    assert refused.value.wanted == dimension.wanted
    assert advice in refused.value.remedy


@pytest.mark.parametrize(("text", "dimension", "advice"), REFUSED, ids=name_of)
def test_offers_only_texts_that_read(text, dimension, advice):
    with pytest.raises(QuantityError) as refused:
        units.read(text, dimension)
    _, found, offered = refused.value.remedy.partition(": write ")
    if found and offered.startswith("'"):
        for offer in offered.strip("'").split("' or '"):
            assert units.read(offer, dimension).low <= units.read(offer, dimension).high


def test_says_what_stood_there_what_is_wanted_and_what_to_do_in_one_sentence():
    with pytest.raises(
        QuantityError, match=r"^read '6 V'; wanted a length such as '0\.80 m'; 'V' is a unit of"
    ):
        units.read("6 V", units.LENGTH)
    with pytest.raises(QuantityError, match="wanted an angle such as '82 deg'"):
        units.read("", units.ANGLE)


@given(st.text(max_size=90), DIMENSION)
def test_raises_nothing_but_its_own_error_whatever_the_text(text, dimension):
    try:
        reading = units.read(text, dimension)
    except QuantityError:
        return
    assert reading.low <= reading.nominal <= reading.high


NEARLY = st.lists(
    st.sampled_from(
        [
            *"0123456789",
            *"eE+-.,_ '/%*²³·°",
            "..",
            "+-",
            "±",
            "nan",
            "m",
            "mm2",
            "degC",
            "dB",
            "N m",
            "V",
            "Ω",
        ]
    ),
    max_size=14,
).map("".join)


@given(NEARLY, DIMENSION)
def test_raises_nothing_but_its_own_error_for_texts_that_are_nearly_right(text, dimension):
    try:
        reading = units.read(text, dimension)
    except QuantityError:
        return
    assert all(map(math.isfinite, (reading.low, reading.nominal, reading.high)))
    assert reading.low <= reading.nominal <= reading.high


@pytest.mark.parametrize("piece", ["9", " ", "+-", "..", "1e", "m ", "²", "-", "1,", "N·", "1'", "ß"])
def test_answers_hostile_texts_at_once(piece):
    with patience(100):
        for text in (piece * 80, piece * 1_000_000, (piece * 80)[:80]):
            with pytest.raises(QuantityError):
                units.read(text, units.LENGTH)


# ---- signs, ranges ---------------------------------------------------------------------------------------


@given(
    st.decimals(-999, 999, places=3), st.sampled_from("\u2212\u2010\u2011\u2012\u2013\u2014"), st.booleans()
)
def test_reads_every_minus_sign_and_space_alike(number, minus, narrow):
    plain = f"{number} mm"
    typeset = plain.replace("-", minus).replace(" ", "\u202f" if narrow else "\u00a0")
    assert units.read(typeset, units.LENGTH).nominal == units.read(plain, units.LENGTH).nominal


@given(FINITE, FINITE)
def test_keeps_the_nominal_value_between_the_ends_of_a_range(one, other):
    low, high = sorted((one, other))
    reading = units.read(f"{low!r}..{high!r} N", units.FORCE)
    assert (reading.low, reading.high) == (low, high)
    assert low <= reading.nominal <= high


@given(st.decimals(-60, 60, places=2), st.decimals(0, 60, places=2))
def test_reads_a_tolerance_in_decibels_as_the_range_that_it_means(level, spread):
    bounded = units.read(f"{level} dBm +- {spread} dB", units.POWER)
    ranged = units.read(f"{level - spread}..{level + spread} dBm", units.POWER)
    assert (bounded.low, bounded.nominal, bounded.high) == (ranged.low, ranged.nominal, ranged.high)


# ---- back to text ----------------------------------------------------------------------------------------


@given(FINITE, DIMENSION)
def test_gives_back_the_very_same_float_from_what_it_wrote(value, dimension):
    if dimension.units[dimension.base].scale is Scale.DECIBEL:
        assume(value > 0.0)
    reading = units.read(units.write(value, dimension), dimension)
    assert reading.exact
    assert reading.nominal == value


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=name_of)
@pytest.mark.parametrize("value", [5e-324, 2.2250738585072014e-308, 0.1 + 0.2, 1e22, 1.7976931348623157e308])
def test_gives_back_the_smallest_and_the_largest_float_too(value, dimension):
    assert units.read(units.write(value, dimension), dimension).nominal == value


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (0.8, units.LENGTH, "0.8 m"),
        (-0.0, units.LENGTH, "0 m"),
        (2.5e-6, units.AREA, "2.5e-6 m2"),
        (12.0, units.VOLTAGE, "12 V"),
        (0.9, units.RATIO, "90 %"),
        (100.0, units.GAIN, "20 dB"),
        (255.15, units.TEMPERATURE, "255.15 K"),
    ],
    ids=name_of,
)
def test_writes_no_more_digits_than_the_float_has(value, dimension, text):
    assert units.write(value, dimension) == text


@pytest.mark.parametrize(
    ("value", "dimension", "unit", "text"),
    [
        (1.5e-6, units.AREA, "mm2", "1.5 mm2"),
        (0.1 + 0.2, units.LENGTH, "m", "0.3 m"),
        (255.15, units.TEMPERATURE, "degC", "-18 degC"),
        (math.radians(82.0), units.ANGLE, "deg", "82 deg"),
        (math.tan(math.radians(5.0)), units.SLOPE, "deg", "5 deg"),
        (0.1, units.POWER, "dBm", "20 dBm"),
        (64800.0, units.CHARGE, "Ah", "18 Ah"),
    ],
    ids=name_of,
)
def test_writes_a_rounded_text_in_the_unit_of_the_file(value, dimension, unit, text):
    assert units.write_as(value, dimension, unit) == text


@given(st.floats(1e-12, 1e12), st.sampled_from(LINEAR_UNITS))
def test_reads_what_it_wrote_rounded_within_the_rounding(value, place):
    dimension, spelling = place
    assume(dimension is not units.TEMPERATURE)  # an offset moves the digits that count
    reading = units.read(units.write_as(value, dimension, spelling), dimension)
    assert reading.nominal == pytest.approx(value, rel=5.01e-6)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_writes_no_value_that_is_not_finite(value):
    with pytest.raises(ValueError, match="only a finite value"):
        units.write(value, units.LENGTH)
    with pytest.raises(ValueError, match="only a finite value"):
        units.write_as(value, units.LENGTH, "mm")


@pytest.mark.parametrize("value", [0.0, -1.0])
def test_writes_no_decibels_of_what_is_not_above_zero(value):
    with pytest.raises(ValueError, match="above zero"):
        units.write(value, units.GAIN)


def test_names_the_known_units_when_asked_for_one_that_is_not():
    with pytest.raises(ValueError, match=r"'V' is not a unit of length; known are m, mm"):
        units.write_as(1.0, units.LENGTH, "V")
    with pytest.raises(ValueError, match="'V' is not a unit of length"):
        units.show(1.0, units.LENGTH, "V")


# ---- for people ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (0.0012, units.LENGTH, "1.2 mm"),
        (0.9999, units.LENGTH, "1 m"),
        (6.0, units.LENGTH, "6 m"),
        (-0.008, units.LENGTH, "-8 mm"),
        (0.0, units.LENGTH, "0 m"),
        (2.5e-6, units.AREA, "2.5 mm²"),
        (255.15, units.TEMPERATURE, "-18 °C"),
        (math.nextafter(273.15, 300.0), units.TEMPERATURE, "0 °C"),
        (math.radians(82.0), units.ANGLE, "82°"),
        (35.0, units.POWER, "35 W"),
        (0.08, units.RESISTANCE, "80 mΩ"),
        (0.33e-6, units.CAPACITANCE, "0.33 µF"),
        (64800.0, units.CHARGE, "18 Ah"),
        (250e3, units.STIFFNESS, "250 N/mm"),
        (0.02, units.SLOPE, "2 %"),
        (0.4, units.TORQUE, "0.4 N m"),
        (12345.0, units.DENSITY, "12300 kg/m³"),
        (2.0, units.GAIN, "3.01 dB"),
        (0.0, units.GAIN, "-inf dB"),
        (math.inf, units.LENGTH, "inf m"),
        (math.nan, units.LENGTH, "unknown"),
    ],
    ids=name_of,
)
def test_shows_a_value_in_a_unit_that_people_use(value, dimension, text):
    assert units.show(value, dimension) == text


def test_shows_a_value_in_the_unit_that_is_asked_for():
    assert units.show(0.8, units.LENGTH, "m") == "0.8 m"
    assert units.show(0.0316227766, units.POWER, "dBm") == "15 dBm"
    assert units.show(0.123456, units.LENGTH, "mm", digits=5) == "123.46 mm"


@pytest.mark.parametrize(
    ("low", "high", "dimension", "digits", "text"),
    [
        (4.61, 6.28, units.VOLTAGE, 2, "4.6..6.3 V"),
        (0.2, 1.5, units.LENGTH, 3, "0.2..1.5 m"),
        (255.15, 309.15, units.TEMPERATURE, 3, "-18..36 °C"),
        (11.812, 11.846, units.VOLTAGE, 3, "11.81..11.85 V"),
        (12.0, 12.0, units.VOLTAGE, 3, "12 V"),
        (1.0, math.inf, units.LENGTH, 3, "1..inf m"),
        (math.nan, 1.0, units.LENGTH, 3, "unknown"),
    ],
)
def test_shows_a_range_with_one_unit_for_both_ends(low, high, dimension, digits, text):
    assert units.show_range(low, high, dimension, digits=digits) == text


@given(st.floats(1e-6, 1e9), st.sampled_from(sorted(units.DIMENSIONS)))
def test_shows_what_reads_back_within_the_rounding(value, name):
    dimension = units.DIMENSIONS[name]
    assume(dimension is not units.TEMPERATURE)
    reading = units.read(units.show(value, dimension, digits=4), dimension)
    if dimension.units[dimension.base].scale is Scale.DECIBEL:  # four digits of the decibels, up to 90
        assert math.log10(reading.nominal) == pytest.approx(math.log10(value), rel=5.01e-4)
    else:
        assert reading.nominal == pytest.approx(value, rel=5.01e-4)


@given(st.floats(1e-4, 1e9), DIMENSION)
def test_shows_everyday_sizes_without_an_exponent(value, dimension):
    assert not re.search("[0-9]e", units.show(value, dimension))


@pytest.mark.parametrize(
    ("value", "spread", "digits"),
    [
        (5.45, 1.7, 2),  # 4.6..6.3
        (12.7, 1.8, 3),  # 11.8..13.6
        (12.7, 0.01, 4),
        (12.7, 0.0, 4),
        (0.0, 1.0, 2),
        (5.0, 100.0, 2),
        (math.nan, 1.0, 2),
        (1.0, math.inf, 2),
    ],
)
def test_gives_a_value_no_more_digits_than_its_spread_leaves_it(value, spread, digits):
    assert units.worth(value, spread) == digits


def test_finds_the_nearest_spelling_whatever_its_capitals():
    assert units.nearest("lenght", ["width", "length"]) == "length"
    assert units.nearest("KABEL", ["kabel", "cable"]) == "kabel"
    assert units.nearest("xyz", ["width", "length"]) is None
    assert units.nearest("x" * 100_000, ["width"]) is None


# ---- the table -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=name_of)
def test_keeps_dimensions_the_same_object_across_processes_and_copies(dimension):
    assert pickle.loads(pickle.dumps(dimension)) is dimension
    assert copy.deepcopy(dimension) is dimension
    assert hash(dimension) == hash(copy.copy(dimension))


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=name_of)
def test_writes_in_a_base_unit_that_moves_no_digit(dimension):
    base = dimension.units[dimension.base]
    assert base.offset == 0
    assert base.factor == Decimal(1).scaleb(base.factor.adjusted())  # a power of ten
    assert all(spelling in dimension.units for spelling, _ in dimension.ladder)
    assert [least for _, least in dimension.ladder] == sorted(least for _, least in dimension.ladder)


# ---- an independent library as the oracle ----------------------------------------------------------------

# Its names where they are not ours; "N m" and "mm2" are turned into products and powers below.
ORACLE_NAMES = {
    "%": "percent", "Ah": "ampere * hour", "mAh": "milliampere * hour", "Wh": "watt * hour", "degC": "kelvin",
    "mWh": "milliwatt * hour", "kWh": "kilowatt * hour", "uohm": "microohm", "mohm": "milliohm",
    "K": "kelvin", "kohm": "kiloohm", "Mohm": "megaohm", "kA2": "kiloampere ** 2",
    "degF": "delta_degree_Fahrenheit",
}  # fmt: skip


@pytest.fixture(scope="module")
def oracle():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pint

        return pint.UnitRegistry(cache_folder=None)


def oracle_name(spelling: str) -> str:
    """The unit as the oracle spells it: each word alone, powers and products written out."""
    above, _, below = spelling.partition("/")
    products = []
    for side in filter(None, (above, below)):
        words = [
            ORACLE_NAMES.get(word) or re.sub(r"([a-z])([23])$", r"\1 ** \2", word) for word in side.split()
        ]
        products.append("(" + " * ".join(words).replace("A2", "A ** 2") + ")")
    return " / ".join(products)


SPACED_UNITS = [  # a spelling without the space ("Nm") or with "Ohm" is another's twin: see below
    (dimension, spelling)
    for dimension, spelling in LINEAR_UNITS
    if "Ohm" not in spelling
    and spelling not in {other.replace(" ", "") for other in dimension.units if " " in other}
] + [(units.CHARGE, "Ah"), (units.CHARGE, "mAh"), (units.ENERGY, "Wh")]


@pytest.mark.published(
    "SI Brochure, 9th edition, table 8 and CODATA conversion factors as carried by pint 0.25"
)
@pytest.mark.parametrize(("dimension", "spelling"), SPACED_UNITS, ids=name_of)
def test_has_the_factor_that_an_independent_library_has(dimension, spelling, oracle):
    unit = dimension.units[spelling]
    base = 1.0 if dimension.base.startswith("%") else oracle_name(dimension.base)
    target = "1/kelvin" if dimension is units.TEMPERATURE_COEFFICIENT else "" if base == 1.0 else base
    factor = oracle.Quantity(1.0, oracle_name(spelling)).to(target).magnitude
    assert float(unit.factor) == pytest.approx(factor, rel=1e-12, abs=0.0)


@pytest.mark.published("SI Brochure, 9th edition, section 2.3.1 and pint 0.25: degree Celsius and Fahrenheit")
@pytest.mark.parametrize("number", [-459.67, -40.0, 0.0, 32.0, 100.0, 1000.0])
def test_moves_the_zero_of_a_temperature_as_an_independent_library_does(number, oracle):
    for spelling, name in [("degC", "degree_Celsius"), ("degF", "degree_Fahrenheit"), ("K", "kelvin")]:
        expected = oracle.Quantity(number, name).to("kelvin").magnitude
        assert units.read(f"{number} {spelling}", units.TEMPERATURE).nominal == pytest.approx(
            expected, rel=1e-12, abs=1e-9
        )


@pytest.mark.parametrize(("dimension", "spelling"), EVERY_UNIT, ids=name_of)
def test_takes_the_same_unit_with_or_without_its_space(dimension, spelling):
    assert dimension.units[spelling.replace(" ", "")] == dimension.units[spelling]
    assert dimension.units[spelling.replace("ohm", "Ohm")] == dimension.units[spelling]
