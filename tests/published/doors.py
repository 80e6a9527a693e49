"""Printed tables and limits for doors and what they close on, as printed."""

# EN 16005, annex F, 1.69 J: distance in m, mass in kg, time in s; second-hand (two operator manuals).
SLIDING_TIMES = (
    (0.7, 10.0, 1.3),
    (0.7, 50.0, 2.7),
    (0.7, 100.0, 3.9),
    (0.7, 150.0, 4.7),
    (1.0, 10.0, 1.8),
    (1.0, 50.0, 3.9),
    (1.0, 100.0, 5.5),
    (1.0, 150.0, 6.7),
)
# ISO 13854:2017, least gaps, mm; second-hand (two lists that agree).
LEAST_GAPS_MM = {
    "body": 500,
    "head": 300,
    "leg": 180,
    "foot": 120,
    "toes": 50,
    "arm": 120,
    "hand": 100,
    "finger": 25,
}
# ISO 13857 as in DGUV 208-022 table 2: opening up to, slot, square, circle, mm; second-hand.
REACH_MM = (
    (4, 2, 2, 2),
    (6, 10, 5, 5),
    (8, 20, 15, 5),
    (10, 80, 25, 20),
    (12, 100, 80, 80),
    (20, 120, 120, 120),
    (30, 850, 120, 120),
    (40, 850, 200, 120),
    (120, 850, 850, 850),
)
# ISO/TS 15066:2016, tables A.2 and A.3: force N, pressure N/cm2 low and high, stiffness N/mm, mass kg;
# second-hand (two transcriptions that agree).
BODY_REGIONS = {
    "skull and forehead": (130, 110, 130, 150, 4.4),
    "face": (65, 110, 110, 75, 4.4),
    "neck": (150, 140, 210, 50, 1.2),
    "back and shoulders": (210, 160, 210, 35, 40),
    "chest": (140, 120, 170, 25, 40),
    "abdomen": (110, 140, 140, 10, 40),
    "pelvis": (180, 210, 210, 25, 40),
    "upper arm and elbow": (150, 190, 220, 30, 3),
    "lower arm and wrist": (160, 180, 190, 40, 2),
    "hand and fingers": (140, 190, 300, 75, 0.6),
    "thigh and knee": (220, 220, 250, 50, 75),
    "lower leg": (130, 210, 220, 60, 75),
}
