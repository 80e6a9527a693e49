"""A battery, a regulator and a board, with every number known."""

from __future__ import annotations

BATTERY = """
format = 1
[site]
air = { coldest = "-15 degC", warmest = "30 degC" }
[supplies.battery]
kind = "lead-acid 12 V"
voltage = "12 V"
resistance = "50 mohm"
capacity = "10 Ah"
usable = "50 %"
cold_loss = "1 %/K"
self_discharge_a_month = "3 %"
CHARGER
[cables]
line = { from = "battery", to = "five", core = "0.75 mm2 class 5", length = "1 m" }
[regulators.five]
kind = "linear 5 V 0.5 A"
output = "5 V"
quiescent = "5 mA"
[electronics]
logic = { fed_by = "five", load = "50 mA", asleep = "10 mA" }
"""


def battery(charger: str = "") -> str:
    """The description, with a charger or without."""
    return BATTERY.replace("CHARGER", charger)
