"""The whole description as one record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from hutwright.model.box import Box, Printer
from hutwright.model.cables import Cable
from hutwright.model.circuit import Electronics, Regulator
from hutwright.model.controller import Controller
from hutwright.model.door import Door, Linkage
from hutwright.model.drive import Drive
from hutwright.model.hut import BuildUps, Hut, Member, Opening
from hutwright.model.machine import Dock, Machine, RoofAntenna
from hutwright.model.network import Network
from hutwright.model.pins import Pins
from hutwright.model.quantities import Count, Line
from hutwright.model.site import Site
from hutwright.model.supplies import Fuse, Supply

FORMAT = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Project:
    """A described shelter; every part but the site may be absent.

    Attributes
    ----------
    format : int
        Version of the file's format.
    name : str
        What the builder calls it.
    site : Site
        The ground, the weather and who comes near.
    hut : Hut or None
        The shelter itself.
    build_ups : Mapping
        Layers of walls, roof and leaf, outside first, by name.
    members : Mapping
        Timbers, by name.
    openings : Mapping
        Windows and vents, by name.
    door : Door or None
        The door.
    linkage : Linkage or None
        How the drive takes hold of the leaf.
    drive : Drive or None
        The drive.
    supplies : Mapping
        Batteries and power supplies, by name.
    fuses : Mapping
        Fuses, by name.
    cables : Mapping
        Cables, by name: the net list.
    regulators : Mapping
        Voltage regulators, by name.
    electronics : Electronics or None
        What sits in the box.
    pins : Pins or None
        Which pin of the board does what.
    controller : Controller or None
        The controller's settings.
    machine : Machine or None
        The machine that lives in it.
    dock : Dock or None
        Where the machine rests and charges.
    roof_antenna : RoofAntenna or None
        The fixed receiver that the machine relies on.
    network : Network or None
        The wireless network.
    box : Box or None
        The box that holds the electronics.
    printer : Printer or None
        The printer for plastic parts.
    limits : Mapping
        The builder's own limits, by key of the check. [the check's unit]
    """

    format: Annotated[int, Count(1, FORMAT)]
    name: Line
    site: Site
    hut: Hut | None
    build_ups: BuildUps
    members: Mapping[str, Member]
    openings: Mapping[str, Opening]
    door: Door | None
    linkage: Linkage | None
    drive: Drive | None
    supplies: Mapping[str, Supply]
    fuses: Mapping[str, Fuse]
    cables: Mapping[str, Cable]
    regulators: Mapping[str, Regulator]
    electronics: Electronics | None
    pins: Pins | None
    controller: Controller | None
    machine: Machine | None
    dock: Dock | None
    roof_antenna: RoofAntenna | None
    network: Network | None
    box: Box | None
    printer: Printer | None
    limits: Mapping[str, float]
