"""One question of the guard, judged for tests: its working recomputes and its levers keep their word."""

from __future__ import annotations

import math
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
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.trades.guard import TRADE
from tests.described import ORCHARD
from tests.trades.wiring.judged import ZERO, after, recompute

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


@cache
def _sports_field() -> Merged:
    return whole(read_sheet(ORCHARD.parents[1] / "sports_field" / "hut.toml", "hut.toml"))


def sports_field(changes: Mapping[str, object] | None = None) -> Described:
    """The demo with the sliding door; changes as of `tests.described.orchard`."""
    spelled: dict[Keys, object] = {tuple(path.split(".")): value for path, value in (changes or {}).items()}
    return build(changed(_sports_field(), spelled))


def asked(key: str) -> Question:
    """The question of that key, as the trade asks it."""
    return next(each for each in TRADE.questions if each.key == key)


def checks(project: Project, key: str) -> dict[str, Check]:
    """The answers at nominal values, by subject; their working is recomputed on the way."""
    found = checks_at(asked(key), project)
    for each in found.values():
        recompute(each)
        if math.isnan(each.value):
            assert math.isnan(each.working[-1].result.value)
    return found


def check(project: Project, key: str, subject: str = "") -> Check:
    """The answer about one thing at nominal values."""
    return checks(project, key)[subject]


def verdict(described: Described, key: str, subject: str = "") -> Verdict:
    """The verdict over all ranges, without levers."""
    found = judge(asked(key), case_of(described).within(TRADE.reads))
    return next(each for each in found if each.check.subject == subject)


def _betters(described: Described, key: str, subject: str) -> bool:
    """Whether it holds over all ranges, or is not asked any more."""
    found = judge(asked(key), case_of(described).within(TRADE.reads))
    return all(each.margin >= 0.0 for each in found if each.check.subject == subject)


def levers(described: Described, key: str, subject: str = "") -> dict[str, Lever]:
    """The levers that work, by what they say; each has been pulled, and kept its word."""
    found = assess(described, (replace(TRADE, questions=(asked(key),)),)).verdicts
    working = [each for one in found if one.check.subject == subject for each in one.levers if each.works]
    for lever in working:
        if lever.needed is not None and lever.dimension is not None:
            set_to = after(described, {lever.path: units.write(lever.needed, lever.dimension)})
            worst = verdict(set_to, key, subject)
            assert abs(worst.margin) <= ZERO * abs(worst.worst.limit), lever.words
        if lever.option is not None:
            assert _betters(after(described, lever.option.changes), key, subject), lever.option.words
    return {lever.words: lever for lever in working}
