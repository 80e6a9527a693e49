"""The shelter itself: walls, roof, base, members and openings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.quantities import (
    Count,
    Fraction,
    Line,
    Metres,
    Name,
    OneOf,
    Radians,
    above_zero,
    not_below_zero,
)


class RoofForm(Enum):
    """How the roof slopes."""

    MONO_PITCH = "mono_pitch"
    DOUBLE_PITCH = "double_pitch"
    FLAT = "flat"


class Side(Enum):
    """A side of the hut, seen from outside in front of the door wall."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"


class Face(Enum):
    """A face that an opening can be cut into."""

    ROOF = "roof"
    ROOF_LEFT = "roof_left"
    ROOF_RIGHT = "roof_right"
    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"


class Moisture(Enum):
    """How wet the walls are taken to be."""

    DRY = "dry"
    WET = "wet"


class BaseKind(Enum):
    """What carries the hut."""

    SLAB = "slab"
    BLOCKS = "blocks"
    SCREWS = "ground screws"
    NONE = "none"


class Along(Enum):
    """Which way a member runs."""

    SLOPE = "slope"
    EAVES = "eaves"
    UPRIGHT = "upright"


@dataclass(frozen=True, kw_only=True, slots=True)
class Layer:
    """One layer of a wall, roof or leaf, written as thickness and material.

    Attributes
    ----------
    thickness : float
        Thickness of the layer. [m]
    material : str
        A material of the catalogue.
    """

    thickness: Metres
    material: str

    def __post_init__(self) -> None:
        """Refuse a layer of no thickness, or one thicker than a castle's."""
        if not 0.0 < self.thickness <= 2.0:
            raise ModelError(
                "", f"{self.thickness:g} m", "a thickness above 0 and up to 2 m", "check its unit"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Inside:
    """The clear inside of the hut.

    Attributes
    ----------
    width : float
        Along the door wall. [m]
    depth : float
        From door wall to back wall. [m]
    front : float
        Clear height at the door wall. [m]
    back : float
        Clear height at the back wall. [m]
    """

    width: Metres
    depth: Metres
    front: Metres
    back: Metres

    def __post_init__(self) -> None:
        """Refuse a room that nothing fits into, and one that is no small hut."""
        above_zero(width=self.width, depth=self.depth, front=self.front, back=self.back)
        for field in ("width", "depth", "front", "back"):
            if getattr(self, field) > 20.0:
                raise ModelError(field, f"{getattr(self, field):g} m", "20 m or less", "check its unit")


@dataclass(frozen=True, kw_only=True, slots=True)
class Roof:
    """The roof; its pitch follows from the heights.

    Attributes
    ----------
    form : RoofForm
        How it slopes.
    high : Side
        The side that stands higher, for a mono-pitch roof.
    build_up : str
        Name of its build-up.
    overhang : float
        How far it stands out all round. [m]
    ridge : float or None
        Clear inner height under the ridge of a double-pitch roof. [m]
    """

    form: RoofForm
    high: Side
    build_up: Name
    overhang: Metres
    ridge: Metres | None

    def __post_init__(self) -> None:
        """Refuse an overhang that cuts into the wall and a double pitch without a ridge."""
        not_below_zero(overhang=self.overhang)
        if self.form is RoofForm.DOUBLE_PITCH and self.ridge is None:
            raise ModelError("ridge", "nothing", "the inner height under the ridge", 'add ridge = "0.90 m"')


@dataclass(frozen=True, kw_only=True, slots=True)
class Walls:
    """The four walls.

    Attributes
    ----------
    build_up : str
        Name of their build-up.
    moisture : Moisture
        How wet they are in the case as described.
    """

    build_up: Name
    moisture: Moisture


@dataclass(frozen=True, kw_only=True, slots=True)
class Base:
    """What carries the hut.

    Attributes
    ----------
    kind : BaseKind
        Slab, blocks, ground screws or nothing.
    thickness : float
        Thickness of a slab. [m]
    margin : float
        How far a slab stands out beyond the walls. [m]
    anchors : int
        Number of anchors between hut and base.
    """

    kind: BaseKind
    thickness: Metres
    margin: Metres
    anchors: Annotated[int, Count(0, 64)]

    def __post_init__(self) -> None:
        """Refuse negative lengths."""
        not_below_zero(thickness=self.thickness, margin=self.margin)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hut:
    """The shelter.

    Attributes
    ----------
    facing : float
        Azimuth that the door wall looks to, clockwise from the described north. [rad]
    inside : Inside
        Its clear inside.
    roof : Roof
        Its roof.
    walls : Walls
        Its walls.
    base : Base
        What carries it.
    """

    facing: Radians
    inside: Inside
    roof: Roof
    walls: Walls
    base: Base

    def __post_init__(self) -> None:
        """Refuse heights that slope against the side that is said to be high."""
        if self.roof.form is RoofForm.MONO_PITCH:
            highest = Side.FRONT if self.inside.front > self.inside.back else Side.BACK
            if (
                self.roof.high in (Side.FRONT, Side.BACK)
                and self.inside.front != self.inside.back
                and self.roof.high is not highest
            ):
                raise ModelError(
                    "roof.high",
                    self.roof.high.value,
                    f"'{highest.value}', as inside.front and inside.back say",
                    "correct the side or swap the two heights",
                )
        if self.roof.ridge is not None and self.roof.ridge < max(self.inside.front, self.inside.back):
            raise ModelError(
                "roof.ridge",
                f"{self.roof.ridge:g} m",
                "at least the height of the walls",
                "measure the ridge again",
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Member:
    """A set of equal timbers.

    Attributes
    ----------
    section : tuple
        Width and height of the cross-section. [m]
    grade : str
        Strength class, such as "C24" (EN 338).
    along : Along
        Which way they run.
    at : tuple
        Where each starts, along the wall it stands on; along the eaves up the slope, from the outer face of
        the low wall. [m]
    """

    section: tuple[Metres, Metres]
    grade: Line
    along: Along
    at: tuple[Metres, ...]

    def __post_init__(self) -> None:
        """Refuse a cross-section of no size, and places that do not rise."""
        above_zero(section=min(self.section))
        for number, (left, right) in enumerate(pairwise(self.at), start=1):
            if not left < right:
                raise ModelError(
                    f"at.{number}",
                    f"{right:g} m",
                    f"more than {left:g} m",
                    "list the places from left to right",
                )


@dataclass(frozen=True, kw_only=True, slots=True)
class FacePlace:
    """Where on a face, seen from outside, along the slope.

    A roof is looked at from its low side; its edges are the walls' outer faces, without the overhang.

    Attributes
    ----------
    face : Face
        The face.
    from_left : float
        From its left edge to the left edge of the opening; of a roof from the wall's outer face. [m]
    from_low_edge : float
        From its low edge to the low edge of the opening; of a roof from the wall's outer face. [m]
    """

    face: Face
    from_left: Metres
    from_low_edge: Metres


@dataclass(frozen=True, kw_only=True, slots=True)
class OpeningSize:
    """Clear size of an opening.

    Attributes
    ----------
    width : float
        From left to right. [m]
    length : float
        Along the slope, or upright in a wall. [m]
    """

    width: Metres
    length: Metres

    def __post_init__(self) -> None:
        """Refuse an opening of no size."""
        above_zero(width=self.width, length=self.length)


@dataclass(frozen=True, kw_only=True, slots=True)
class Pane:
    """What closes a window.

    Attributes
    ----------
    material : str
        A material of the catalogue.
    thickness : float
        Its thickness. [m]
    edges : str
        How its edges are held.
    metallised : bool
        Whether it carries a metal or low-emissivity film.
    """

    material: Annotated[str, OneOf("materials")]
    thickness: Metres
    edges: Line
    metallised: bool

    def __post_init__(self) -> None:
        """Refuse a pane of no thickness."""
        above_zero(thickness=self.thickness)


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """A window or vent.

    Attributes
    ----------
    place : FacePlace
        Where it sits.
    size : OpeningSize
        Its clear size.
    pane : Pane or None
        What closes it.
    screen : float
        Free share of its area where a mesh or slats cover it. [-]
    """

    place: FacePlace
    size: OpeningSize
    pane: Pane | None
    screen: Fraction


BuildUps = Mapping[str, tuple[Layer, ...]]
