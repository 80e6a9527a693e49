"""Answers to the demos that several tests look at, worked out once for all tests of a process."""

from __future__ import annotations

from functools import cache

from hutwright.assessment import Assessment, assess
from hutwright.checks.verdict import Tier
from hutwright.description import folder
from hutwright.description.described import Described
from tests.described import DEMOS


@cache
def demo(name: str, variant: str | None = None) -> Described:
    """A demo as it stands in its folder, or one of its variants."""
    return folder.load(DEMOS / name, variant)


@cache
def quick(name: str, variant: str | None = None) -> Assessment:
    """What `hutwright check` answers to it."""
    return assess(demo(name, variant), tier=Tier.QUICK)


@cache
def full(name: str, variant: str | None = None) -> Assessment:
    """What it answers when every lever is tried."""
    return assess(demo(name, variant), tier=Tier.FULL)
