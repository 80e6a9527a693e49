"""The net list: cables between nodes.

A node is the name of a supply or of a regulator, or one of ``circuit.FIXED_NODES``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.quantities import Amperes, Metres, Name, OhmsPerMetre, OneOf, above_zero


class Route(Enum):
    """Where a cable runs."""

    INSIDE = "inside"
    OUTDOORS = "outdoors"
    BURIED = "buried"


@dataclass(frozen=True, kw_only=True, slots=True)
class Cable:
    """One two-core cable between two nodes.

    Attributes
    ----------
    from_ : str
        The node it comes from, nearer the supply.
    to : str
        The node it feeds.
    fuse : str or None
        The fuse at its start.
    core : str
        What both conductors are made of; a row of the catalogue.
    length : float
        Along the cable, one way. [m]
    colours : tuple
        Colours of plus and minus.
    route : Route
        Where it runs.
    arrester : bool
        Whether a surge arrester stands at each end.
    resistance_per_length : float
        Of one conductor at 20 degC. [ohm/m]
    capacity : float
        Current that it carries for ever at 30 degC. [A]
    """

    from_: Name
    to: Name
    fuse: Name | None
    core: Annotated[str, OneOf("cores")]
    length: Metres
    colours: tuple[Name, Name]
    route: Route
    arrester: bool
    resistance_per_length: OhmsPerMetre
    capacity: Amperes

    def __post_init__(self) -> None:
        """Refuse a cable of no length or no conductance, and one that ends where it starts."""
        above_zero(
            length=self.length, resistance_per_length=self.resistance_per_length, capacity=self.capacity
        )
        if self.length > 5000.0:
            raise ModelError("length", f"{self.length:g} m", "5000 m or less", "check its unit")
        if self.from_ == self.to:
            raise ModelError("to", self.to, "another node than from", "a cable joins two different nodes")
