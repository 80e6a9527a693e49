"""Printed tables of conductors, digit by digit as printed."""

# IEC 60228:2004, tables 1 to 3, plain copper unless said, greatest ohm/km at 20 degC; second-hand,
# three tables that agree.
SIZES_MM2 = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10")
OHM_PER_KM = {
    "class 2": (36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83),
    "class 5": (39.0, 26.0, 19.5, 13.3, 7.98, 4.95, 3.30, 1.91),
    "class 5 tinned": (40.1, 26.7, 20.0, 13.7, 8.21, 5.09, 3.39, 1.95),
}
# IEC 60228:2004, factors that bring a measured resistance to 20 degC: degC, factor; second-hand.
TO_20_DEGC = ((5, 1.064), (50, 0.893), (70, 0.833), (90, 0.781))
# American wire gauge table of a physics course, solid copper, 20 degC: gauge, ohm per 1000 ft; read.
OHM_PER_1000_FT = (
    (10, 0.9989),
    (12, 1.588),
    (14, 2.525),
    (16, 4.016),
    (18, 6.385),
    (20, 10.15),
    (22, 16.14),
    (24, 25.67),
)
# DIN VDE 0298-4:2023-06, table 11, multicore, 2 to 3 loaded, 30 degC: mm2, A; second-hand.
MULTICORE_CAPACITY = (("0.75", 12), ("1", 15), ("1.5", 18), ("2.5", 26), ("4", 34), ("6", 44), ("10", 61))
# IEC 60364-5-52, table B.52.2, PVC, 2 loaded, method B2: mm2, A; second-hand.
CONDUIT_CAPACITY = (("1.5", 16.5), ("2.5", 23), ("4", 30), ("6", 38))
# IEC 60364-5-52, factors for air temperature, PVC: degC, factor; second-hand.
AIR_FACTORS = ((40, 0.866), (45, 0.791), (50, 0.707), (55, 0.612))
# The same in a printed row for 4 mm2, three loaded, method B2: degC, A; second-hand.
AIR_ROW = ((30, 27), (40, 23), (45, 21), (50, 19), (55, 16))
