"""What a window would be worth at every place of the roof, timbers or not: a map to look at.

The window is the best one of a placement; its worth is how many satellites more count in rain, over the roof
without any window, mean over a day of the constellations as planned.
"""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import dataclass

import numpy as np

from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.layout.faces import Face3, inner_skin, outer_faces
from hutwright.layout.frame import Floats
from hutwright.layout.members import Strip, strips
from hutwright.plant.sky.coverings import WET
from hutwright.plant.sky.table import RoofWindow, Scene, layout_field, scene, table_of
from hutwright.studies.placement import Layout, Placement
from hutwright.studies.sky_search import CHUNK, Listening
from hutwright.studies.window_places import WindowPlace, described_places

STEP = 0.035  # between places of the map, about; less than a fifth of a wavelength: ours to choose [m]
MOST = 36  # places of the map each way: ours to choose [-]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Worth:
    """The map of one roof face, in the measures of its outer face.

    Attributes
    ----------
    face : str
        The roof's face.
    size : tuple
        Hole of the window, across and along. [m]
    across : numpy.ndarray
        Middles of the window, across. [m]
    along : numpy.ndarray
        Middles of the window, along. [m]
    adds : numpy.ndarray
        Satellites that it adds in rain, (across, along). [-]
    inside : tuple
        Ends of what lies over the inside, across and along. [m]
    timbers : tuple
        What each timber takes of the face.
    described : tuple
        The openings that are described.
    """

    face: str
    size: tuple[float, float]
    across: Floats
    along: Floats
    adds: Floats
    inside: tuple[tuple[float, float], tuple[float, float]]
    timbers: tuple[Strip, ...]
    described: tuple[WindowPlace, ...]


def window_worth(
    described: Described, found: Placement, *, executor: Executor | None = None
) -> tuple[Worth, ...]:
    """The worth of the best single window elsewhere, for every face of the roof.

    Parameters
    ----------
    described : Described
        The description.
    found : Placement
        What came of a search on it; without a window in it there is no map.
    executor : Executor or None
        Where the table is worked out, if no search has left it in the memory.
    """
    if len(found.layouts) < 2:
        return ()
    best, project = found.layouts[1], described.project
    window = best.windows[0]
    size = (window.across[1] - window.across[0], window.along[1] - window.along[0])
    table = table_of(project, executor=executor)
    pane = rebuild(described, best.changes).project.openings[_name(best)].pane
    assert pane is not None
    stage = scene(project, table, pane, WET, leaf=None if project.door is None else 0)
    listening = Listening(project, table.sums.antenna.weights)
    outer = {each.name: each for each in outer_faces(project)}
    taken = described_places(project)
    maps = []
    for inner in (each for each in inner_skin(project) if each.name in outer and each.name[:4] == "roof"):
        low, high = _ends(inner)
        middles = [_middles(low[axis], high[axis]) for axis in (0, 1)]
        moved = outer[inner.name].place(inner.corner)
        maps.append(
            Worth(
                face=inner.name,
                size=size,
                across=middles[0] + moved[0],
                along=middles[1] + moved[1],
                adds=_adds(stage, listening, inner.name, size, (middles[0], middles[1])),
                inside=(
                    (float(low[0] + moved[0]), float(high[0] + moved[0])),
                    (float(low[1] + moved[1]), float(high[1] + moved[1])),
                ),
                timbers=tuple(each for each in strips(project) if each.face == inner.name),
                described=tuple(each for each in taken if each.face == inner.name),
            )
        )
    return tuple(maps)


def _name(layout: Layout) -> str:
    return next(path[1] for path, value in layout.changes.items() if value is not None)


def _ends(inner: Face3) -> tuple[Floats, Floats]:
    places = inner.place(inner.corners)
    return places.min(axis=0), places.max(axis=0)


def _middles(low: float, high: float) -> Floats:
    return np.linspace(low, high, min(MOST, 1 + round((high - low) / STEP)))


def _adds(
    stage: Scene,
    listening: Listening,
    face: str,
    size: tuple[float, float],
    middles: tuple[Floats, Floats],
) -> Floats:
    """Satellites that the window adds with its middle at each place, (across, along) [-]."""
    windows = [
        RoofWindow(
            face,
            (float(across - size[0] / 2), float(across + size[0] / 2)),
            (float(along - size[1] / 2), float(along + size[1] / 2)),
        )
        for across in middles[0]
        for along in middles[1]
    ]
    before = listening.counts(listening.heard(stage.closed.reshape(1, -1))).mean()
    counts: list[Floats] = []
    for start in range(0, len(windows), CHUNK):
        fields = [layout_field(stage, [each]).reshape(-1) for each in windows[start : start + CHUNK]]
        counts.append(listening.counts(listening.heard(np.stack(fields))).mean(axis=1))
    return np.asarray(np.concatenate(counts) - before).reshape(len(middles[0]), len(middles[1]))
