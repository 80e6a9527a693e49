"""The full wave of a described hut: what the march through time says of it."""

from __future__ import annotations

import time
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import Cancel, Progress
from hutwright.layout.frame import Floats
from hutwright.memo import digest, slow
from hutwright.model.project import Project
from hutwright.native.march import NOWHERE, march
from hutwright.plant.sky.coverings import DRY, L1, Weather
from hutwright.plant.sky.lattice import Waves, crossed_dipoles, lattice
from hutwright.plant.sky.matter import matter
from hutwright.plant.sky.near_to_far import box_nodes, side_by_side
from hutwright.plant.sky.wave import SIDE, Setting, field_ratios, setting

FIELDS = ("Ex", "Ey", "Ez", "Hx", "Hy", "Hz")
TRIED = 60  # steps that the machine's pace is tried over [-]


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a full wave will take: nodes, steps as a rule and at the most, memory [B], seconds as a rule."""

    nodes: int
    steps: int
    most: int
    bytes: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Heard:
    """What the antenna hears by the full wave.

    `ratios` are the fields over those with no hut, by direction; `left` is the energy that was still in the
    hut when the march ended, of the greatest [-].
    """

    ratios: Waves
    steps: int
    left: float

    @property
    def power(self) -> Floats:
        """Power over that with no hut, by direction [-]."""
        return np.asarray(np.abs(self.ratios) ** 2)


@cache
def pace() -> float:
    """Nodes that this machine takes a step on in a second, tried on a small grid [1/s]."""
    corner = np.zeros(3)
    grid = lattice(corner, corner + 0.7, SIDE, L1)
    began = time.perf_counter()
    done = march(grid, matter(grid), crossed_dipoles(grid, corner + 0.35), [NOWHERE] * 6, most=TRIED)
    return grid.count * done.steps / (time.perf_counter() - began)


def estimate(ready: Setting) -> Estimate:
    """What a full wave will take, before it starts.

    Parameters
    ----------
    ready : Setting
        The hut on its grid.
    """
    nodes = ready.grid.count
    return Estimate(nodes, ready.usual, ready.most, ready.bytes, nodes * ready.usual / pace())


def full_wave(
    project: Project,
    toward: Floats,
    *,
    weather: Weather = DRY,
    open_by: float = 0.0,
    place: Floats | None = None,
    side: float = SIDE,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Heard:
    """The field at the antenna inside a described hut over that with no hut, by finite differences in time.

    Parameters
    ----------
    project : Project
        The project.
    toward : array
        Unit vectors to the satellites in the hut's frame, (directions, 3). [-]
    weather : Weather
        How wet it is.
    open_by : float
        How far the door is open, 0 shut to 1 open. [-]
    place : array, optional
        Where the antenna is; the middle of where the machine parks without one. [m]
    side : float
        Side of a cell, `wave.SIDE` or `wave.FINE` as a rule. [m]
    progress : Progress, optional
        Told steps done, of how many as a rule, about five times a second.
    cancel : Cancel, optional
        Looked at as often.

    Raises
    ------
    StoppedError
        Once the flag is set.
    RequestError
        For a door, cells, a hut or an antenna that this cannot be done for.
    """
    ready = setting(project, weather=weather, open_by=open_by, place=place, side=side)

    def told(done: int, _most: int) -> None:
        if progress is not None:
            progress(min(done, ready.usual), ready.usual)

    kept = marched(ready, core(), progress=told, cancel=cancel)
    fields = [kept[name] for name in FIELDS]
    ratios = field_ratios(ready, side_by_side(ready.sides, fields), toward)
    return Heard(ratios, int(kept["steps"][0]), float(kept["left"][0]))


@cache
def core() -> str:
    """Digest of the march's code in C."""
    folder = resources.files("hutwright.native") / "wave"
    return digest(*((folder / name).read_bytes() for name in ("wave.h", "wave.c")))


@slow(aside=("progress", "cancel"))
def marched(
    ready: Setting,
    written: str,
    *,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> dict[str, NDArray[Any]]:
    """The march of a hut, as arrays that the memory can keep: the fields on the box, steps and energy left.

    Parameters
    ----------
    ready : Setting
        The hut on its grid.
    written : str
        Digest of the code in C, which the memory does not look at by itself.
    progress : Progress, optional
        As of `march`.
    cancel : Cancel, optional
        As of `march`.
    """
    met = matter(ready.grid, ready.body.boards, ready.body.sheets)
    nodes = box_nodes(ready.grid, ready.sides)
    done = march(ready.grid, met, ready.source, nodes, most=ready.most, progress=progress, cancel=cancel)
    found: dict[str, NDArray[Any]] = {
        name: each.astype(np.complex64) for name, each in zip(FIELDS, done.fields, strict=True)
    }
    return {**found, "steps": np.array([done.steps]), "left": np.array([done.left])}
