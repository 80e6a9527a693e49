"""The orchard's sky for tests of the sky's questions, and what judges them."""

from __future__ import annotations

from tests.judged import check as check
from tests.judged import checks as checks
from tests.judged import levers as levers
from tests.judged import recompute as recompute
from tests.judged import verdict as verdict
from tests.judged import verdicts as verdicts

# All that is unsure known: what the receiver shows of a satellite overhead.
KNOWN: dict[str, object] = {"machine.receiver.overhead": "45 dB-Hz"}
STEEL = ["0.6 mm steel sheet"]
STEEL_HUT: dict[str, object] = {"build_ups.wall": STEEL, "build_ups.leaf": STEEL, "build_ups.roof": STEEL}
HIDDEN: dict[str, object] = {"site.skyline": [["0 deg", "90 deg"]]}
EASY: dict[str, object] = {"machine.start_rule": {"satellites": 4, "pdop": 6.0, "share_of_day": "50 %"}}
EVERY = (
    "sky.satellites",
    "sky.satellites_low",
    "sky.shared",
    "sky.dilution",
    "sky.ready_shut",
    "sky.ready_wet",
    "sky.ready_snow",
    "sky.ready_open",
)
