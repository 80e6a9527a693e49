"""What each covering of the hut lets through of a satellite's wave, in dry and wet weather."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.catalogue.dielectrics import METALLISED_LOSS_DB, dielectric
from hutwright.errors import RequestError
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.laws.slab import slab
from hutwright.laws.water_permittivity import (
    dry_snow_permittivity,
    water_permittivity,
    wet_snow_permittivity,
)
from hutwright.layout.frame import Floats, door_of, hut_of
from hutwright.layout.skin import ROOF, Covering, Kind
from hutwright.model.hut import Layer, Moisture, Opening, Pane
from hutwright.model.project import Project

L1 = 1_575_420_000.0  # GPS L1, Galileo E1 and BeiDou B1C carrier: IS-GPS-200; standing: second-hand [Hz]
Waves = NDArray[np.complex128]
Layers = list[tuple[complex, float]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cover:
    """What lies on panes or on the roof.

    `water` is the thickness of a film [m], `snow` the depth of snow [m], `density` that of the snow without
    its water [kg/m3], `wetness` the share of the snow's volume that is water [-].
    """

    water: float = 0.0
    snow: float = 0.0
    density: float = 200.0
    wetness: float = 0.0


CLEAR = Cover()


@dataclass(frozen=True, kw_only=True, slots=True)
class Weather:
    """How wet the hut is: its walls, and what lies on the roof's panes and on the roof itself."""

    walls: Moisture = Moisture.DRY
    panes: Cover = CLEAR
    roof: Cover = CLEAR


DRY = Weather()
# An undrained film after rain, half a millimetre: a choice of this project; standing: practice
WET = Weather(walls=Moisture.WET, panes=Cover(water=0.5e-3))


def transmission(
    project: Project, covering: Covering, cosine: Floats, weather: Weather, *, frequency: float = L1
) -> Waves:
    """Field behind a covering over what would be there without it, circularly polarised [-].

    Parameters
    ----------
    project : Project
        The project.
    covering : Covering
        The covering; a door stands for its leaf, the floor for what comes in through nothing.
    cosine : array
        Cosine of the angle of incidence. [-]
    weather : Weather
        How wet it is.
    frequency : float
        Frequency. [Hz]
    """
    if covering.kind is Kind.FLOOR:
        return np.zeros(np.shape(cosine), dtype=complex)
    if covering.kind is Kind.OPENING:
        return _opening(project, covering, cosine, weather, frequency)
    hut = hut_of(project)
    names = {Kind.WALL: hut.walls.build_up, Kind.ROOF: hut.roof.build_up}
    name = door_of(project).leaf.build_up if covering.kind is Kind.DOOR else names[covering.kind]
    layers = build_up_layers(project.build_ups.get(name, ()), frequency, wet=weather.walls is Moisture.WET)
    if covering.kind is Kind.ROOF:
        layers = [*cover_layers(weather.roof, frequency), *layers]
    return through(layers, cosine, frequency)


def pane_transmission(pane: Pane, cosine: Floats, cover: Cover, *, frequency: float = L1) -> Waves:
    """Field behind a pane over what would be there without it, circularly polarised [-].

    Parameters
    ----------
    pane : Pane
        The pane.
    cosine : array
        Cosine of the angle of incidence. [-]
    cover : Cover
        What lies on it.
    frequency : float
        Frequency. [Hz]
    """
    layers = [*cover_layers(cover, frequency), (dielectric(pane.material).at(frequency), pane.thickness)]
    film = 10.0 ** (-METALLISED_LOSS_DB[1] / 20.0) if pane.metallised else 1.0
    return film * through(layers, cosine, frequency)


def build_up_layers(layers: Sequence[Layer], frequency: float, *, wet: bool) -> Layers:
    """Permittivity and thickness of a build-up's layers, outside first [-, m].

    In the wet a layer is soaked where no layer outside of it keeps the water off.
    """
    found, sheltered = [], False
    for layer in layers:
        row = dielectric(layer.material)
        found.append((row.at(frequency, wet=wet and not sheltered), layer.thickness))
        sheltered = sheltered or row.tight
    return found


def cover_layers(cover: Cover, frequency: float) -> Layers:
    """Permittivity and thickness of snow and of the water under it, outside first [-, m].

    Raises
    ------
    RequestError
        For snow or water of less than no thickness.
    """
    if not (cover.water >= 0.0 and cover.snow >= 0.0):
        raise RequestError("a film or snow on the roof needs a thickness of 0 or more")
    found: Layers = []
    if cover.snow > 0.0:
        dry = complex(dry_snow_permittivity(cover.density))
        wet = cover.wetness > 0.0
        found.append(
            (wet_snow_permittivity(frequency, cover.density, cover.wetness) if wet else dry, cover.snow)
        )
    if cover.water > 0.0:
        found.append((complex(water_permittivity(frequency)), cover.water))
    return found


def through(layers: Layers, cosine: Floats, frequency: float) -> Waves:
    """Field behind layers over what would be there without them, circularly polarised [-]."""
    permittivities, thicknesses = [each for each, _ in layers], [each for _, each in layers]
    return slab(cosine, permittivities, thicknesses, LIGHT_SPEED / frequency).circular


def _opening(
    project: Project, covering: Covering, cosine: Floats, weather: Weather, frequency: float
) -> Waves:
    opening: Opening = project.openings[covering.name]
    is_roof = covering.face.startswith(ROOF)
    if opening.pane is not None:
        cover = weather.panes if is_roof else CLEAR
        return pane_transmission(opening.pane, cosine, cover, frequency=frequency)
    around = Covering(Kind.ROOF if is_roof else Kind.WALL, covering.face, "")
    solid = transmission(project, around, cosine, weather, frequency=frequency)
    return opening.screen + (1.0 - opening.screen) * solid
