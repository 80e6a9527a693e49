"""Doors for tests of the door's questions, and what judges them."""

from __future__ import annotations

from collections.abc import Mapping

from hutwright.description.described import Described
from tests.described import orchard, sports_field
from tests.judged import after as after
from tests.judged import asked as asked
from tests.judged import check as check
from tests.judged import checks as checks
from tests.judged import levers as levers
from tests.judged import recompute as recompute
from tests.judged import verdict as verdict
from tests.judged import verdicts as verdicts

# The orchard's door with nothing unsure about its leaf, on a calm and dry day.
CALM: Mapping[str, object] = {
    "site.wind.working": "0 m/s",
    "site.snow.drift": "0 m",
    "door.leaf.mass": "3 kg",
    "door.leaf.fittings": "1 kg",
    "door.hinge.friction": "0.4 N m",
    "door.seal.force": "40 N",
    "door.ice": "50 N",
    "drive.body": "40 mm",
    "limits": None,
    "allow": None,
}


def calm(changes: Mapping[str, object] | None = None) -> Described:
    """The orchard's door on a calm day, with some more values changed."""
    return orchard({**CALM, **(changes or {})})


field = sports_field
