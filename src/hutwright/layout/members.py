"""Rafters and other timbers in the roof, as strips of its faces that an opening must keep clear of.

A member that runs along the slope stands on a wall and starts where `at` says: measured from the left outer
corner of the door wall, or from the front outer corner where the slope runs to the left or right. Its width
is the first number of its section and lies on the far side of `at`. Members along the eaves are measured up
the slope from the outer face of the low wall, as places on the roof are. Upright members stand in the walls
and are left out here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hutwright.layout.faces import Face3, outer_face, outer_faces
from hutwright.model.hut import Along, Member
from hutwright.model.project import Project


@dataclass(frozen=True, slots=True)
class Strip:
    """What one timber takes of a roof face, in the face's own measures [m].

    `runs_along` says that it runs up the slope, so that `start` and `end` count across; else they count
    along.
    """

    member: str
    number: int
    face: str
    runs_along: bool
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Crossing:
    """An opening and a timber that cross, and over how much of the opening [m]."""

    opening: str
    member: str
    number: int
    overlap: float


def strips(project: Project) -> tuple[Strip, ...]:
    """The strips of every roof face that timbers take."""
    roofs = [face for face in outer_faces(project) if face.name.startswith("roof")]
    return tuple(
        strip
        for face in roofs
        for name, member in project.members.items()
        if member.along is not Along.UPRIGHT
        for strip in _strips(face, name, member)
    )


def _strips(face: Face3, name: str, member: Member) -> list[Strip]:
    width = member.section[0]
    if member.along is Along.EAVES:
        return [Strip(name, number, face.name, False, at, at + width) for number, at in enumerate(member.at)]
    axis = int(np.argmax(np.abs(face.right)))  # 0: spaced along x; 1: along y
    found = []
    for number, at in enumerate(member.at):
        ends = (np.array([at, at + width]) - face.corner[axis]) * face.right[axis]
        found.append(Strip(name, number, face.name, True, float(ends.min()), float(ends.max())))
    return found


def crossings(project: Project) -> tuple[Crossing, ...]:
    """Where a roof opening crosses a timber."""
    taken = strips(project)
    found = []
    for name, opening in project.openings.items():
        face = outer_face(project, opening.place.face).name
        across, along = opening.place.from_left, opening.place.from_low_edge
        for strip in taken:
            if strip.face != face:
                continue
            start, extent = (across, opening.size.width) if strip.runs_along else (along, opening.size.length)
            overlap = min(start + extent, strip.end) - max(start, strip.start)
            if overlap > 1e-9:
                found.append(Crossing(name, strip.member, strip.number, overlap))
    return tuple(found)


def free_spans(project: Project, face: str) -> tuple[tuple[float, float], ...]:
    """The clear spaces across a roof face, overhang too, between the timbers that run up its slope [m]."""
    (roof,) = [each for each in outer_faces(project) if each.name == face]
    across = roof.place(roof.corners)[:, 0]
    start, end = float(across.min()), float(across.max())
    taken = sorted((s.start, s.end) for s in strips(project) if s.face == face and s.runs_along)
    found = []
    for left, right in [*taken, (end, end)]:
        if left > start:
            found.append((start, min(left, end)))
        start = max(start, right)
    return tuple(found)
