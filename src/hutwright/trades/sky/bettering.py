"""What would let the machine hear more: each as changes of the file, to be tried."""

from __future__ import annotations

from collections.abc import Iterator

from hutwright import units
from hutwright.catalogue.dielectrics import METAL, dielectric
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.layout.faces import outer_faces
from hutwright.layout.frame import frame
from hutwright.layout.members import free_spans
from hutwright.model.hut import Layer
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.sky.field import antenna_at
from hutwright.plant.sky.inside import Season, State
from hutwright.plant.sky.readiness import is_metal

HIGHER = (0.10,)  # by which an antenna is lifted: ours to choose [m]
UNDER_ROOF = 0.06  # that stays free above it: ours to choose [m]
WIDTHS = (0.40, 0.30, 0.25)  # of panes that fit between rafters: ours to choose [m]
LENGTH = 0.40  # of such a pane: ours to choose [m]
PANE = {"material": "polycarbonate", "thickness": "5 mm"}
BOARDS = "22 mm softwood boards"
FELT = "4 mm bitumen felt"
PANEL = "18 mm plywood"
CLADDING = "2 mm plastic sheet"

Spot = tuple[str, float, float, float]  # face, from left, from low edge, width [m]


def better(project: Project, state: State, *, shared: bool) -> tuple[Pick, ...]:
    """What would let more satellites count, the cheapest first.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state that is asked about.
    shared : bool
        Whether the roof antenna has to hear them too.
    """
    return tuple(
        each
        for each in (
            _moved_roof_antenna(project) if shared else None,
            _higher(project),
            _more_windows(project),
            _timber(project),
            _dry_walls(project) if state.season is Season.RAIN else None,
        )
        if each is not None
    )


def _text(value: float) -> str:
    return units.write_as(value, units.LENGTH, "m")


def _moved_roof_antenna(project: Project) -> Pick | None:
    if project.roof_antenna is None or not any(up > 0.0 for _, up in project.roof_antenna.skyline):
        return None
    move = Option("move the roof antenna to where nothing stands round it", {("roof_antenna", "skyline"): []})
    return Pick(words="another place for the roof antenna", options=(move,), effort=Effort.REWIRE)


def _higher(project: Project) -> Pick | None:
    up = antenna_at(project, spread=False).places[0]
    most = float(frame(project).underside(up[0], up[1])) - UNDER_ROOF
    options = [
        Option(
            f"lift the machine's antenna by {round(1e3 * by)} mm", {("machine", "antenna", "up"): _text(z)}
        )
        for by in HIGHER
        if (z := float(up[2]) + by) <= most
    ]
    if not options:
        return None
    return Pick(words="a higher antenna on the machine", options=tuple(options), effort=Effort.BUY_SMALL)


def _timber(project: Project) -> Pick | None:
    """The choice of timber in place of metal, in the roof first, then in the walls too."""
    hut = project.hut
    assert hut is not None
    roof, walls = hut.roof.build_up, hut.walls.build_up
    changes: dict[Keys, object] = {}
    options = []
    if is_metal(project.build_ups.get(roof, ())):
        kept = [_spelled(each) for each in project.build_ups[roof] if not _is_metal(each)]
        changes["build_ups", roof] = [FELT, *(kept or [PANEL])]
        options.append(Option("cover the roof with felt on timber in place of metal", dict(changes)))
    if is_metal(project.build_ups.get(walls, ())):
        changes["build_ups", walls] = [BOARDS]
        options.append(Option("build the walls of timber in place of metal", dict(changes)))
    if not options:
        return None
    return Pick(words="timber in place of metal", options=tuple(options), effort=Effort.REBUILD)


def _dry_walls(project: Project) -> Pick | None:
    """The choice of something before the walls that keeps the rain off them."""
    hut = project.hut
    assert hut is not None
    walls = hut.walls.build_up
    layers = project.build_ups.get(walls, ())
    if any(dielectric(each.material).tight for each in layers[:1]):
        return None
    clad: dict[Keys, object] = {("build_ups", walls): [CLADDING, *(_spelled(each) for each in layers)]}
    words = "clad the walls with plastic sheet, which keeps the rain off the timber"
    return Pick(words="walls that stay dry", options=(Option(words, clad),), effort=Effort.REBUILD)


def _is_metal(layer: Layer) -> bool:
    return dielectric(layer.material).dry is METAL


def _spelled(layer: Layer) -> str:
    return f"{1e3 * layer.thickness:g} mm {layer.material}"


# ---- windows ----------------------------------------------------------------------------------------------


def _more_windows(project: Project) -> Pick | None:
    """The choice of one window more between the rafters, nearest to the antenna, and of two."""
    changes: dict[Keys, object] = {}
    options = []
    spots = sorted(_spots(project), key=lambda spot: _distance(project, spot))
    for number, (face, left, low, width) in enumerate(spots[:2], 1):
        name = next(f"window_{n}" for n in range(number, 99) if f"window_{n}" not in project.openings)
        changes["openings", name] = {
            "place": {"face": face, "from_left": _text(left), "from_low_edge": _text(low)},
            "size": {"width": _text(width), "length": _text(LENGTH)},
            "pane": PANE,
        }
        size = f"{round(1e3 * width)} x {round(1e3 * LENGTH)} mm"
        count = "a window" if number == 1 else "two windows"
        options.append(Option(f"cut {count} of {size} into the roof between the rafters", dict(changes)))
    if not options:
        return None
    return Pick(words="more windows in the roof", options=tuple(options), effort=Effort.REBUILD)


def _spots(project: Project) -> Iterator[Spot]:
    """Places between the rafters that a window fits into, as near to the antenna as they go."""
    sizes = frame(project)
    for face in outer_faces(project):
        if not face.name.startswith("roof"):
            continue
        low = float(face.place(antenna_at(project, spread=False).places[0])[1]) - LENGTH / 2
        if face.extent[1] - 2 * sizes.wall < LENGTH:
            continue
        low = min(max(low, sizes.wall), face.extent[1] - sizes.wall - LENGTH)
        for start, end in free_spans(project, face.name):
            left, right = max(start, sizes.wall), min(end, face.extent[0] - sizes.wall)
            width = next((each for each in WIDTHS if each <= right - left), None)
            if width is None:
                continue
            spot = (face.name, (left + right - width) / 2, low, width)
            if not _taken(project, spot):
                yield spot


def _distance(project: Project, spot: Spot) -> float:
    face = next(each for each in outer_faces(project) if each.name == spot[0])
    middle = face.point(spot[1] + spot[3] / 2, spot[2] + LENGTH / 2)
    away = middle - antenna_at(project, spread=False).places[0]
    return float(away @ away)


def _taken(project: Project, spot: Spot) -> bool:
    face, left, low, width = spot
    return any(
        each.place.face.value == face
        and left < each.place.from_left + each.size.width
        and each.place.from_left < left + width
        and low < each.place.from_low_edge + each.size.length
        and each.place.from_low_edge < low + LENGTH
        for each in project.openings.values()
    )


def over_antenna(project: Project, name: str) -> Pick | None:
    """The choice of a window that lies over the antenna, as far as the roof goes; None for one in a wall.

    Parameters
    ----------
    project : Project
        The project.
    name : str
        The window's name.
    """
    opening, sizes = project.openings[name], frame(project)
    face = next((each for each in outer_faces(project) if each.name == opening.place.face.value), None)
    if face is None or not face.name.startswith("roof"):
        return None
    antenna = antenna_at(project, spread=False).places[0]
    most = face.extent[1] - sizes.wall - opening.size.length
    low = min(max(float(face.place(antenna)[1]) - opening.size.length / 2, sizes.wall), most)
    if abs(low - opening.place.from_low_edge) < UNDER_ROOF:
        return None
    change: dict[Keys, object] = {("openings", name, "place", "from_low_edge"): _text(round(low, 2))}
    move = Option(f"cut it {_text(round(low, 2))} from the low edge, over the antenna", change)
    return Pick(words="another place along the slope", options=(move,), effort=Effort.REBUILD)
