"""Printed examples of wind pressure, digit by digit as printed."""

from typing import NamedTuple


class WindExample(NamedTuple):
    """One printed example; None where a figure is not printed."""

    basic_speed: float
    terrain: str
    height: float
    terrain_factor: float | None
    roughness_factor: float | None
    turbulence: float | None
    exposure_factor: float | None
    mean_speed: float | None
    basic_pressure: float | None
    peak_pressure: float


# Steel Buildings in Europe, single-storey, part 3, appendix B (SSB03); read.
PORTAL_FRAME = WindExample(26.0, "III", 8.0, 0.215, 0.706, None, 1.56, None, 422.5, 659.0)
# Access Steel SX016a, as quoted by a public doctest; second-hand.
PITCHED_ROOF = WindExample(26.0, "II", 7.3, None, None, None, None, None, None, 911.0)
# Public worked example, category IV (course text); read. Speed 26 m/s.
TOWN = WindExample(26.0, "IV", 9.0, 0.234, 0.54, 0.434, 1.18, None, None, 497.0)
# Public worked example, category 0; read. Basic speed inferred from the printed mean speed.
TOWER = WindExample(25.0, "0", 77.36, 0.156, 1.585, 0.098, None, 39.62, None, 1657.0)
# Public worked example of a signboard, 5 m x 7 m; read.
SIGNBOARD = WindExample(33.0, "I", 5.0, 0.1698, 1.055, 0.1609, None, 34.82, 680.0, 1610.0)
