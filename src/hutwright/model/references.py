"""What the parts of a description say of each other: names that must exist, places that must lie inside."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from hutwright.catalogue.bridges import BRIDGES
from hutwright.errors import ModelError
from hutwright.model.circuit import BRIDGE, DRIVE, FIXED_NODES
from hutwright.model.door import DoorOpening, LinkageKind
from hutwright.model.hut import Along, BuildUps, Face, Hut, Member, Opening, RoofForm, Side
from hutwright.model.project import Project

ROUNDING = 1e-9  # lengths that agree within a nanometre agree [m]
MOST_LISTED = 12  # names in one sentence; ours to choose
HALVES = (Face.ROOF_LEFT, Face.ROOF_RIGHT)
ROOFS = (Face.ROOF, *HALVES)


def contradictions(project: Project) -> tuple[ModelError, ...]:
    """Every contradiction between the parts of a project, in the order of the file."""
    return (
        *_build_ups(project),
        *_geometry(project),
        *_net(project),
        *_regulators(project),
        *_loops(project),
        *_channels(project),
    )


def nodes(project: Project) -> tuple[str, ...]:
    """The nodes that a cable may join: supplies, regulators, the bridge and the drive."""
    return (*project.supplies, *project.regulators, BRIDGE, DRIVE)


def _unknown(field: str, name: str, known: tuple[str, ...] | list[str], what: str, remedy: str) -> ModelError:
    listed = ", ".join(known[:MOST_LISTED]) if known else "none is described"
    listed += " …" if len(known) > MOST_LISTED else ""
    return ModelError(field, name, f"{what}: {listed}", remedy)


def _build_ups(project: Project) -> Iterator[ModelError]:
    used: list[tuple[str, str]] = []
    if project.hut is not None:
        used += [
            ("hut.roof.build_up", project.hut.roof.build_up),
            ("hut.walls.build_up", project.hut.walls.build_up),
        ]
    if project.door is not None:
        used.append(("door.leaf.build_up", project.door.leaf.build_up))
    told: set[str] = set()
    for field, name in used:
        fault = unusable_build_up(field, name, project.build_ups)
        if fault is not None and fault.field not in told:
            told.add(fault.field)
            yield fault
    for name in project.build_ups:
        fault = unusable_build_up("", name, project.build_ups)
        if fault is not None and fault.field not in told:
            yield fault


def unusable_build_up(field: str, name: str, known: BuildUps) -> ModelError | None:
    """Why a build-up cannot be used under some name; None where it can.

    Parameters
    ----------
    field : str
        Address of the value that names it.
    name : str
        Its name.
    known : Mapping
        All build-ups, by name.
    """
    if name not in known:
        remedy = f'add {name} = ["22 mm softwood boards"] under [build_ups], or correct the name'
        return _unknown(field, name, list(known), "a name under [build_ups]", remedy)
    if not known[name]:
        like = 'write ["22 mm softwood boards"]'
        return ModelError(f"build_ups.{name}", "an empty list", "at least one layer", like)
    return None


def wall_thickness(project: Project) -> float:
    """Thickness of the walls, all layers together [m]."""
    if project.hut is None:
        return 0.0
    return sum(layer.thickness for layer in project.build_ups.get(project.hut.walls.build_up, ()))


def _linkage_fits(project: Project) -> Iterator[ModelError]:
    door, linkage = project.door, project.linkage
    if door is None or linkage is None or not door.kind.hinged:
        return
    if linkage.kind is LinkageKind.DIRECT:
        yield ModelError(
            "linkage.kind",
            "direct",
            f"a rod for a {door.kind.value} leaf",
            'write kind = "rod" and give linkage.foot and linkage.head',
        )


def _geometry(project: Project) -> Iterator[ModelError]:
    yield from _linkage_fits(project)
    hut = project.hut
    if hut is None:
        return
    wall = wall_thickness(project)
    width, depth = hut.inside.width + 2 * wall, hut.inside.depth + 2 * wall
    for name, member in project.members.items():
        yield from _member_fits(name, member, hut, wall)
    for name, opening in project.openings.items():
        yield from _opening_fits(name, opening, hut, wall)
    if project.door is not None:
        yield from _door_fits(project.door.opening, hut, width)
    if project.machine is not None and project.machine.parked is not None:
        parked = project.machine.parked
        for axis, most in (("x", width), ("y", depth)):
            if not 0.0 <= getattr(parked, axis) <= most:
                yield ModelError(
                    f"machine.parked.{axis}",
                    f"{getattr(parked, axis):g} m",
                    f"inside the hut: 0..{most:.3f} m",
                    "measure from the left outer corner of the door wall",
                )


def _door_fits(hole: DoorOpening, hut: Hut, width: float) -> Iterator[ModelError]:
    right, top = hole.left + hole.width, hole.sill + hole.height
    if right > width + ROUNDING:
        yield ModelError(
            "door.opening.width",
            f"a hole that ends {right:.3f} m from the left corner",
            f"inside the wall, which is {width:.3f} m wide outside",
            "move or narrow the hole",
        )
    if top > hut.inside.front + ROUNDING:
        yield ModelError(
            "door.opening.height",
            f"a hole that ends {top:.3f} m above the floor",
            f"below the wall's inner height of {hut.inside.front:.3f} m",
            "lower the hole or raise the wall",
        )


def _member_fits(name: str, member: Member, hut: Hut, wall: float) -> Iterator[ModelError]:
    over = hut.roof.overhang + ROUNDING
    across, along = face_size(Face.ROOF, hut, wall)
    walls = max(hut.inside.width, hut.inside.depth) + 2 * wall
    most = {Along.SLOPE: across, Along.EAVES: along, Along.UPRIGHT: walls}[member.along]
    for number, place in enumerate(member.at):
        if not -over <= place <= most + over:
            yield ModelError(
                f"members.{name}.at.{number}",
                f"{place:g} m",
                f"within the hut's {most:.3f} m",
                "measure from the left outer corner",
            )


def _opening_fits(name: str, opening: Opening, hut: Hut, wall: float) -> Iterator[ModelError]:
    place, size = opening.place, opening.size
    double = hut.roof.form is RoofForm.DOUBLE_PITCH
    if place.face is Face.ROOF if double else place.face in HALVES:
        wanted = (
            "'roof_left' or 'roof_right' of a double-pitch roof" if double else "'roof', which is one face"
        )
        remedy = "name the half of the roof" if double else 'write face = "roof"'
        yield ModelError(f"openings.{name}.place.face", place.face.value, wanted, remedy)
        return
    across, along = face_size(place.face, hut, wall)
    ends = (place.from_left, place.from_left + size.width)
    if place.face not in ROOFS:  # lowest over one of its upper corners: no roof sags
        along = min(_wall_height(place.face, hut, wall, min(max(end, 0.0), across)) for end in ends)
    for field, start, extent, most in (
        ("from_left", place.from_left, size.width, across),
        ("from_low_edge", place.from_low_edge, size.length, along),
    ):
        if start < 0.0 or start + extent > most + ROUNDING:
            yield ModelError(
                f"openings.{name}.place.{field}",
                f"an opening from {start:.3f} to {start + extent:.3f} m",
                f"inside the face, which runs from 0 to {most:.3f} m",
                "move it, make it smaller, or choose another face",
            )


def face_size(face: Face, hut: Hut, wall: float) -> tuple[float, float]:
    """Width and greatest length of a face from outside, along the slope, a roof's overhang left out [m].

    Parameters
    ----------
    face : Face
        The face; on a roof of one plane its halves are that plane.
    hut : Hut
        The hut.
    wall : float
        Thickness of its walls. [m]
    """
    width, depth = hut.inside.width + 2 * wall, hut.inside.depth + 2 * wall
    if face not in ROOFS:
        across = width if face in (Face.FRONT, Face.BACK) else depth
        return across, max(_wall_height(face, hut, wall, place) for place in (0.0, across / 2, across))
    rise_x, rise_y = _rises(hut)
    if hut.roof.form is RoofForm.DOUBLE_PITCH:
        return depth, width / 2 * hypot(1.0, rise_x)
    return (depth, width * hypot(1.0, rise_x)) if rise_x else (width, depth * hypot(1.0, rise_y))


def _rises(hut: Hut) -> tuple[float, float]:
    """Rise of the roof per length to the right, on its left half, and into the hut [-]."""
    inside, roof = hut.inside, hut.roof
    low, high = sorted((inside.front, inside.back))
    if roof.form is RoofForm.DOUBLE_PITCH and roof.ridge is not None:
        return (roof.ridge - high) / (inside.width / 2), 0.0
    if roof.form is RoofForm.MONO_PITCH and roof.high in (Side.LEFT, Side.RIGHT):
        return (high - low) / inside.width * (1 if roof.high is Side.RIGHT else -1), 0.0
    return 0.0, (inside.back - inside.front) / inside.depth


def _wall_height(face: Face, hut: Hut, wall: float, across: float) -> float:
    """Height of a wall's outer face up to the roof's underside, over a place across it [m]."""
    inside = hut.inside
    width, depth = inside.width + 2 * wall, inside.depth + 2 * wall
    x = {Face.FRONT: across, Face.BACK: width - across, Face.LEFT: 0.0, Face.RIGHT: width}[face]
    y = {Face.FRONT: 0.0, Face.BACK: depth, Face.LEFT: depth - across, Face.RIGHT: across}[face]
    rise_x, rise_y = _rises(hut)
    if hut.roof.form is RoofForm.DOUBLE_PITCH:
        return max(inside.front, inside.back) + rise_x * (min(x, width - x) - wall)
    if rise_x > 0.0:
        return min(inside.front, inside.back) + rise_x * (x - wall)
    if rise_x < 0.0:
        return max(inside.front, inside.back) + rise_x * (x - wall)
    return inside.front + rise_y * (y - wall)


def _net(project: Project) -> Iterator[ModelError]:
    known = nodes(project)
    only_supplies = project.supplies.keys() - {*project.regulators, *FIXED_NODES}
    fed: dict[str, str] = {}
    for name, cable in project.cables.items():
        if cable.from_ not in known or cable.from_ == DRIVE:
            yield _unknown(
                f"cables.{name}.from",
                cable.from_,
                [n for n in known if n != DRIVE],
                "a node",
                "correct the name or describe that node",
            )
        if cable.to not in known or cable.to in only_supplies:
            ends = [n for n in known if n not in only_supplies]
            yield _unknown(
                f"cables.{name}.to",
                cable.to,
                ends,
                "a node that is no supply",
                "correct the name or describe that node",
            )
        if cable.to in fed:
            yield ModelError(
                f"cables.{name}.to",
                cable.to,
                f"a node that no other cable feeds; {fed[cable.to]} feeds it",
                "join the two cables into one, or feed another node",
            )
        fed[cable.to] = name
        if cable.fuse is not None and cable.fuse not in project.fuses:
            yield _unknown(
                f"cables.{name}.fuse",
                cable.fuse,
                list(project.fuses),
                "a name under [fuses]",
                f"describe [fuses.{cable.fuse}] or correct the name",
            )
    shared = set(project.supplies) & set(project.regulators)
    for name in sorted(shared | ({BRIDGE, DRIVE} & {*project.supplies, *project.regulators})):
        table = "regulators" if name in project.regulators else "supplies"
        yield ModelError(f"{table}.{name}", name, "a name that no other node has", "rename one of the two")


def _regulators(project: Project) -> Iterator[ModelError]:
    ends = {cable.to for cable in project.cables.values()}
    sources = [node for node in nodes(project) if node != DRIVE]
    for name, regulator in project.regulators.items():
        field = f"regulators.{name}.fed_by"
        if regulator.fed_by is None and name not in ends:
            yield ModelError(
                field,
                "nothing",
                "the node it takes from, or a cable that leads to it",
                f'add fed_by = "{sources[0]}"',
            )
        elif regulator.fed_by is not None and name in ends:
            yield ModelError(
                field,
                regulator.fed_by,
                "nothing, because a cable leads to it",
                "take out fed_by or the cable",
            )
        elif regulator.fed_by is not None and (regulator.fed_by not in sources or regulator.fed_by == name):
            yield _unknown(
                field,
                regulator.fed_by,
                [n for n in sources if n != name],
                "another node",
                "correct the name or describe that node",
            )
    logic = project.electronics.logic if project.electronics else None
    if logic is not None and logic.fed_by not in project.regulators:
        remedy = f"describe [regulators.{logic.fed_by}] or correct the name"
        yield _unknown(
            "electronics.logic.fed_by",
            logic.fed_by,
            list(project.regulators),
            "a name under [regulators]",
            remedy,
        )


def _channels(project: Project) -> Iterator[ModelError]:
    bridge = project.electronics.bridge if project.electronics else None
    kind = BRIDGES.get(bridge.kind) if bridge else None
    if bridge is not None and kind is not None and bridge.paralleled > kind.channels:
        yield ModelError(
            "electronics.bridge.paralleled",
            str(bridge.paralleled),
            f"at most the {kind.channels} of a {kind.name}",
            f"write {kind.channels}, or choose another kind",
        )


def _loops(project: Project) -> Iterator[ModelError]:
    before = {
        cable.to: (cable.from_, f"cables.{name}.from")
        for name, cable in project.cables.items()
        if cable.to not in project.supplies  # blamed by itself
    }
    for name, regulator in project.regulators.items():
        if regulator.fed_by is not None:
            before[name] = (regulator.fed_by, f"regulators.{name}.fed_by")
    told: set[str] = set()
    for start in before:
        walked = {start: None}  # in order
        node = start
        while node in before and (node := before[node][0]) not in walked:
            walked[node] = None
        if node == start and len(walked) > 1 and told.isdisjoint(walked):
            told |= walked.keys()
            shown = list(walked)[:MOST_LISTED] + ["…"] * (len(walked) > MOST_LISTED)
            yield ModelError(
                before[start][1],
                f"a loop: {' <- '.join([*shown, start])}",
                "every node fed from a supply",
                "cut the loop: feed one of these nodes from a supply",
            )
