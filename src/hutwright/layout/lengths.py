"""Every length that a drawing shows, by name [m]."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from hutwright.layout.faces import Face3, outer_face, outer_faces
from hutwright.layout.frame import frame, leaf_thickness, slope_length
from hutwright.layout.leaf import edge_radius, full_travel, hole, shut_leaf
from hutwright.layout.linkage import is_direct, rod_length
from hutwright.layout.members import free_spans
from hutwright.model.door import Door, LinkageKind, Point
from hutwright.model.project import Project

Named = Iterator[tuple[str, float]]


def lengths(project: Project) -> Mapping[str, float]:
    """Every length of what is described, by a name in words joined by dots [m]."""
    return dict(
        (
            *_hut(project),
            *_members(project),
            *_openings(project),
            *_door(project),
            *_linkage(project),
            *_machine(project),
            *_lane(project),
        )
    )


def _hut(project: Project) -> Named:
    hut = project.hut
    if hut is None:
        return
    sizes = frame(project)
    yield "hut.outer_width", sizes.width
    yield "hut.outer_depth", sizes.depth
    yield "hut.inner_width", sizes.inner_width
    yield "hut.inner_depth", sizes.inner_depth
    yield "hut.wall_thickness", sizes.wall
    yield "hut.roof_thickness", sizes.roof
    yield "hut.inner_height_front", float(sizes.underside(sizes.width - sizes.wall, sizes.wall))
    yield "hut.inner_height_back", float(sizes.underside(sizes.width - sizes.wall, sizes.depth - sizes.wall))
    corners = {
        "front_left": (0.0, 0.0),
        "front_right": (sizes.width, 0.0),
        "back_left": (0.0, sizes.depth),
        "back_right": (sizes.width, sizes.depth),
    }
    for name, place in corners.items():
        yield f"hut.wall_height_{name}", float(sizes.underside(*place))
    if sizes.ridge is not None:
        yield "hut.ridge_height_inside", float(sizes.underside(sizes.ridge, 0.0))
    tops = [face.corners[:, 2].max() for face in _roofs(project)]
    yield "hut.greatest_height", float(max(tops))
    yield "roof.overhang", sizes.overhang
    yield "roof.slope_length", slope_length(sizes)
    roof = _roofs(project)[0]
    yield "roof.width", float(np.ptp(roof.place(roof.corners)[:, 0]))
    if hut.base.thickness > 0.0:
        yield "base.thickness", hut.base.thickness
        yield "base.margin", hut.base.margin
        yield "base.width", sizes.width + 2 * hut.base.margin
        yield "base.depth", sizes.depth + 2 * hut.base.margin


def _roofs(project: Project) -> list[Face3]:
    return [face for face in outer_faces(project) if face.name.startswith("roof")]


def _members(project: Project) -> Named:
    for name, member in project.members.items():
        yield f"members.{name}.width", member.section[0]
        yield f"members.{name}.height", member.section[1]
        for number, at in enumerate(member.at):
            yield f"members.{name}.at.{number}", at
        for number, (left, right) in enumerate(zip(member.at, member.at[1:], strict=False)):
            yield f"members.{name}.spacing.{number}", right - left
    if project.hut is not None and project.members:
        for face in _roofs(project):
            for number, (start, end) in enumerate(free_spans(project, face.name)):
                yield f"{face.name}.clear_between_members.{number}", end - start


def _openings(project: Project) -> Named:
    for name, opening in project.openings.items():
        place, size = opening.place, opening.size
        yield f"openings.{name}.width", size.width
        yield f"openings.{name}.length", size.length
        yield f"openings.{name}.from_left", place.from_left
        yield f"openings.{name}.from_low_edge", place.from_low_edge
        if project.hut is not None:
            face = outer_face(project, place.face)
            across, along = face.extent
            yield f"openings.{name}.from_right", across - place.from_left - size.width
            yield f"openings.{name}.from_high_edge", along - place.from_low_edge - size.length


def _door(project: Project) -> Named:
    door = project.door
    if door is None:
        return
    seen, leaf = hole(project), shut_leaf(project)
    yield "door.hole_left", seen.left
    yield "door.hole_sill", seen.low
    yield "door.hole_width", door.opening.width
    yield "door.hole_height", door.opening.height
    yield "door.hole_top", seen.high
    if project.hut is not None:
        yield "door.hole_right", frame(project).width - seen.right
    yield "door.leaf_width", door.leaf.width
    yield "door.leaf_height", door.leaf.height
    yield "door.leaf_thickness", leaf_thickness(project)
    yield "door.leaf_left", leaf.left
    yield "door.leaf_low", leaf.low
    yield "door.overlap_left", seen.left - leaf.left
    yield "door.overlap_right", leaf.right - seen.right
    yield "door.overlap_low", seen.low - leaf.low
    yield "door.overlap_high", leaf.high - seen.high
    yield "door.gap_hinge_side", door.gaps.hinge_side
    yield "door.gap_sides", door.gaps.sides
    yield from _motion(project, door)


def _motion(project: Project, door: Door) -> Named:
    if door.hinge is not None and door.kind.hinged:
        if door.hinge.x is not None:
            yield "door.hinge_x", door.hinge.x
        yield "door.hinge_y", door.hinge.y
        if door.hinge.z is not None:
            yield "door.hinge_z", door.hinge.z
        yield "door.edge_radius", edge_radius(project)
        if door.open_angle is not None:
            yield "door.edge_travel", edge_radius(project) * door.open_angle
    elif door.track is not None:
        yield "door.travel", door.track.travel


def _linkage(project: Project) -> Named:
    link = project.linkage
    if link is None:
        return
    for name, pin in (("foot", link.foot), ("head", link.head)):
        if pin is not None and link.kind is LinkageKind.ROD:
            yield from _pin(f"linkage.{name}", pin)
    if project.door is None:
        return
    if not is_direct(project):
        yield "linkage.rod_shut", float(rod_length(project, 0.0))
        yield "linkage.rod_open", float(rod_length(project, full_travel(project)))
    if project.drive is not None and project.drive.length is not None:
        yield "drive.shortest", project.drive.length.shortest
        yield "drive.stroke", project.drive.length.stroke
        yield "drive.longest", project.drive.length.shortest + project.drive.length.stroke


def _pin(name: str, pin: Point) -> Named:
    yield f"{name}_x", pin.x
    yield f"{name}_y", pin.y
    yield f"{name}_z", pin.z


def _machine(project: Project) -> Named:
    machine = project.machine
    if machine is None:
        return
    yield "machine.length", machine.body.length
    yield "machine.width", machine.body.width
    yield "machine.height", machine.body.height
    if machine.parked is not None:
        yield "machine.parked_x", machine.parked.x
        yield "machine.parked_y", machine.parked.y
        yield "machine.nose_to_door", machine.parked.y - machine.body.length / 2
        if project.hut is not None:
            sizes = frame(project)
            back = sizes.depth - sizes.wall - machine.parked.y - machine.body.length / 2
            yield "machine.tail_to_back_wall", back
            yield "machine.side_to_left_wall", machine.parked.x - machine.body.width / 2 - sizes.wall
            right = sizes.width - sizes.wall - machine.parked.x - machine.body.width / 2
            yield "machine.side_to_right_wall", right


def _lane(project: Project) -> Named:
    dock = project.dock
    if dock is None:
        return
    if dock.lane is not None:
        yield "lane.length", dock.lane.length
        yield "lane.width", dock.lane.width
        yield "lane.rise", dock.lane.slope * dock.lane.length
    if dock.threshold is not None:
        yield "threshold.height", dock.threshold.height
    if dock.comes_home is not None:
        yield "dock.stops_at", dock.comes_home.stops_at
