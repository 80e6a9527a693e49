"""Where in the roof a window of a size that one can buy may be cut: between the timbers, over the inside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from hutwright import units
from hutwright.catalogue.roof_windows import REBATE, SHEETS, WindowSheet
from hutwright.layout.faces import Face3, inner_skin, outer_faces
from hutwright.layout.members import free_spans, strips
from hutwright.model.project import Project
from hutwright.plant.sky.table import RoofWindow

STEP = 0.05  # between places that are tried, at most; a quarter of a wavelength: ours to choose [m]
MILLIMETRE = 1e-3  # places and sizes are whole ones [m]
TOUCH = 1e-9  # what is nearer touches without crossing [m]
ROOF = "roof"
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WindowPlace:
    """A window that may be cut: its sheet, and its hole in the measures of the roof's outer face [m]."""

    face: str
    across: Span
    along: Span
    sheet: WindowSheet

    @property
    def area(self) -> float:
        """Area of the hole [m2]."""
        return (self.across[1] - self.across[0]) * (self.along[1] - self.along[0])

    def meets(self, other: WindowPlace) -> bool:
        """Whether the sheets of two windows would lie on each other."""
        return self.face == other.face and all(
            own[0] < their[1] + 2 * REBATE - TOUCH and their[0] < own[1] + 2 * REBATE - TOUCH
            for own, their in ((self.across, other.across), (self.along, other.along))
        )

    def spelled(self, pane: object) -> dict[str, object]:
        """The opening as the description has it, with a pane as spelled there."""
        return {
            "place": {
                "face": self.face,
                "from_left": _text(self.across[0]),
                "from_low_edge": _text(self.along[0]),
            },
            "size": {
                "width": _text(self.across[1] - self.across[0]),
                "length": _text(self.along[1] - self.along[0]),
            },
            "pane": pane,
        }


def _text(value: float) -> str:
    return units.write_as(round(value, 3), units.LENGTH, "mm")


def window_places(
    project: Project, *, sheets: Sequence[WindowSheet] = SHEETS, step: float = STEP
) -> tuple[WindowPlace, ...]:
    """Every window that is tried, in order of face, sheet and place.

    Its hole lies over the inside of the hut and crosses no timber of the roof; its sheet lies on the roof and
    on no opening that stays.

    Parameters
    ----------
    project : Project
        The project; its described openings in the roof count as taken.
    sheets : Sequence
        The sheets.
    step : float
        Between places, at most; the first and the last that fit are always among them. [m]
    """
    taken = described_places(project)
    found = []
    for face in outer_faces(project):
        if not face.name.startswith(ROOF):
            continue
        inner = next(each for each in inner_skin(project) if each.name == face.name)
        bays = _bays(project, face, inner)
        for sheet in sheets:
            for width, length in dict.fromkeys((sheet.clear, sheet.clear[::-1])):
                for across_bay, along_bay in bays:
                    for left in _starts(across_bay, width, step):
                        for low in _starts(along_bay, length, step):
                            across, along = (left, left + width), (low, low + length)
                            found.append(WindowPlace(face.name, across, along, sheet))
    return tuple(each for each in found if not any(each.meets(other) for other in taken))


def described_places(project: Project) -> tuple[WindowPlace, ...]:
    """What the described openings in the roof take, as windows without a rebate of their own."""
    roofs = [each.name for each in outer_faces(project) if each.name.startswith(ROOF)]
    found = []
    for name, opening in project.openings.items():
        place, size = opening.place, opening.size
        if not place.face.value.startswith(ROOF):
            continue
        across = (place.from_left, place.from_left + size.width)
        along = (place.from_low_edge, place.from_low_edge + size.length)
        face = place.face.value if place.face.value in roofs else roofs[0]
        sheet = WindowSheet(name=name, width=size.width, length=size.length, source=SHEETS[0].source)
        found.append(WindowPlace(face, across, along, sheet))
    return tuple(found)


def on_the_skin(project: Project, windows: Sequence[WindowPlace]) -> tuple[RoofWindow, ...]:
    """The windows straight below, in the measures of the roof's inner face.

    Parameters
    ----------
    project : Project
        The project.
    windows : Sequence
        The windows.
    """
    outer = {each.name: each for each in outer_faces(project)}
    inner = {each.name: each for each in inner_skin(project)}
    found = []
    for each in windows:
        corners = outer[each.face].point(np.array(each.across), np.array(each.along))
        low, high = inner[each.face].place(corners).tolist()
        found.append(RoofWindow(each.face, (low[0], high[0]), (low[1], high[1])))
    return tuple(found)


def together(windows: Sequence[WindowPlace]) -> NDArray[np.bool_]:
    """Which two of the windows can be cut both, (windows, windows).

    Parameters
    ----------
    windows : Sequence
        The windows.
    """
    faces = np.array([each.face for each in windows])
    apart = faces[:, None] != faces
    for ends in (
        np.array([each.across for each in windows]).reshape(-1, 2),
        np.array([each.along for each in windows]).reshape(-1, 2),
    ):
        after = ends[:, None, 0] >= ends[None, :, 1] + 2 * REBATE - TOUCH
        apart |= after | after.T
    return np.asarray(apart)


# ---- where there is room ----------------------------------------------------------------------------------


def _bays(project: Project, face: Face3, inner: Face3) -> tuple[tuple[Span, Span], ...]:
    """The rectangles of a roof face that no timber takes, over the inside and within the roof's rim."""
    low, high = _over_the_inside(face, inner)
    across = _cut(free_spans(project, face.name), low[0], high[0])
    crossing = sorted(
        (each.start, each.end) for each in strips(project) if each.face == face.name and not each.runs_along
    )
    along = _cut(_between(crossing, low[1], high[1]), low[1], high[1])
    return tuple((one, other) for one in across for other in along)


def _over_the_inside(face: Face3, inner: Face3) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least and greatest place of a hole on an outer face: over the inner face, its sheet within the rim."""
    below = face.place(inner.corners)
    rim = face.place(face.corners)
    low = np.maximum(below.min(axis=0), rim.min(axis=0) + REBATE)
    return low, np.minimum(below.max(axis=0), rim.max(axis=0) - REBATE)


def _between(taken: Sequence[Span], start: float, end: float) -> Iterator[Span]:
    for low, high in taken:
        if low > start:
            yield start, min(low, end)
        start = max(start, high)
    yield start, end


def _cut(spans: Sequence[Span] | Iterator[Span], low: float, high: float) -> list[Span]:
    cut = ((max(start, low), min(end, high)) for start, end in spans)
    return [(start, end) for start, end in cut if end - start > MILLIMETRE]


def _starts(bay: Span, size: float, step: float) -> list[float]:
    """Where a hole of some size may begin in a bay, in whole millimetres, evenly from end to end."""
    first = ceil((bay[0] - TOUCH) / MILLIMETRE)
    last = floor((bay[1] - size + TOUCH) / MILLIMETRE)
    if last < first:
        return []
    count = ceil((last - first) * MILLIMETRE / step - TOUCH)
    places = np.unique(np.rint(np.linspace(first, last, count + 1)))
    return [float(each) * MILLIMETRE for each in places]
