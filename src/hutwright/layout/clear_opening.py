"""What is left of the hole with the leaf where it really hangs, for a machine that drives straight out."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.layout.leaf import Rectangle, hole, leaf_solid
from hutwright.layout.solids import parked_machine
from hutwright.model.project import Project


@dataclass(frozen=True, slots=True)
class ClearOpening:
    """What is left for a machine of a given size and place [m].

    `width` is the widest way for a machine of its height, `height` (over the sill) the most room over a
    machine of its width at its place; `left` and `right` are what is spare beside it there, negative where it
    does not pass.
    """

    width: float
    height: float
    left: float
    right: float


def leaf_shadow(project: Project, travel: float) -> Rectangle:
    """The leaf at a travel as seen from straight in front [m]."""
    corners = leaf_solid(project, travel).corners
    (left, _, low), (right, _, high) = corners.min(axis=0), corners.max(axis=0)
    return Rectangle(float(left), float(right), float(low), float(high))


def clear_opening(
    project: Project, travel: float, *, width: float, height: float, middle: float
) -> ClearOpening:
    """What is left of the hole for a machine.

    Parameters
    ----------
    project : Project
        The project.
    travel : float
        Of the leaf, from shut. [rad or m]
    width : float
        Of the machine. [m]
    height : float
        Of the machine, over the sill. [m]
    middle : float
        Of the machine, across the front. [m]
    """
    free, leaf = hole(project), leaf_shadow(project, travel)
    start, end = middle - width / 2, middle + width / 2
    left, right, wide = free.left, free.right, free.right - free.left
    if leaf.low < free.low + height and leaf.high > free.low:  # in the band that the machine passes
        beside_left = max(0.0, min(leaf.left, free.right) - free.left)
        beside_right = max(0.0, free.right - max(leaf.right, free.left))
        if leaf.left < free.right and leaf.right > free.left:
            wide = max(beside_left, beside_right)
            left = left if beside_left > beside_right else leaf.right
            right = right if beside_right > beside_left else leaf.left
    tall = free.high - free.low
    if leaf.left < end and leaf.right > start and leaf.low < free.high and leaf.high > free.low:
        tall = max(leaf.low - free.low, free.high - leaf.high, 0.0)
    return ClearOpening(wide, tall, start - left, right - end)


def clear_for_machine(project: Project, travel: float) -> ClearOpening:
    """What is left of the hole for the described machine where it is parked."""
    machine, parked = parked_machine(project)
    return clear_opening(
        project, travel, width=machine.body.width, height=machine.body.height, middle=parked.x
    )
