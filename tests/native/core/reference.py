"""What detect.c should find, in real numbers: written from the manual in door.h, not from the C."""

from __future__ import annotations

from collections import deque
from typing import Any

WHOLE = float(2**30)


def median(values: list[int]) -> int:
    return sorted(values)[1]


def profile_at(profile: list[int], place: float) -> float:
    """Straight lines between the bins' middles, level beyond the first and the last."""
    at = place * len(profile) - 0.5
    if at <= 0.0:
        return float(profile[0])
    if at >= len(profile) - 1:
        return float(profile[-1])
    low = int(at)
    return profile[low] + (profile[low + 1] - profile[low]) * (at - low)


class Reference:
    """The detector of one run, driven one way from its first tick on.

    Attributes
    ----------
    filtered, expected, residual : float
        As in the state. [mA]
    slow : float
        Slow mean of the residual. [mA]
    place : float
        Share of the travel. [-]
    """

    def __init__(self, settings: Any, way: str, *, place: float | None) -> None:
        self.settings, self.detector, self.way = settings, settings[way], way
        self.filtered = self.expected = self.residual = self.slow = 0.0
        self.place = 0.0 if place is None else place
        self.known = place is not None
        self.readings: deque[int] = deque([0, 0], maxlen=3)
        self.ran = 0

    def tick(self, current_mA: int, supply_mV: int, temperature_dC: int, duty_permille: int) -> None:
        """One millisecond with duty."""
        s, d = self.settings, self.detector
        self.readings.append(current_mA)
        now = float(abs(median(list(self.readings))))
        if s["sense"] == 1:
            now *= 1000.0 / max(50, duty_permille)
        now = min(now, 60000.0)
        self.filtered += (now - self.filtered) * float(s["filter_q16"]) / 65536.0
        emf = (
            supply_mV * duty_permille / 1000.0
            - float(s["drop_mV"])
            - float(s["resistance_mohm"]) * now / 1000.0
        )
        step = max(0.0, emf) * float(s["place_gain_q8"]) / 256.0 / WHOLE
        self.place = min(1.0, max(0.0, self.place + (step if self.way == "opening" else -step)))
        profile = [int(each) for each in d["profile_mA"]]
        expected = profile_at(profile, self.place) if self.known else float(max(profile))
        expected += float(d["per_kelvin_uA"]) * (temperature_dC - float(s["reference_dC"])) / 10000.0
        expected += float(d["per_volt_mA"]) * (supply_mV - float(s["reference_mV"])) / 1000.0
        step_at = self.ran // int(s["start_step_ms"])
        expected += float(d["start_mA"][step_at]) if step_at < len(d["start_mA"]) else 0.0
        self.expected = min(60000.0, max(0.0, expected))
        self.residual = min(32767.0, max(-32767.0, self.filtered - self.expected))
        if self.ran < int(s["blind_ms"]) or self.ran == 0:
            self.slow = self.residual
        else:
            self.slow += (self.residual - self.slow) * float(s["slow_q16"]) / 65536.0
        self.ran += 1


def trip(settings: Any, way: str, supply_mV: int, temperature_dC: int) -> float:
    """The trip with its widening outside the trained range. [mA]"""
    s = settings
    out_kelvin = (
        max(0, int(s["trained_low_dC"]) - temperature_dC, temperature_dC - int(s["trained_high_dC"])) / 10.0
    )
    out_volt = max(0, int(s["trained_low_mV"]) - supply_mV, supply_mV - int(s["trained_high_mV"])) / 1000.0
    wider = out_kelvin * int(s["widen_per_kelvin_mA"]) + out_volt * int(s["widen_per_volt_mA"])
    return float(s[way]["trip_mA"]) + min(wider, float(s["widen_most_mA"]))
