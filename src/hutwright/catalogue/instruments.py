"""What a builder measures with, and how far its readings may be off. All of it is practice of the trade."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hutwright import units
from hutwright.units import NUMBER, Dimension


@dataclass(frozen=True, kw_only=True, slots=True)
class Instrument:
    """One way to read a quantity.

    Attributes
    ----------
    words : str
        What it is.
    dimension : Dimension
        What it reads.
    share : float
        Standard deviation as a share of the reading. [-]
    spread : float
        Standard deviation besides. [dimension]
    step : float
        Half the step of its scale or of what is guessed between marks. [dimension]
    unit : str
        Unit of a bare number; the usual one where it is "".
    least : float
        Below this a reading is a slip. [dimension]
    most : float
        Above this too. [dimension]
    """

    words: str
    dimension: Dimension
    share: float = 0.0
    spread: float = 0.0
    step: float = 0.0
    unit: str = ""
    least: float = 0.0
    most: float = math.inf

    def spread_at(self, reading: float) -> float:
        """Standard deviation of a reading of that size [dimension]."""
        return math.hypot(self.share * reading, self.spread)


# Common practice of the trade, as standard deviations; a hand that pulls slowly reads a hanging scale to 3 %.
LUGGAGE_SCALE = Instrument(
    words="a luggage scale",
    dimension=units.FORCE,
    share=0.03,
    spread=0.3,
    step=0.25,
    unit="kg",
    least=-200.0,
    most=1000.0,
)
TAPE = Instrument(words="a tape", dimension=units.LENGTH, spread=1e-3, step=1e-3, unit="mm", most=30.0)
RULE = Instrument(
    words="a rule with half millimetres",
    dimension=units.LENGTH,
    spread=1e-4,
    step=1.5e-4,
    unit="mm",
    most=0.3,
)
STOPWATCH = Instrument(words="a stopwatch", dimension=units.TIME, spread=0.15, step=0.05, most=600.0)
AMMETER = Instrument(
    words="a cheap ammeter", dimension=units.CURRENT, share=0.015, spread=0.01, step=0.01, most=100.0
)
VOLTMETER = Instrument(words="a cheap voltmeter", dimension=units.VOLTAGE, spread=0.01, step=0.005, most=60.0)
OHMMETER = Instrument(
    words="a cheap ohmmeter",
    dimension=units.RESISTANCE,
    share=0.015,
    spread=0.05,
    step=0.05,
    unit="ohm",
    most=200.0,
)
BUCKET = Instrument(
    words="a bucket with marks", dimension=units.VOLUME, share=0.02, step=0.1e-3, unit="L", most=0.1
)
KITCHEN_SCALE = Instrument(
    words="a kitchen scale", dimension=units.MASS, share=0.005, step=0.005, unit="kg", most=10.0
)
PACES = Instrument(words="paces", dimension=NUMBER, share=0.03, spread=0.3, step=0.5, most=500.0)
PACE = Instrument(
    words="one pace on the tape", dimension=units.LENGTH, share=0.02, unit="m", least=0.3, most=1.5
)
FISTS = Instrument(
    words="fists at arm's length", dimension=NUMBER, share=0.08, spread=0.05, step=0.1, most=9.0
)
THERMOMETER = Instrument(
    words="a thermometer", dimension=units.TEMPERATURE, spread=1.5, step=0.5, least=213.15, most=373.15
)
PROTRACTOR = Instrument(
    words="a phone's level", dimension=units.ANGLE, spread=math.radians(0.7), unit="deg", most=math.pi
)
SNOW_STICK = Instrument(
    words="memory of its depth", dimension=units.LENGTH, share=0.10, step=0.03, unit="cm", most=6.0
)
COUNT = Instrument(words="a count on the screen", dimension=NUMBER, most=60.0)
