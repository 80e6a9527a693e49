"""Writes the handbook's page of the full wave, with a table of the integral against it.

Run as ``python -m tools.full_wave``. It takes some minutes; what has been marched before is remembered.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.overlay import whole
from hutwright.description.reading import read_sheet
from hutwright.layout.leaf import full_travel
from hutwright.layout.skin import skin
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.native.full_wave import Heard, full_wave
from hutwright.plant.sky.coverings import DRY, WET, Weather
from hutwright.plant.sky.field import antenna_at, field_ratio, leaf_at, patch_size, unit_sums
from hutwright.plant.sky.wave import FINE, SIDE

Floats = NDArray[np.float64]
TOP = Path(__file__).resolve().parent.parent
PAGE = TOP / "docs" / "handbook" / "full-wave.md"
START, END = "<!-- generated: python -m tools.full_wave -->", "<!-- end of what is generated -->"
DIRECTIONS, LOWEST_DEG = 400, 5.0
COUNTED_DB = -10.0  # weaker directions of the full wave are left out of the differences

STEEL = ["0.6 mm steel sheet"]
SECOND = {
    "place": {"face": "roof", "from_left": "0.60 m", "from_low_edge": "0.45 m"},
    "size": {"width": "0.30 m", "length": "0.40 m"},
    "pane": {"material": "polycarbonate", "thickness": "5 mm", "edges": "held, free to slide"},
}
NO_WINDOW: Mapping[str, object] = {"openings.first_window": None}
TWO: Mapping[str, object] = {"openings.second_window": SECOND}
NO_OVERHANG: Mapping[str, object] = {"hut.roof.overhang": "0 m"}
METAL: Mapping[str, object] = {"build_ups.wall": STEEL, "openings.vent": None}
TIMBER_ROOF: Mapping[str, object] = {"build_ups.roof": ["22 mm softwood boards"]}


@dataclass(frozen=True)
class Case:
    """One hut: what is changed of the orchard demo, and in which state.

    Attributes
    ----------
    words : str
        What it is.
    changes : Mapping
        Changes by dotted address.
    weather : Weather
        How wet it is.
    open_by : float
        How far the door is open. [-]
    side : float
        Side of a cell. [m]
    """

    words: str
    changes: Mapping[str, object] = field(default_factory=dict)
    weather: Weather = DRY
    open_by: float = 0.0
    side: float = SIDE


CASES = (
    Case("no window, shut", NO_WINDOW),
    Case("one window, shut"),
    Case("two windows, shut", TWO),
    Case("no window, door open", NO_WINDOW, open_by=1.0),
    Case("one window, door open", open_by=1.0),
    Case("no window, shut, no overhang", {**NO_WINDOW, **NO_OVERHANG}),
    Case("one window, shut, no overhang", NO_OVERHANG),
    Case("two windows, shut, no overhang", {**TWO, **NO_OVERHANG}),
    Case("timber roof, no window, shut", {**NO_WINDOW, **TIMBER_ROOF}),
    Case("no window, shut, wet", NO_WINDOW, WET, side=FINE),
    Case("one window, shut, wet", {}, WET, side=FINE),
    Case("metal walls, no window, door open", {**METAL, **NO_WINDOW}, open_by=1.0),
    Case("metal walls, one window, shut", METAL),
    Case("metal walls, two windows, shut", {**METAL, **TWO}),
)
FINER = (CASES[1], CASES[10], CASES[12])  # one window: dry, wet, metal walls


def project_of(case: Case) -> Project:
    """The case's hut."""
    spelled: dict[Keys, object] = {tuple(place.split(".")): value for place, value in case.changes.items()}
    demo = whole(read_sheet(TOP / "demos" / "orchard" / "hut.toml", "hut.toml"))
    return build(changed(demo, spelled)).project


def sky() -> Floats:
    """Directions evenly spread over the sky."""
    up = np.linspace(np.sin(np.radians(LOWEST_DEG)), 0.999, DIRECTIONS)
    flat, azimuth = np.sqrt(1.0 - up**2), np.arange(DIRECTIONS) * np.pi * (3.0 - np.sqrt(5.0))
    return np.stack([flat * np.sin(azimuth), flat * np.cos(azimuth), up], axis=-1)


def by_integral(case: Case) -> Floats:
    """Power by the integral, for every direction [-]."""
    project = project_of(case)
    leaf = leaf_at(project, case.open_by * full_travel(project))
    antenna = antenna_at(project, spread=False)
    sums = unit_sums(skin(project, patch_size()), antenna, sky(), leaves=[leaf])
    return np.asarray(np.abs(field_ratio(project, sums, case.weather, leaf=0)[0].astype(complex)) ** 2)


def by_full_wave(case: Case, side: float) -> Heard:
    """The same by the full wave."""
    return full_wave(project_of(case), sky(), weather=case.weather, open_by=case.open_by, side=side)


@dataclass(frozen=True)
class Difference:
    """How far one way of reckoning is from another.

    Attributes
    ----------
    counted : int
        Directions of more than -10 dB by the second.
    rms : float
        Of the first over the second there. [dB]
    mean : float
        Likewise. [dB]
    above : int
        Directions of more than -10 dB by the first.
    """

    counted: int
    rms: float
    mean: float
    above: int


def difference(one: Floats, other: Floats) -> Difference:
    """How far the first is from the second, in decibels, where the second is strong enough.

    Parameters
    ----------
    one : array
        Powers. [-]
    other : array
        Powers. [-]
    """
    first, second = (10.0 * np.log10(np.maximum(each, 1e-12)) for each in (one, other))
    kept = second > COUNTED_DB
    off = np.maximum(first, -40.0)[kept] - second[kept]
    rms, mean = (float(np.sqrt((off**2).mean())), float(off.mean())) if kept.any() else (0.0, 0.0)
    return Difference(int(kept.sum()), rms, mean, int((first > COUNTED_DB).sum()))


def table() -> Iterator[str]:
    """The rows of both tables."""
    yield "| orchard hut with | cells | steps | heard by the full wave | by the integral | rms | mean |"
    yield "| --- | --- | --- | --- | --- | --- | --- |"
    for case in CASES:
        print(case.words, file=sys.stderr)
        fine = by_full_wave(case, case.side)
        off = difference(by_integral(case), fine.power)
        yield (
            f"| {case.words} | {1e3 * case.side:.0f} mm | {fine.steps} | {_share(off.counted)} "
            f"| {_share(off.above)} | {off.rms:.1f} dB | {off.mean:+.1f} dB |"
        )
    yield ""
    yield "| orchard hut with | 20 mm against 10 mm: rms | mean |"
    yield "| --- | --- | --- |"
    for case in FINER:
        off = difference(by_full_wave(case, SIDE).power, by_full_wave(case, FINE).power)
        yield f"| {case.words} | {off.rms:.1f} dB | {off.mean:+.1f} dB |"


def _share(number: int) -> str:
    return f"{100.0 * number / DIRECTIONS:.0f} %"


def page() -> str:
    """The page with its tables made anew; what stands round them is kept."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    _, after = rest.split(END)
    return before + START + "\n\n" + "\n".join(table()) + "\n\n" + END + after


def main() -> int:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
