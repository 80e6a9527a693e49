"""Printed points of time and current of fuses: multiple, shortest, longest; None where none is printed."""

MS = 1e-3
MIN = 60.0
H = 3600.0

# IEC 60127-2, second-hand: sheet, a rating within the row, points.
SHEETS = {
    ("glass 5x20 quick F, IEC 60127-2 sheet 2", 2.0): (
        (1.5, 60 * MIN, None),
        (2.1, None, 30 * MIN),
        (2.75, 50 * MS, 2.0),
        (4.0, 10 * MS, 300 * MS),
        (10.0, None, 20 * MS),
    ),
    ("glass 5x20 quick F, IEC 60127-2 sheet 2", 0.1): (
        (1.5, 60 * MIN, None),
        (2.1, None, 30 * MIN),
        (2.75, 10 * MS, 500 * MS),
        (4.0, 3 * MS, 100 * MS),
        (10.0, None, 20 * MS),
    ),
    ("glass 5x20 time-lag T, IEC 60127-2 sheet 3", 2.0): (
        (1.5, 60 * MIN, None),
        (2.1, None, 2 * MIN),
        (2.75, 0.6, 10.0),
        (4.0, 0.15, 3.0),
        (10.0, 20 * MS, 300 * MS),
    ),
    ("glass 5x20 time-lag T, IEC 60127-2 sheet 3", 0.08): (
        (1.5, 60 * MIN, None),
        (2.1, None, 2 * MIN),
        (2.75, 0.2, 10.0),
        (4.0, 40 * MS, 3.0),
        (10.0, 10 * MS, 300 * MS),
    ),
    ("ceramic 5x20 time-lag T, IEC 60127-2 sheet 5", 2.0): (
        (1.5, 60 * MIN, None),
        (2.1, None, 30 * MIN),
        (2.75, 0.75, 80.0),
        (4.0, 95 * MS, 5.0),
        (10.0, 10 * MS, 150 * MS),
    ),
    ("ceramic 5x20 time-lag T, IEC 60127-2 sheet 5", 5.0): (
        (1.5, 60 * MIN, None),
        (2.1, None, 30 * MIN),
        (2.75, 0.75, 80.0),
        (4.0, 150 * MS, 5.0),
        (10.0, 20 * MS, 150 * MS),
    ),
}
# ISO 8820-3, second-hand; type E at 200 %: the longer of two sources.
BLADES = {
    ("blade, ISO 8820-3 type C", 10.0): ((1.6, 0.25, 50.0), (2.0, 0.15, 5.0)),
    ("blade, ISO 8820-3 type E", 40.0): (
        (1.0, 360_000.0, None),
        (1.35, 60.0, 1800.0),
        (2.0, 2.0, 60.0),
        (3.5, 0.2, 7.0),
        (6.0, 0.04, 1.0),
    ),
}
# ISO 8820-3, type C, from memory.
BLADES_RECALLED = {
    ("blade, ISO 8820-3 type C", 10.0): ((1.1, 100 * H, None), (3.5, 0.04, 0.5), (6.0, 0.02, 0.1)),
}
# UL 248-14, second-hand.
UL = {("cartridge, UL 248-14", 5.0): ((1.35, None, 60 * MIN), (2.0, None, 2 * MIN))}
# Fuse maker's selection guide, read: number of pulses, share of the melting integral in per cent.
PULSES = ((100_000, 22), (10_000, 29), (1000, 38), (100, 48))
