"""Drives for tests of the drive's questions that can be checked with a pencil, and what judges them."""

from __future__ import annotations

from collections.abc import Mapping

from hutwright.description.described import Described
from tests.described import sports_field
from tests.judged import after as after
from tests.judged import asked as asked
from tests.judged import check as check
from tests.judged import checks as checks
from tests.judged import levers as levers
from tests.judged import recompute as recompute
from tests.judged import verdict as verdict
from tests.judged import verdicts as verdicts

# A sliding leaf of 20 kg, 10 % friction and a seal of 20 N, on a calm 20 degC, and a drive that hangs on its
# own rated voltage: speed falls from 140 mm/s by 30 mm/s, and current rises from 0.6 A by 1.6 A, for 180 N.
PENCIL: Mapping[str, object] = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "site.wind.working": "0 m/s",
    "site.snow.drift": "0 m",
    "door.leaf": {
        "width": "0.86 m",
        "height": "0.66 m",
        "build_up": "leaf",
        "mass": "20 kg",
        "fittings": "0 kg",
    },
    "door.track.friction": 0.1,
    "door.seal": {"force": "20 N", "over": "10 mm"},
    "door.ice": "0 N",
    **dict.fromkeys(("supplies", "fuses", "cables", "regulators", "electronics", "pins", "controller")),
}
FREE_FALL = 9.80665  # m/s2, the standard's
SHUT_LOAD = 0.1 * 20.0 * FREE_FALL + 20.0  # N, closing onto the seal


field = sports_field


def pencil(changes: Mapping[str, object] | None = None) -> Described:
    """The sliding leaf that can be checked with a pencil."""
    return field({**PENCIL, **(changes or {})})
