"""The door: opening, leaf, hinge or track, seal, edge, and the linkage that moves it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import pi
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.quantities import (
    Kilograms,
    Metres,
    Name,
    NewtonMetres,
    Newtons,
    NewtonsPerMetre,
    Radians,
    Share,
    above_zero,
    not_below_zero,
)


class DoorKind(Enum):
    """How the leaf moves."""

    TOP_HINGED = "top_hinged"
    LEFT_HINGED = "left_hinged"
    RIGHT_HINGED = "right_hinged"
    BOTTOM_HINGED = "bottom_hinged"
    LIFT = "lift"
    SLIDING = "sliding"

    @property
    def hinged(self) -> bool:
        """Whether the leaf turns on a hinge."""
        return self not in (DoorKind.LIFT, DoorKind.SLIDING)


class SlideWay(Enum):
    """Which way a sliding leaf opens, seen from outside."""

    LEFT = "left"
    RIGHT = "right"


class EdgeKind(Enum):
    """What the closing edge is made of."""

    HARD = "hard"
    SOFT = "soft"


class LinkageKind(Enum):
    """How the drive takes hold of the leaf."""

    ROD = "rod"
    DIRECT = "direct"


class ReleaseKind(Enum):
    """How the leaf is freed by hand."""

    NONE = "none"
    PIN = "pull pin"
    CLUTCH = "clutch"


@dataclass(frozen=True, kw_only=True, slots=True)
class DoorOpening:
    """The hole in the door wall.

    Attributes
    ----------
    left : float
        From the wall's left outer corner to the hole. [m]
    sill : float
        From the floor up to the hole. [m]
    width : float
        Clear width. [m]
    height : float
        Clear height. [m]
    """

    left: Metres
    sill: Metres
    width: Metres
    height: Metres

    def __post_init__(self) -> None:
        """Refuse a hole of no size or left of the wall."""
        above_zero(width=self.width, height=self.height)
        not_below_zero(left=self.left, sill=self.sill)


@dataclass(frozen=True, kw_only=True, slots=True)
class Leaf:
    """The moving leaf.

    Attributes
    ----------
    width : float
        Its width. [m]
    height : float
        Its height. [m]
    build_up : str
        Name of its build-up.
    mass : float
        Mass of the leaf itself, without fittings. [kg]
    fittings : float
        Mass of hinges, handle, strip and what else moves with it. [kg]
    """

    width: Metres
    height: Metres
    build_up: Name
    mass: Kilograms
    fittings: Kilograms

    def __post_init__(self) -> None:
        """Refuse a leaf of no size or mass."""
        above_zero(width=self.width, height=self.height, mass=self.mass)
        not_below_zero(fittings=self.fittings)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hinge:
    """The hinge line of a hinged leaf, in the hut's frame.

    Attributes
    ----------
    x : float or None
        Of an upright hinge line. [m]
    y : float
        In front of the wall negative. [m]
    z : float or None
        Of a level hinge line. [m]
    friction : float
        Friction moment of all hinges together. [N m]
    """

    x: Metres | None
    y: Metres
    z: Metres | None
    friction: NewtonMetres

    def __post_init__(self) -> None:
        """Refuse negative friction."""
        not_below_zero(friction=self.friction)


@dataclass(frozen=True, kw_only=True, slots=True)
class Track:
    """The track of a lift or sliding leaf.

    Attributes
    ----------
    way : SlideWay
        Which way a sliding leaf opens.
    travel : float
        How far the leaf moves from shut to open. [m]
    friction : float
        Friction force as a share of the leaf's weight. [-]
    tilt : float
        How far the track leans from level (sliding) or upright (lift); uphill to open positive. [rad]
    """

    way: SlideWay
    travel: Metres
    friction: Annotated[float, Share(0.0, 2.0)]
    tilt: Radians

    def __post_init__(self) -> None:
        """Refuse a track that goes nowhere, and one that leans past reason."""
        above_zero(travel=self.travel)
        if not abs(self.tilt) < pi / 4:
            raise ModelError(
                "tilt",
                f"{self.tilt * 180 / pi:g} deg",
                "less than 45 deg either way",
                "give the lean, not the direction",
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Seal:
    """The seal that the last travel presses.

    Attributes
    ----------
    force : float
        Force at the edge with the leaf shut. [N]
    over : float
        Edge travel over which it fades. [m]
    """

    force: Newtons
    over: Metres

    def __post_init__(self) -> None:
        """Refuse a seal that pulls, or that acts over no travel."""
        not_below_zero(force=self.force)
        above_zero(over=self.over)


@dataclass(frozen=True, kw_only=True, slots=True)
class Gaps:
    """Gaps round the shut leaf.

    Attributes
    ----------
    hinge_side : float
        Along the hinge or the trailing edge. [m]
    sides : float
        Along the other edges. [m]
    """

    hinge_side: Metres
    sides: Metres

    def __post_init__(self) -> None:
        """Refuse negative gaps."""
        not_below_zero(hinge_side=self.hinge_side, sides=self.sides)


@dataclass(frozen=True, kw_only=True, slots=True)
class Edge:
    """The closing edge.

    Attributes
    ----------
    kind : EdgeKind
        Hard or soft.
    stiffness : float or None
        Of a soft edge. [N/m]
    depth : float or None
        How far a soft edge gives. [m]
    """

    kind: EdgeKind
    stiffness: NewtonsPerMetre | None
    depth: Metres | None

    def __post_init__(self) -> None:
        """Refuse a soft edge without its two numbers, and a hard one with them."""
        for field in ("stiffness", "depth"):
            value = getattr(self, field)
            if self.kind is EdgeKind.SOFT and (value is None or not value > 0.0):
                raise ModelError(
                    field,
                    "nothing" if value is None else f"{value:g}",
                    "a value above zero for a soft edge",
                    "press it with a scale and measure",
                )
            if self.kind is EdgeKind.HARD and value is not None:
                raise ModelError(
                    field,
                    f"{value:g}",
                    "no such value for a hard edge",
                    'write kind = "soft", or leave it out',
                )


@dataclass(frozen=True, kw_only=True, slots=True)
class Release:
    """How the leaf is freed by hand.

    Attributes
    ----------
    kind : ReleaseKind
        What frees it.
    force : float
        Pull that frees it. [N]
    """

    kind: ReleaseKind
    force: Newtons

    def __post_init__(self) -> None:
        """Refuse a negative pull."""
        not_below_zero(force=self.force)


@dataclass(frozen=True, kw_only=True, slots=True)
class Door:
    """The door.

    Attributes
    ----------
    kind : DoorKind
        How the leaf moves.
    opening : DoorOpening
        The hole.
    leaf : Leaf
        The leaf.
    hinge : Hinge or None
        Of a hinged leaf.
    track : Track or None
        Of a lift or sliding leaf.
    open_angle : float or None
        How far a hinged leaf turns. [rad]
    counterweight : float
        Mass that balances the leaf over a pulley. [kg]
    seal : Seal
        The seal.
    ice : float
        Extra force at the edge to break the leaf free. [N]
    gaps : Gaps
        Gaps round the shut leaf.
    edge : Edge
        The closing edge.
    release : Release
        How it is freed by hand.
    """

    kind: DoorKind
    opening: DoorOpening
    leaf: Leaf
    hinge: Hinge | None
    track: Track | None
    open_angle: Radians | None
    counterweight: Kilograms
    seal: Seal
    ice: Newtons
    gaps: Gaps
    edge: Edge
    release: Release

    def __post_init__(self) -> None:
        """Refuse a door whose parts do not fit its kind, and a leaf that cannot cover its hole."""
        not_below_zero(ice=self.ice, counterweight=self.counterweight)
        self._fits_kind()
        if self.leaf.width < self.opening.width:
            raise ModelError(
                "leaf.width",
                f"{self.leaf.width:g} m",
                f"at least the hole's {self.opening.width:g} m",
                "measure leaf and hole again",
            )
        if self.leaf.height < self.opening.height:
            raise ModelError(
                "leaf.height",
                f"{self.leaf.height:g} m",
                f"at least the hole's {self.opening.height:g} m",
                "measure leaf and hole again",
            )

    def _fits_kind(self) -> None:
        if self.kind.hinged:
            upright = self.kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)
            if self.hinge is None:
                raise ModelError(
                    "hinge", "nothing", f"the hinge line of a {self.kind.value} leaf", "add door.hinge"
                )
            if (self.hinge.x if upright else self.hinge.z) is None:
                raise ModelError(
                    f"hinge.{'x' if upright else 'z'}",
                    "nothing",
                    "where the hinge line runs",
                    "measure it from the hut's left outer corner at floor level",
                )
            if self.open_angle is None or not 0.0 < self.open_angle <= pi:
                read = "nothing" if self.open_angle is None else f"{self.open_angle * 180 / pi:g} deg"
                raise ModelError("open_angle", read, "above 0 and up to 180 deg", 'add open_angle = "82 deg"')
        elif self.track is None:
            raise ModelError(
                "track",
                "nothing",
                f"the track of a {self.kind.value} leaf",
                'add door.track = { travel = "0.75 m" }',
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A point in the hut's frame, with the leaf shut.

    Attributes
    ----------
    x : float
        To the right, seen from outside. [m]
    y : float
        Into the hut. [m]
    z : float
        Up from the floor. [m]
    """

    x: Metres
    y: Metres
    z: Metres


@dataclass(frozen=True, kw_only=True, slots=True)
class Linkage:
    """How the drive takes hold of the leaf.

    Attributes
    ----------
    kind : LinkageKind
        A rod between two pins, or a direct pull along the track.
    foot : Point or None
        Pin on the hut.
    head : Point or None
        Pin on the leaf.
    mount_stiffness : float
        Of brackets, pins and timber together, along the rod. [N/m]
    """

    kind: LinkageKind
    foot: Point | None
    head: Point | None
    mount_stiffness: NewtonsPerMetre

    def __post_init__(self) -> None:
        """Refuse a rod without its two pins."""
        above_zero(mount_stiffness=self.mount_stiffness)
        if self.kind is LinkageKind.ROD:
            for field in ("foot", "head"):
                if getattr(self, field) is None:
                    raise ModelError(
                        field,
                        "nothing",
                        "where this pin sits",
                        f'add linkage.{field} = {{ x = "…", y = "…", z = "…" }}',
                    )
            if self.foot == self.head:
                raise ModelError(
                    "head", "the same place as the foot", "two different places", "measure both pins again"
                )
