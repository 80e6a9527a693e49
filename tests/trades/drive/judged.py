"""One question of the drive, judged for tests, and descriptions that can be checked with a pencil."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from hutwright import units
from hutwright.assessment import assess, case_of
from hutwright.checks.check import Check, Question
from hutwright.checks.judging import checks_at, judge
from hutwright.checks.lever import Lever
from hutwright.checks.verdict import Verdict
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Described
from hutwright.description.overlay import Merged, whole
from hutwright.description.reading import read_sheet
from hutwright.trades.drive import TRADE
from tests.described import ORCHARD
from tests.trades.wiring.judged import ZERO, after, recompute

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


@cache
def _field() -> Merged:
    return whole(read_sheet(ORCHARD.parents[1] / "sports_field" / "hut.toml", "hut.toml"))


def field(changes: Mapping[str, object] | None = None) -> Described:
    """The sports-field demo; changes as of `tests.described.orchard`."""
    spelled = {tuple(path.split(".")): value for path, value in (changes or {}).items()}
    return build(changed(_field(), spelled))


def pencil(changes: Mapping[str, object] | None = None) -> Described:
    """The sliding leaf that can be checked with a pencil."""
    return field({**PENCIL, **(changes or {})})


def asked(key: str) -> Question:
    """The question of that key, as the trade asks it."""
    return next(each for each in TRADE.questions if each.key == key)


def checks(described: Described, key: str) -> dict[str, Check]:
    """The answers at nominal values, by subject; their working is recomputed on the way."""
    found = checks_at(asked(key), described.project)
    for each in found.values():
        recompute(each)
    return found


def check(described: Described, key: str, subject: str = "") -> Check:
    """The answer about one thing at nominal values."""
    return checks(described, key)[subject]


def verdicts(described: Described, key: str) -> dict[str, Verdict]:
    """The verdicts of one question over all ranges, without levers, by subject."""
    found = judge(asked(key), case_of(described).within(TRADE.reads))
    for each in found:
        recompute(each.worst)
    return {each.check.subject: each for each in found}


def levers(described: Described, key: str, subject: str = "") -> dict[str, Lever]:
    """The levers that work, by what they say; each has been pulled, and kept its word."""
    found = assess(described, (replace(TRADE, questions=(asked(key),)),)).verdicts
    working = [each for one in found if one.check.subject == subject for each in one.levers if each.works]
    for lever in working:
        if lever.needed is not None and lever.dimension is not None:
            set_to = after(described, {lever.path: units.write(lever.needed, lever.dimension)})
            worst = verdicts(set_to, key)[subject]
            assert abs(worst.margin) <= ZERO * abs(worst.worst.limit), lever.words
        if lever.option is not None:
            assert verdicts(after(described, lever.option.changes), key)[subject].margin >= 0.0, lever.option
    return {lever.words: lever for lever in working}
