"""Printed and measured places of satellites, digit by digit."""

from typing import NamedTuple


class Fitted(NamedTuple):
    """A circular orbit fitted to a precise one; km and degrees."""

    axis: float
    tilt: float
    node: float  # east longitude at the epoch
    latitude: float
    eccentricity: float


# Precise orbits of 2021-04-28 21:00:00 GPS time (CODE, IGS MGEX), fitted here; standing: derived here.
GPS_FITTED = {
    "G01": Fitted(26560.6, 56.41, 232.91, 140.58, 0.0108),
    "G02": Fitted(26561.6, 55.19, 228.14, 21.73, 0.0202),
    "G03": Fitted(26558.0, 55.50, 292.35, 77.89, 0.0034),
    "G04": Fitted(26562.6, 55.02, 354.29, 16.74, 0.0011),
    "G05": Fitted(26561.4, 54.76, 290.26, 298.71, 0.0060),
    "G06": Fitted(26561.0, 56.37, 232.44, 48.98, 0.0022),
    "G07": Fitted(26559.7, 54.56, 52.82, 285.93, 0.0148),
    "G08": Fitted(26559.8, 55.43, 171.38, 220.85, 0.0064),
    "G09": Fitted(26563.1, 54.61, 351.38, 348.51, 0.0019),
    "G10": Fitted(26562.0, 55.50, 292.19, 187.15, 0.0067),
    "G12": Fitted(26559.4, 55.79, 116.43, 84.18, 0.0084),
    "G13": Fitted(26559.5, 55.46, 359.88, 240.03, 0.0050),
    "G14": Fitted(26562.6, 54.85, 114.90, 188.86, 0.0006),
    "G15": Fitted(26559.9, 53.21, 345.75, 220.92, 0.0131),
    "G16": Fitted(26560.2, 55.80, 117.51, 306.78, 0.0122),
    "G17": Fitted(26558.8, 56.28, 175.82, 125.61, 0.0133),
    "G18": Fitted(26558.4, 55.47, 233.60, 274.26, 0.0014),
    "G19": Fitted(26558.3, 56.19, 178.41, 103.76, 0.0092),
    "G20": Fitted(26538.5, 53.72, 284.05, 262.10, 0.0060),
    "G21": Fitted(26561.8, 54.85, 228.16, 159.01, 0.0241),
    "G22": Fitted(26557.7, 53.53, 286.71, 104.50, 0.0071),
    "G23": Fitted(26560.6, 55.21, 290.85, 216.61, 0.0011),
    "G24": Fitted(26562.3, 53.61, 48.37, 155.47, 0.0110),
    "G25": Fitted(26559.3, 55.07, 112.24, 53.02, 0.0099),
    "G26": Fitted(26562.9, 53.98, 109.86, 334.60, 0.0058),
    "G27": Fitted(26559.3, 55.92, 172.35, 250.16, 0.0095),
    "G28": Fitted(26568.5, 55.75, 117.71, 175.36, 0.0174),
    "G29": Fitted(26561.4, 56.39, 176.53, 347.70, 0.0018),
    "G30": Fitted(26559.4, 53.71, 53.83, 249.78, 0.0051),
    "G31": Fitted(26561.5, 54.81, 53.80, 41.41, 0.0099),
    "G32": Fitted(26559.4, 54.84, 351.95, 121.42, 0.0049),
}

# The same precise orbits seen from 48 deg N, 11 deg E at height 0: azimuth and elevation, deg; derived here.
GPS_SEEN = {
    "G01": (134.1, 63.0),
    "G03": (317.6, 79.2),
    "G04": (191.9, 45.6),
    "G09": (209.8, 14.7),
    "G17": (281.9, 43.1),
    "G19": (308.2, 30.5),
    "G21": (138.3, 43.1),
    "G22": (69.5, 65.2),
    "G31": (79.5, 23.8),
}
# Position dilution of GPS alone there above 10 deg, by hour of that day.
GPS_DILUTION = {18: 2.117, 21: 1.814, 24: 1.630}
# GLONASS satellites there above 10 deg, by hour.
GLONASS_SEEN = {18: 7, 21: 7, 24: 8}

# G06 at 2021-04-28 18:00:00 GPS time by a precise orbit (CODE, IGS MGEX), m; read.
G06_PLACE = (-7_018_619.679, -20_968_532.130, -14_611_230.173)


class InSlot(NamedTuple):
    """A real Galileo satellite and the slot it holds; deg."""

    satellite: str
    slot: str  # IGS MGEX status page of Galileo; read
    epoch: float  # GPS time, s
    node: float  # east longitude
    latitude: float


# From IGS multi-GNSS broadcast files of 2020-05-15 and 2023-03-14; angles derived here.
GALILEO_IN_SLOTS = (
    InSlot("E03", "C8", 1_273_619_400.0, 301.19, 318.11),
    InSlot("E02", "A6", 1_273_621_800.0, 51.24, 215.19),
    InSlot("E01", "A2", 1_362_787_200.0, 83.19, 163.53),
    InSlot("E02", "A6", 1_362_787_200.0, 83.19, 342.38),
)

# SGP4 verification output for satellite 28129 (tcppver.out of the sgp4 package): minutes -> km, and km/s at
# the start; read.
SGP4_PLACES = {
    0.0: (21707.46412351, -15318.61752390, 0.13551152),
    120.0: (18616.75971861, 3166.15177043, 18833.41523210),
}
SGP4_VELOCITY = (1.304029214, 1.816904974, 3.161919976)

# Sample record of the public page that defines the YUMA form: PRN-01 of week 755; read.
YUMA_SAMPLE = {
    "week": 755,
    "number": 1,
    "eccentricity": 5.8191653807e-04,
    "second": 233_472.0,
    "tilt": 0.9597571420,
    "node_rate": -8.1828408482e-09,
    "root_axis": 5153.650309,
    "node": 1.2710842193,
    "perigee": 1.117132574,
    "mean_anomaly": -3.0896651067,
}
