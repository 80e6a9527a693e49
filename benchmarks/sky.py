"""What the sky's numbers take: the field table of a hut, a layout of windows, a day of satellites."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import numpy as np

from hutwright import memo
from hutwright.layout.skin import skin
from hutwright.model.hut import Pane
from hutwright.model.project import Project
from hutwright.plant.sky import readiness
from hutwright.plant.sky.coverings import WET
from hutwright.plant.sky.field import antenna_at, field_ratio, leaf_at, patch_size, unit_sums
from hutwright.plant.sky.inside import PATCH, dome, inside_sums
from hutwright.plant.sky.table import (
    FieldTable,
    RoofWindow,
    Scene,
    layout_field,
    scene,
    table_of,
)
from tests.described import orchard

PANE = Pane(material="polycarbonate", thickness=5e-3, edges="held", metallised=False)
WINDOWS = (RoofWindow("roof", (0.1, 0.4), (0.2, 0.6)), RoofWindow("roof", (0.5, 0.8), (0.2, 0.6)))
THREADS = 2
LAYOUTS = 100  # that are timed together, because one is too quick for the clock


@cache
def _hut() -> Project:
    return orchard().project


def table() -> FieldTable:
    """The table of the orchard hut for layouts of roof windows, worked out anew on two threads."""
    with memo.forgetting(), ThreadPoolExecutor(THREADS) as executor:
        return table_of(_hut(), executor=executor)


def check_sums() -> None:
    """The sums that a check of the orchard hut reads, worked out anew."""
    with memo.forgetting():
        inside_sums(orchard().project)


def direct() -> None:
    """The field with the described window by the plain sum, at the table's own fineness."""
    project = _hut()
    with ThreadPoolExecutor(THREADS) as executor:
        sums = unit_sums(
            skin(project, PATCH * patch_size()),
            antenna_at(project),
            dome().toward,
            leaves=(leaf_at(project, 0.0),),
            executor=executor,
        )
    field_ratio(project, sums, WET, leaf=0)


@cache
def stage() -> Scene:
    """The table in the rain."""
    return scene(_hut(), table(), PANE, WET, leaf=0)


def layouts() -> Callable[[], None]:
    """Layouts of two windows out of the table."""
    here = stage()

    def run() -> None:
        for _ in range(LAYOUTS):
            layout_field(here, WINDOWS)

    return run


def day() -> Callable[[], None]:
    """A day of four systems in a hut whose sums stand: levels, counts, dilution, share ready."""
    sums = inside_sums(_hut())
    assert np.isfinite(sums.coverings).all()

    def run() -> None:
        project = orchard().project  # another record each time, of which nothing is remembered but the sums
        readiness.ready_share(project, readiness.SHUT)

    return run
