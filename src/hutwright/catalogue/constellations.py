"""The satellites of each system as planned: orbits that repeat their track over the ground.

They stand in for the real ones where no almanac is at hand. A day's statistics hold; the hour at which a
certain satellite passes does not. Rows go by name; each belongs to a system of the receiver.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import degrees
from types import MappingProxyType

import numpy as np

from hutwright.laws.gnss_time import DAY, gps_from_utc, gps_seconds
from hutwright.laws.orbit import GALILEO_GRAVITY, OrbitElements
from hutwright.laws.orbit_drift import node_drift, repeating_latitude_rate
from hutwright.laws.sidereal import greenwich_sidereal_angle
from hutwright.sources import Source, Standing

GPS_SLOTS = Source(
    "GPS SPS Performance Standard, October 2001", "tables 3-1 and A-2-1, baseline of 24 slots", Standing.READ
)
GPS_EXPANDED = Source(
    "GPS SPS Performance Standard, 2008 and 2020", "table 3.2-2, expandable slots", Standing.RECALLED
)
GALILEO_REFERENCE = Source(
    "Galileo reference constellation 24/3/1", "parameters as quoted in two public pages", Standing.SECOND_HAND
)
GLONASS_MEASURED = Source(
    "precise orbits of 2021-04-28 (CODE, IGS MGEX)", "planes of the GLONASS satellites", Standing.DERIVED
)
BEIDOU_MEASURED = Source(
    "precise orbits of 2021-04-28 (CODE, IGS MGEX)", "planes of the BeiDou-3 MEO satellites", Standing.DERIVED
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Slot:
    """One place in a constellation; angles at the constellation's epoch.

    Attributes
    ----------
    name : str
        Plane and number, such as "A1".
    node_deg : float
        East longitude of the ascending node, as the Earth stood at the epoch. [deg]
    latitude_deg : float
        Argument of latitude: how far along from the node. [deg]
    inclination_deg : float
        Tilt of the plane against the equator. [deg]
    """

    name: str
    node_deg: float
    latitude_deg: float
    inclination_deg: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Constellation:
    """The satellites of one system as planned, in circular orbits.

    Attributes
    ----------
    name : str
        Name in the table.
    system : str
        Name of the system, as the receiver's list has it.
    semi_major_axis : float
        Radius of the orbits. [m]
    epoch : float
        GPS time since 1980-01-06 for which the slots' angles hold. [s]
    node_rate : float
        Turning of the planes against the stars. [rad/s]
    orbits : int
        Orbits until the track over the ground repeats.
    days : int
        Sidereal days until then.
    slots : tuple
        The places.
    sources : tuple
        Where the numbers come from.
    """

    name: str
    system: str
    semi_major_axis: float
    epoch: float
    node_rate: float
    orbits: int
    days: int
    slots: tuple[Slot, ...]
    sources: tuple[Source, ...]

    def elements(self) -> OrbitElements:
        """Orbital elements of all slots at the epoch, arrays in their order."""
        motion = float(repeating_latitude_rate(self.node_rate, self.orbits, self.days))
        free = (GALILEO_GRAVITY / self.semi_major_axis**3) ** 0.5
        node, latitude, tilt = np.radians(
            [(slot.node_deg, slot.latitude_deg, slot.inclination_deg) for slot in self.slots]
        ).T
        return OrbitElements(
            semi_major_axis=np.full(len(self.slots), self.semi_major_axis),
            eccentricity=0.0,
            inclination=tilt,
            node=node,
            node_rate=self.node_rate,
            perigee=0.0,
            mean_anomaly=latitude,
            gravity=GALILEO_GRAVITY,
            motion_added=motion - free,
        )


# ---- GPS -----------------------------------------------------------------------------------------------

# SPS Performance Standard, October 2001, table 3-1; standing: read (also in a textbook, which misprints D3).
_GPS_EPOCH = float(gps_from_utc(gps_seconds(1993, 7, 1)))
_GPS_GREENWICH_DEG = 279.060  # Greenwich hour angle at the epoch, 18 h 36 min 14.4 s; same table; read
_GPS_AXIS = 26_559.7e3  # m; same table; read
_GPS_TILT_DEG = 55.0  # same table, give or take 3; read
_GPS_NODE_RATE = np.radians(-4.4874e-7)  # rad/s; same document, table A-2-1; read
_GPS_NODES_DEG = {  # right ascension of the ascending node; same table; read
    "A": 272.847,
    "B": 332.847,
    "C": 32.847,
    "D": 92.847,
    "E": 152.847,
    "F": 212.847,
}
_GPS_LATITUDES_DEG = {  # same table; read
    "A1": 268.126, "A2": 161.786, "A3": 11.676, "A4": 41.806,
    "B1": 80.956, "B2": 173.336, "B3": 309.976, "B4": 204.376,
    "C1": 111.876, "C2": 11.796, "C3": 339.666, "C4": 241.556,
    "D1": 135.226, "D2": 265.446, "D3": 35.156, "D4": 167.356,
    "E1": 197.046, "E2": 302.596, "E3": 66.066, "E4": 333.686,
    "F1": 238.886, "F2": 345.226, "F3": 105.206, "F4": 135.346,
}  # fmt: skip
# Slots that hold two satellites in the expanded constellation; SPS PS 2008 and 2020, table 3.2-2; recalled.
_GPS_EXPANDED_DEG = {
    "B1": {"B1F": 94.916, "B1A": 66.356},
    "D2": {"D2F": 282.676, "D2A": 257.976},
    "F2": {"F2F": 0.456, "F2A": 334.016},
}


def _gps(name: str, latitudes: Mapping[str, float], sources: tuple[Source, ...]) -> Constellation:
    """A GPS constellation of the given arguments of latitude."""
    slots = tuple(
        Slot(
            name=slot,
            node_deg=(_GPS_NODES_DEG[slot[0]] - _GPS_GREENWICH_DEG) % 360.0,
            latitude_deg=latitude,
            inclination_deg=_GPS_TILT_DEG,
        )
        for slot, latitude in latitudes.items()
    )
    return Constellation(
        name=name,
        system="GPS",
        semi_major_axis=_GPS_AXIS,
        epoch=_GPS_EPOCH,
        node_rate=float(_GPS_NODE_RATE),
        orbits=2,
        days=1,
        slots=slots,
        sources=sources,
    )


def _expanded() -> dict[str, float]:
    """The 27 arguments of latitude of the expanded constellation."""
    latitudes: dict[str, float] = {}
    for slot, latitude in _GPS_LATITUDES_DEG.items():
        latitudes.update(_GPS_EXPANDED_DEG.get(slot, {slot: latitude}))
    return latitudes


# ---- the others ----------------------------------------------------------------------------------------


def _walker(
    name: str,
    system: str,
    epoch: float,
    planes: Mapping[str, tuple[float, float, float]],
    orbit: tuple[float, float, int, int],
    source: Source,
    *,
    numbered: bool = False,
) -> Constellation:
    """Planes of eight satellites, 45 deg apart; node and latitude of each first one, and tilt, in deg.

    Numbered ones count through all planes, backwards along each.
    """
    greenwich = degrees(float(greenwich_sidereal_angle(epoch)))
    axis, node_rate, orbits, days = orbit
    slots = [
        Slot(
            name=f"{8 * index + number + 1}" if numbered else f"{plane}{number + 1}",
            node_deg=(node - greenwich) % 360.0,
            latitude_deg=(latitude + (-45.0 if numbered else 45.0) * number) % 360.0,
            inclination_deg=tilt,
        )
        for index, (plane, (node, latitude, tilt)) in enumerate(planes.items())
        for number in range(8)
    ]
    return Constellation(
        name=name,
        system=system,
        semi_major_axis=axis,
        epoch=epoch,
        node_rate=node_rate,
        orbits=orbits,
        days=days,
        slots=tuple(slots),
        sources=(source,),
    )


# Galileo reference constellation 24/3/1, epoch 2010-03-21 00:00 UTC; standing: second-hand. The printed rate
# of the argument of latitude, 613.72253566 deg a day, is what 17 orbits in 10 days give with this drift.
_GALILEO_EPOCH = float(gps_from_utc(gps_seconds(2010, 3, 21)))
_GALILEO_AXIS = 29_600.318e3  # m
_GALILEO_NODE_RATE = float(np.radians(-0.02764398)) / DAY  # rad/s
_GALILEO_PLANES = {  # node, argument of latitude of the first satellite, tilt; deg
    "A": (25.0, 338.333, 56.0),
    "B": (145.0, 353.333, 56.0),
    "C": (265.0, 8.333, 56.0),
}

# GLONASS 24/3/1: arrangement (three planes of eight, 15 deg of shift, 17 orbits in 8 sidereal days) of a
# public page on its orbits; standing: read. Planes as measured at 2021-04-28 21:00 GPS time; derived here.
# Slots 1, 9 and 17 come first, 135 deg ahead of slots 4, 12 and 20.
_MEASURED_EPOCH = float(gps_seconds(2021, 4, 28, 75_600.0))
_GLONASS_AXIS = 25_508e3  # m, measured 25 505 to 25 510 km; derived here
_GLONASS_PLANES = {  # node, argument of latitude of slots 4, 12, 20, tilt; deg
    "1": (136.42, 7.3, 64.61),
    "2": (255.75, 21.6, 64.35),
    "3": (17.53, 38.7, 65.75),
}

# BeiDou-3 MEO 24/3/1, 13 orbits in 7 sidereal days (recalled). Planes as measured at the same moment; derived
# here. The inclined and geostationary satellites over Asia are left out: a hut in Europe hardly sees them.
_BEIDOU_AXIS = 27_906e3  # m
_BEIDOU_PLANES = {
    "A": (5.30, 16.63, 55.24),
    "B": (125.53, 31.64, 55.24),
    "C": (245.85, 2.27, 54.56),
}

GPS_24 = _gps("GPS, 24 slots", _GPS_LATITUDES_DEG, (GPS_SLOTS,))
GPS_27 = _gps("GPS, expanded", _expanded(), (GPS_SLOTS, GPS_EXPANDED))
GALILEO = _walker(
    "Galileo",
    "Galileo",
    _GALILEO_EPOCH,
    _GALILEO_PLANES,
    (_GALILEO_AXIS, _GALILEO_NODE_RATE, 17, 10),
    GALILEO_REFERENCE,
)


def _drift(axis: float, planes: Mapping[str, tuple[float, float, float]]) -> float:
    """Drift of the nodes by the Earth's bulge, at the mean tilt, in rad/s."""
    tilt = np.radians(np.mean([plane[2] for plane in planes.values()]))
    return float(node_drift(axis, tilt))


GLONASS = _walker(
    "GLONASS",
    "GLONASS",
    _MEASURED_EPOCH,
    {plane: (node, latitude + 135.0, tilt) for plane, (node, latitude, tilt) in _GLONASS_PLANES.items()},
    (_GLONASS_AXIS, _drift(_GLONASS_AXIS, _GLONASS_PLANES), 17, 8),
    GLONASS_MEASURED,
    numbered=True,
)
BEIDOU = _walker(
    "BeiDou-3",
    "BeiDou",
    _MEASURED_EPOCH,
    _BEIDOU_PLANES,
    (_BEIDOU_AXIS, _drift(_BEIDOU_AXIS, _BEIDOU_PLANES), 13, 7),
    BEIDOU_MEASURED,
)

CONSTELLATIONS: Mapping[str, Constellation] = MappingProxyType(
    {each.name: each for each in (GPS_24, GPS_27, GALILEO, GLONASS, BEIDOU)}
)
# What stands in for each system of a receiver.
NOMINAL: Mapping[str, Constellation] = MappingProxyType(
    {each.system: each for each in (GPS_24, GALILEO, GLONASS, BEIDOU)}
)
