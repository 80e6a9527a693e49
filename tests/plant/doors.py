"""Doors for the tests of the plant, and the demos with one thing or another changed."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from hutwright.model.controller import SpeedShares
from hutwright.model.door import DoorKind
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from tests import answered
from tests.layout.doors import door_of, plain, with_kind

CALM = Conditions(293.15)
THICK = 0.015  # of the orchard's leaf [m]


def demo(name: str, variant: str | None = None) -> Project:
    """A demo, or one of its variants; the same object each time."""
    return answered.demo(name, variant).project


def sliding() -> Project:
    """The sports field's sliding door."""
    return demo("sports_field")


def lifting(*, counterweight: float = 3.0, tilt: float = 0.1) -> Project:
    """A lift door with a counterweight on a leaning track, pulled straight by the orchard's drive."""
    project = with_kind(DoorKind.LIFT, opens=0.5)
    door = door_of(project)
    assert door.track is not None
    door = replace(door, counterweight=counterweight, track=replace(door.track, tilt=tilt))
    return replace(project, door=door, drive=plain().drive)


def with_door(project: Project, **fields: object) -> Project:
    """The project with some fields of its door changed."""
    return replace(project, door=replace(door_of(project), **fields))  # type: ignore[arg-type]


def without_losses(project: Project) -> Project:
    """The project without friction of hinges or track, without seal and ice."""
    door = door_of(project)
    hinge = door.hinge and replace(door.hinge, friction=0.0)
    track = door.track and replace(door.track, friction=0.0)
    return with_door(project, hinge=hinge, track=track, seal=replace(door.seal, force=0.0), ice=0.0)


def at_speed(project: Project, *, normal: float, last: float, last_over: float) -> Project:
    """The project with other shares of duty."""
    assert project.controller is not None
    speed = SpeedShares(normal=normal, last=last, last_over=last_over)
    return replace(project, controller=replace(project.controller, speed=speed))


def reach_of(project: Project) -> float:
    """Distance of a top-hinged leaf's farther bottom corner from its hinge, from the bare numbers [m]."""
    door = door_of(project)
    assert door.hinge is not None
    assert door.hinge.z is not None
    bottom = door.opening.sill + door.opening.height / 2 - door.leaf.height / 2
    across = max(abs(door.hinge.y), abs(-THICK - door.hinge.y))
    return hypot(door.hinge.z - bottom, across)
