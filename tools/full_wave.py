"""Writes the handbook's page of the full wave, with a table of the integral against it.

Run as ``python -m tools.full_wave``. It takes a quarter of an hour the first time; what has been marched
before is remembered.
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
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.native.full_wave import full_wave
from hutwright.plant.sky.inside import Season, State, dome, weather_of
from hutwright.plant.sky.readiness import LOWEST_COUNTED
from hutwright.plant.sky.wave import FINE, SIDE
from hutwright.plant.sky.wave_accuracy import wave_accuracy
from hutwright.studies.sky_confirm import COMPARED_DB, Both, Reckoning, both

Floats = NDArray[np.float64]
TOP = Path(__file__).resolve().parent.parent
PAGE = TOP / "docs" / "handbook" / "full-wave.md"
START, END = "<!-- generated: make wave -->", "<!-- end of what is generated -->"
FINEST = 0.02 / 3  # side of the cells that soaked timber is held to [m]

STEEL = ["0.6 mm steel sheet"]
FOAM = ["22 mm polystyrene foam"]
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
AIR: Mapping[str, object] = {
    **NO_WINDOW,
    "build_ups.wall": FOAM,
    "build_ups.roof": FOAM,
    "build_ups.leaf": FOAM,
}
OPEN, RAIN = State(is_open=True), State(season=Season.RAIN)


@dataclass(frozen=True)
class Case:
    """One hut: what is changed of the orchard demo, and in which state.

    Attributes
    ----------
    words : str
        What it is.
    changes : Mapping
        Changes by dotted address.
    state : State
        Door and weather.
    """

    words: str
    changes: Mapping[str, object] = field(default_factory=dict)
    state: State = field(default_factory=State)


CASES = (
    Case("no window", NO_WINDOW),
    Case("one window"),
    Case("two windows", TWO),
    Case("no window, door open", NO_WINDOW, OPEN),
    Case("one window, door open", {}, OPEN),
    Case("no window, no overhang", {**NO_WINDOW, **NO_OVERHANG}),
    Case("one window, no overhang", NO_OVERHANG),
    Case("two windows, no overhang", {**TWO, **NO_OVERHANG}),
    Case("no window, a roof of timber", {**NO_WINDOW, **TIMBER_ROOF}),
    Case("no window, rain", NO_WINDOW, RAIN),
    Case("one window, rain", {}, RAIN),
    Case("two windows, rain", TWO, RAIN),
    Case("no window, rain, no overhang", {**NO_WINDOW, **NO_OVERHANG}, RAIN),
    Case("one window, rain, no overhang", NO_OVERHANG, RAIN),
    Case("walls of metal, no window, door open", {**METAL, **NO_WINDOW}, OPEN),
    Case("walls of metal, one window", METAL),
    Case("walls of metal, two windows", {**METAL, **TWO}),
)
# Which huts are looked at with finer cells, and how fine those are.
FINER = (
    (Case("one window"), FINE),
    (Case("no window", NO_WINDOW), FINE),
    (Case("one window, rain", {}, RAIN), FINEST),
    (Case("walls of metal, one window", METAL), FINE),
)


def project_of(case: Case) -> Project:
    """The case's hut."""
    spelled: dict[Keys, object] = {tuple(place.split(".")): value for place, value in case.changes.items()}
    demo = whole(read_sheet(TOP / "demos" / "orchard" / "hut.toml", "hut.toml"))
    return build(changed(demo, spelled)).project


def levels_db(case: Case, side: float) -> Floats:
    """Levels by the full wave in the directions of the grid in which a satellite may count [dB]."""
    project = project_of(case)
    open_by = 1.0 if case.state.is_open else 0.0
    weather = weather_of(project, case.state.season)
    heard = full_wave(project, dome().toward, weather=weather, open_by=open_by, side=side)
    return np.asarray(10.0 * np.log10(heard.power[dome().toward[:, 2] >= np.sin(LOWEST_COUNTED)]))


def table() -> Iterator[str]:
    """The rows of the three tables."""
    yield "The orchard demo, the door shut and dry unless said:"
    yield ""
    yield "| hut with | cells | integral over full wave: rms | mean | satellites by full wave | by integral |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for case in CASES:
        print(case.words, file=sys.stderr)
        yield _row(case, both(project_of(case), case.state))
    yield ""
    yield "| hut with | cells | against cells of | rms | mean |"
    yield "| --- | --- | --- | --- | --- |"
    for case, finer in FINER:
        print(f"{case.words}, {1e3 * finer:.1f} mm", file=sys.stderr)
        side = wave_accuracy(project_of(case), case.state).side
        fine = levels_db(case, finer)
        off = (levels_db(case, side) - fine)[fine > COMPARED_DB]
        yield f"| {case.words} | {_mm(side)} | {_mm(finer)} | {_rms(off):.1f} dB | {off.mean():+.1f} dB |"
    alone = levels_db(Case("air", AIR), SIDE)
    yield ""
    yield (
        f"Walls, roof and leaf of foam, as good as air: {_rms(alone):.2f} dB rms and "
        f"{np.abs(alone).max():.1f} dB at most, over all directions."
    )


def _row(case: Case, found: Both) -> str:
    return (
        f"| {case.words} | {_mm(found.side)} | {found.rms_db:.1f} dB | {found.mean_db:+.1f} dB "
        f"| {_span(found.full_wave)} | {_span(found.integral)} |"
    )


def _span(one: Reckoning) -> str:
    return f"{one.count:.0f} ({one.fewest:.0f}..{one.most:.0f})"


def _mm(side: float) -> str:
    return f"{1e3 * side:.0f} mm"


def _rms(off: Floats) -> float:
    return float(np.sqrt((off**2).mean()))


def page() -> str:
    """The page with its tables made anew; what stands round them is kept."""
    rows = "\n".join(table())  # first: somebody may write on the page meanwhile
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    _, after = rest.split(END)
    return f"{before}{START}\n\n{rows}\n\n{END}{after}"


def main() -> int:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
