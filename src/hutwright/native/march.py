"""The march of the full wave through time, in C, on two threads.

The grid is cut into a slab of planes for each thread. A step is two turns, or three where the fields are
written down, and no thread begins the next turn before all are done with the last: the threads meet here, not
in C. What comes out is the same to the bit on any number of threads. Between stretches of a fifth of a second
the march tells its progress and looks whether to stop.
"""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import Cancel, Progress, StoppedError, stopped
from hutwright.native._wave import ffi, lib
from hutwright.plant.sky.lattice import (
    COURANT,
    ORDER,
    SAMPLES,
    SHIFT,
    STEEPEST,
    Lattice,
    Nodes,
    Source,
    Waves,
)
from hutwright.plant.sky.matter import Matter

Singles = NDArray[np.float32]
TELL = 0.2  # how often progress is told [s]
CHUNK = 64  # steps between looks at the energy that is left [-]
LEFT = 1e-4  # share of the greatest energy below which a run may stop: see docs/handbook/full-wave.md [-]
THREADS = 2  # two cores are what we count on, and memory feeds no more: docs/reasons/0016 [-]
WORTH_THREADS = 1_000_000  # nodes; below that a run takes seconds, and on busy cores waiting costs more [-]
NOWHERE: Nodes = np.zeros(0, dtype=np.int32)


@dataclass(frozen=True, slots=True)
class March:
    """What came of a run: Ex, Ey, Ez, Hx, Hy, Hz at the nodes asked for, steps, and the energy left [-]."""

    fields: tuple[Waves, ...]
    steps: int
    left: float


def _pointer(array: NDArray[Any], kind: str) -> Any:
    return ffi.cast(f"{kind} *", array.ctypes.data)


def _layer(grid: Lattice, axis: int, beyond: float) -> tuple[Singles, Singles]:
    """Fade and take of the absorbing rim's memory at nodes, or half a cell beyond them."""
    number = grid.nodes[axis]
    at = np.arange(number) + beyond
    low, high = grid.rim[axis]
    depth = np.zeros(number)
    if low:
        depth = np.maximum(depth, (low - at) / low)
    if high:
        depth = np.maximum(depth, (at - (number - 1 - high)) / high)
    depth = np.clip(depth, 0.0, 1.0)
    steep = STEEPEST * (ORDER + 1) * depth**ORDER
    shift = SHIFT * (1.0 - depth)
    fade = np.exp(-(steep + shift) * COURANT)
    take = steep / (steep + shift + 1e-30) * (fade - 1.0)
    return fade.astype(np.float32), take.astype(np.float32)


def _space(grid: Lattice, matter: Matter, kept: list[Any]) -> Any:
    """The struct of the fields and what they meet."""
    space = ffi.new("wave_space *")

    def hold(array: NDArray[Any]) -> Any:
        kept.append(array)
        return _pointer(array, "float")

    x, y, z = grid.nodes
    space.courant = COURANT
    plain = np.ones((z, y), dtype=np.uint8)
    for axis in range(3):
        space.nodes[axis] = grid.nodes[axis]
        space.low[axis], space.high[axis] = grid.rim[axis]
        space.electric[axis] = hold(np.zeros(grid.count, dtype=np.float32))
        space.magnetic[axis] = hold(np.zeros(grid.count, dtype=np.float32))
        keep, gain = matter.keep[axis], matter.gain[axis]
        space.keep[axis], space.gain[axis] = hold(keep), hold(gain)
        inner = slice(0 if axis == 0 else 1, -1)
        plain &= (keep.reshape(z, y, x)[:, :, inner] == 1.0).all(axis=2)
        plain &= (gain.reshape(z, y, x)[:, :, inner] == np.float32(COURANT)).all(axis=2)
        for name, beyond in (("e", 0.0), ("h", 0.5)):
            fade, take = _layer(grid, axis, beyond)
            getattr(space, f"fade_{name}")[axis] = hold(fade)
            getattr(space, f"take_{name}")[axis] = hold(take)
        for which, other in enumerate(((axis + 1) % 3, (axis + 2) % 3)):
            shape = list(grid.nodes)
            shape[other] = sum(grid.rim[other])
            for memory in (space.memory_e, space.memory_h):
                memory[2 * axis + which] = hold(np.zeros(math.prod(shape), dtype=np.float32))
    kept.append(plain)
    space.plain = _pointer(plain, "uint8_t")
    return space


def _source(source: Source, kept: list[Any]) -> Any:
    found = ffi.new("wave_source *")
    found.number, found.steps = len(source.node), len(source.pulses)
    for name, kind in (("component", "int32_t"), ("node", "int32_t"), ("cosine", "float"), ("sine", "float")):
        array = np.ascontiguousarray(getattr(source, name))
        kept.append(array)
        setattr(found, name, _pointer(array, kind))
    kept.append(pulses := np.ascontiguousarray(source.pulses))
    found.pulses = _pointer(pulses, "float")
    return found


def _record(grid: Lattice, nodes: Sequence[Nodes], steps: int, kept: list[Any]) -> tuple[Any, list[Singles]]:
    found = ffi.new("wave_record *")
    every = max(1, math.floor(2.0 * math.pi / grid.turn / SAMPLES))
    sums = [np.zeros((len(each), 2), dtype=np.float32) for each in nodes]
    for number, (each, total) in enumerate(zip(nodes, sums, strict=True)):
        kept.append(own := np.ascontiguousarray(each, dtype=np.int32))
        found.number[number] = len(own)
        found.node[number], found.sum[number] = _pointer(own, "int32_t"), _pointer(total, "float")
    samples = np.arange(0, steps, every)
    angles = grid.turn * (samples[:, None] + np.array([1.0, 1.5]))  # after the step: E at its end, H beyond
    turns = np.stack([np.cos(angles), np.sin(angles)], axis=-1).reshape(-1, 4) * every
    kept.append(turns := turns.astype(np.float32))
    found.every, found.turns = every, _pointer(turns, "float")
    return found, sums


def march(
    grid: Lattice,
    matter: Matter,
    source: Source,
    nodes: Sequence[Nodes],
    *,
    most: int,
    left: float = LEFT,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
    threads: int | None = None,
) -> March:
    """Let the source's pulse run until its energy has left.

    Parameters
    ----------
    grid : Lattice
        The grid.
    matter : Matter
        What is on it.
    source : Source
        The currents.
    nodes : Sequence
        Where the fields are wanted: nodes of Ex, Ey, Ez, Hx, Hy and Hz.
    most : int
        Steps after which it ends in any case. [-]
    left : float
        Share of the greatest energy at which it ends. [-]
    progress : Progress, optional
        Told steps done, of how many at the most, about five times a second.
    cancel : Cancel, optional
        Looked at as often.
    threads : int, optional
        How many to run on; one on a small grid without it, else two. [-]

    Returns
    -------
    March
        The fields at the frequency.

    Raises
    ------
    StoppedError
        Once the flag is set.
    """
    kept: list[Any] = []
    space, flow = _space(grid, matter, kept), _source(source, kept)
    record, sums = _record(grid, nodes, most, kept)
    greatest, share, step, began, pace = 0.0, 1.0, 0, time.perf_counter(), 1
    if threads is None:
        threads = THREADS if grid.count >= WORTH_THREADS else 1
    with _team(grid, space, flow, record, threads) as advance:
        while step < most and not (step >= flow.steps and step % CHUNK == 0 and share <= left):
            if stopped(cancel):
                raise StoppedError(f"the full wave was stopped after {step} steps")
            end = min(step + pace, most, step - step % CHUNK + CHUNK)
            advance(step, end)
            step = end
            pace = max(1, int(step * TELL / (time.perf_counter() - began)))
            if step % CHUNK == 0:
                energy = lib.wave_energy(space)
                if not math.isfinite(energy):
                    raise ArithmeticError(f"the full wave went beyond all bounds after {step} steps")
                greatest = max(greatest, energy)
                share = energy / greatest if greatest else 0.0
            if progress is not None:
                progress(step, most)
    fields = [total[:, 0] + 1j * total[:, 1].astype(complex) for total in sums]
    return March(tuple(fields), step, share)


@contextmanager
def _team(
    grid: Lattice, space: Any, flow: Any, record: Any, threads: int
) -> Iterator[Callable[[int, int], None]]:
    """Threads that take the march from one step to another; the caller is the first of them."""
    meet = threading.Barrier(threads)
    ends = [grid.nodes[2] * number // threads for number in range(threads + 1)]
    rooms = [np.zeros(grid.nodes[0], dtype=np.float32) for _ in range(threads)]
    slabs = []
    for (first, end), room in zip(pairwise(ends), rooms, strict=True):
        slabs.append(ffi.new("wave_slab *", {"first": first, "end": end, "row": _pointer(room, "float")}))

    def run(number: int, begin: int, end: int) -> None:
        slab = slabs[number]
        try:
            for step in range(begin, end):
                lib.wave_sweep(space, flow, slab, step)
                meet.wait()
                lib.wave_close(space, slab)
                meet.wait()
                if step % record.every == 0:
                    lib.wave_write_down(space, record, step, number, threads)
                    meet.wait()
        except BaseException:
            meet.abort()  # or the others wait for ever
            raise

    with ThreadPoolExecutor(max(1, threads - 1)) as others:

        def advance(begin: int, end: int) -> None:
            waiting = [others.submit(run, number, begin, end) for number in range(1, threads)]
            run(0, begin, end)
            for each in waiting:
                each.result()

        yield advance
