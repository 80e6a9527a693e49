"""A door for tests of the guard's questions that can be checked with a pencil, and what judges them."""

from __future__ import annotations

from tests.described import sports_field as sports_field
from tests.judged import after as after
from tests.judged import asked as asked
from tests.judged import check as check
from tests.judged import checks as checks
from tests.judged import levers as levers
from tests.judged import recompute as recompute
from tests.judged import verdict as verdict
from tests.judged import verdicts as verdicts

# Straight leaf on a belt, no circuit, one temperature: what stays can be done with a pencil.
BARE = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "supplies": None,
    "fuses": None,
    "cables": None,
    "regulators": None,
    "electronics": None,
    "pins": None,
    "measured": None,
    "door.edge": {"kind": "hard"},
    "door.leaf.mass": "4 kg",
    "door.leaf.fittings": "2 kg",
    "door.track.friction": "10 %",
    "linkage.mount_stiffness": "60 N/mm",
    "drive.motor": {"time_constant": "20 ms"},
    "controller.speed": {"normal": 1.0, "last_over": "0 mm"},
}
