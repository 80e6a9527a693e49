"""Almanacs and navigation files of invented satellites, written by the rules of each form."""

from math import pi

HEADER_END = " " * 60 + "END OF HEADER"

# Invented, but the size of a GPS satellite's; rad, s, m.
PLAIN = {
    "number": 7,
    "health": 0,
    "eccentricity": 0.0042,
    "second": 319_488.0,
    "tilt": 0.9634,
    "node_rate": -7.9e-9,
    "root_axis": 5153.61,
    "node": -1.25,
    "perigee": 0.83,
    "mean_anomaly": 2.11,
    "week": 121,
}
# Line and column -> value, of the seven lines behind the first.
FIELDS = {
    (1, 0): 31.0, (1, 1): -96.875, (1, 2): 3.7e-9, (1, 3): 0.2565,
    (2, 0): -5.1e-6, (2, 1): 0.00226, (2, 2): 1.2e-5, (2, 3): 5153.75,
    (3, 0): 323_984.0, (3, 1): 1.7e-8, (3, 2): -2.945, (3, 3): -3.0e-8,
    (4, 0): 0.9839, (4, 1): 158.375, (4, 2): -0.9836, (4, 3): -7.6e-9,
    (5, 0): -7.3e-11, (5, 1): 1.0, (5, 2): 2155.0, (5, 3): 0.0,
    (6, 0): 2.0, (6, 1): 0.0, (6, 2): 4.2e-9, (6, 3): 31.0,
    (7, 0): 322_932.0, (7, 1): 4.0,
}  # fmt: skip
# GLONASS: km, km/s, km/s2, health, channel, age.
STATES = {
    (1, 0): 5_763.75, (1, 1): -1.299, (1, 2): 0.0, (1, 3): 0.0,
    (2, 0): 11_834.33, (2, 1): 2.694, (2, 2): -9.3e-10, (2, 3): 1.0,
    (3, 0): 21_858.87, (3, 1): -1.115, (3, 2): -2.8e-9, (3, 3): 0.0,
}  # fmt: skip


def yuma(*records):
    """An almanac in the YUMA form."""
    return "\n".join(yuma_record(**record) for record in records)


def yuma_record(**changes):
    """One record of it."""
    of = PLAIN | changes
    return (
        f"******** Week {of['week']} almanac for PRN-{of['number']:02d} ********\n"
        f"ID:                         {of['number']:02d}\n"
        f"Health:                     {of['health']:03d}\n"
        f"Eccentricity:               {of['eccentricity']:.10E}\n"
        f"Time of Applicability(s):  {of['second']:.4f}\n"
        f"Orbital Inclination(rad):   {of['tilt']:.10f}\n"
        f"Rate of Right Ascen(r/s):  {of['node_rate']:.10E}\n"
        f"SQRT(A)  (m 1/2):           {of['root_axis']:.6f}\n"
        f"Right Ascen at Week(rad):   {of['node']:.10E}\n"
        f"Argument of Perigee(rad):   {of['perigee']:.9f}\n"
        f"Mean Anom(rad):             {of['mean_anomaly']:.10E}\n"
        f"Af0(s):                     0.1E-004\n"
        f"Af1(s/s):                   0.0000000000E+000\n"
        f"week:                        {of['week']}\n"
    )


def sem(*records, count=None):
    """An almanac in the SEM form."""
    of = PLAIN | (records[0] if records else {})
    head = f"{len(records) if count is None else count}  ORCHARD.ALM\n {of['week']} {of['second']:.0f}\n\n"
    return head + "\n".join(sem_record(**record) for record in records)


def sem_record(**changes):
    """One record of it."""
    of = PLAIN | changes
    turned = {name: of[name] / pi for name in ("node_rate", "node", "perigee", "mean_anomaly")}
    return (
        f"{of['number']}\n40\n0\n"
        f" {of['eccentricity']:.14E}  {of['tilt'] / pi - 0.30:.14E} {turned['node_rate']:.14E}\n"
        f" {of['root_axis']:.14E}  {turned['node']:.14E} {turned['perigee']:.14E}\n"
        f" {turned['mean_anomaly']:.14E}  1.0E-05  0.0E+00\n"
        f"{of['health']}\n11\n"
    )


def number(value, letter="D"):
    """A number in 19 characters."""
    return f"{value:19.12E}".replace("E", letter)


def header(version=3.04, kind="N", system="M"):
    """A header of two lines."""
    first = f"{version:9.2f}           {kind + ': NAV DATA':<20}{system + ': MIXED':<20}RINEX VERSION / TYPE"
    return f"{first}\n{HEADER_END}\n"


def body(fields, lines, indent):
    """The lines behind the first."""
    text = ""
    for line in range(1, lines):
        cells = [number(fields[line, n]) if (line, n) in fields else " " * 19 for n in range(4)]
        text += (" " * indent + "".join(cells)).rstrip() + "\n"
    return text


def record_3(name="G07", moment=(2021, 4, 28, 18, 0, 0), fields=None, lines=None):
    """One record of edition 3."""
    state = name[0] in "RS"
    values = (STATES if state else FIELDS) | (fields or {})
    year, month, day, hour, minute, second = moment
    first = f"{name} {year:4d} {month:02d} {day:02d} {hour:02d} {minute:02d} {second:02d}" + number(1e-5) * 3
    return first + "\n" + body(values, lines or (4 if state else 8), 4)


def record_2(prn=7, moment=(21, 4, 28, 18, 0, 0.0), fields=None, *, state=False):
    """One record of edition 2."""
    year, month, day, hour, minute, second = moment
    first = f"{prn:2d} {year:02d} {month:2d} {day:2d} {hour:2d} {minute:2d}{second:5.1f}" + number(1e-5) * 3
    values = (STATES if state else FIELDS) | (fields or {})
    return first + "\n" + body(values, 4 if state else 8, 3)


def rinex_3(*records):
    """A navigation file of edition 3."""
    return header() + "".join(records)


def rinex_2(*records, kind="N"):
    """A navigation file of edition 2."""
    return header(2.11, kind, " ") + "".join(records)
