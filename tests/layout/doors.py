"""Doors and huts of every kind for the tests of the layout, and strategies that vary them."""

from __future__ import annotations

from dataclasses import replace
from math import pi

from hypothesis import strategies as st

from hutwright.model.door import Door, DoorKind, Hinge, Linkage, LinkageKind, Point, SlideWay, Track
from hutwright.model.hut import Inside, RoofForm, Side
from hutwright.model.machine import Lane
from hutwright.model.project import Project
from tests.described import orchard

HINGED = (DoorKind.TOP_HINGED, DoorKind.BOTTOM_HINGED, DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)
THICK = 0.015  # of the orchard's leaf, 15 mm plywood


def plain() -> Project:
    """The orchard demo."""
    return orchard().project


def door_of(project: Project) -> Door:
    """Its door, which is there."""
    assert project.door is not None
    return project.door


def with_kind(
    kind: DoorKind, *, opens: float = 1.4, y: float = -0.008, way: SlideWay = SlideWay.LEFT
) -> Project:
    """The orchard with a leaf of another kind, hinged along its own edge and moved by a fitting linkage."""
    project = plain()
    door = door_of(project)
    left = door.opening.left + (door.opening.width - door.leaf.width) / 2
    low = door.opening.sill + (door.opening.height - door.leaf.height) / 2
    places = {
        DoorKind.TOP_HINGED: {"z": low + door.leaf.height},
        DoorKind.BOTTOM_HINGED: {"z": low},
        DoorKind.LEFT_HINGED: {"x": left},
        DoorKind.RIGHT_HINGED: {"x": left + door.leaf.width},
    }
    if kind in places:
        at = {"x": None, "z": None, **places[kind]}
        hinge = Hinge(y=y, friction=0.4, **at)
        door = replace(door, kind=kind, hinge=hinge, open_angle=opens)
        return replace(project, door=door)
    track = Track(way=way, travel=opens, friction=0.1, tilt=0.0)
    door = replace(door, kind=kind, hinge=None, open_angle=None, track=track)
    link = Linkage(kind=LinkageKind.DIRECT, foot=None, head=None, mount_stiffness=1e5)
    return replace(project, door=door, linkage=link, drive=None)


def with_pins(
    project: Project, foot: tuple[float, float, float], head: tuple[float, float, float]
) -> Project:
    """The project with the rod's pins elsewhere."""
    assert project.linkage is not None
    pins = [Point(x=x, y=y, z=z) for x, y, z in (foot, head)]
    link = replace(project.linkage, kind=LinkageKind.ROD, foot=pins[0], head=pins[1])
    return replace(project, linkage=link)


def with_roof(form: RoofForm, high: Side, front: float, back: float, ridge: float | None = None) -> Project:
    """The orchard under another roof."""
    project = plain()
    assert project.hut is not None
    inside = Inside(width=0.9, depth=1.1, front=front, back=back)
    roof = replace(project.hut.roof, form=form, high=high, ridge=ridge)
    return replace(project, hut=replace(project.hut, inside=inside, roof=roof))


def with_lane(project: Project, slope: float) -> Project:
    """The project with a lane of that slope."""
    assert project.dock is not None
    return replace(project, dock=replace(project.dock, lane=Lane(length=2.5, width=0.8, slope=slope)))


def mirrored(project: Project) -> Project:
    """A left- or right-hinged or sliding door seen in a mirror across the hut's middle."""
    assert project.hut is not None
    width = project.hut.inside.width + 2 * 0.022
    door = door_of(project)
    kinds = {DoorKind.LEFT_HINGED: DoorKind.RIGHT_HINGED, DoorKind.RIGHT_HINGED: DoorKind.LEFT_HINGED}
    opening = replace(door.opening, left=width - door.opening.left - door.opening.width)
    hinge, track, link = door.hinge, door.track, project.linkage
    if hinge is not None and hinge.x is not None:
        hinge = replace(hinge, x=width - hinge.x)
    if track is not None:
        track = replace(track, way=SlideWay.RIGHT if track.way is SlideWay.LEFT else SlideWay.LEFT)
    door = replace(door, kind=kinds.get(door.kind, door.kind), opening=opening, hinge=hinge, track=track)
    if link is not None and link.foot is not None and link.head is not None:
        foot, head = replace(link.foot, x=width - link.foot.x), replace(link.head, x=width - link.head.x)
        link = replace(link, foot=foot, head=head)
    machine = project.machine
    assert machine is not None
    assert machine.parked is not None
    machine = replace(machine, parked=replace(machine.parked, x=width - machine.parked.x))
    return replace(project, door=door, linkage=link, machine=machine)


angles = st.floats(0.1, pi)
shares = st.floats(0.0, 1.0)
hinged_doors = st.builds(with_kind, st.sampled_from(HINGED), opens=angles, y=st.floats(-0.04, 0.0))
straight_doors = st.builds(
    with_kind,
    st.sampled_from((DoorKind.LIFT, DoorKind.SLIDING)),
    opens=st.floats(0.05, 0.8),
    way=st.sampled_from(SlideWay),
)
doors = st.one_of(hinged_doors, straight_doors)


def _points(low: float, high: float) -> st.SearchStrategy[tuple[float, float, float]]:
    return st.tuples(st.floats(0.1, 0.8), st.floats(low, high), st.floats(0.05, 0.7))


rods = st.builds(with_pins, hinged_doors, foot=_points(0.2, 0.9), head=_points(-0.05, 0.1))
heights = st.floats(0.6, 1.2)
huts = st.one_of(
    st.builds(
        lambda a, b: with_roof(RoofForm.MONO_PITCH, Side.FRONT if a >= b else Side.BACK, a, b),
        heights,
        heights,
    ),
    st.builds(
        lambda side, a, b: with_roof(RoofForm.MONO_PITCH, side, a, b),
        st.sampled_from((Side.LEFT, Side.RIGHT)),
        heights,
        heights,
    ),
    st.builds(lambda a: with_roof(RoofForm.FLAT, Side.FRONT, a, a), heights),
    st.builds(
        lambda a, up: with_roof(RoofForm.DOUBLE_PITCH, Side.FRONT, a, a, a + up), heights, st.floats(0.0, 0.6)
    ),
)
