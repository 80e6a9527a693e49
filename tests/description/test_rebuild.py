"""A description changed in place is the one that its changed file would give."""

from __future__ import annotations

from pathlib import Path

import pytest

from hutwright.description.assembly import About
from hutwright.description.build import build, rebuild
from hutwright.description.changes import changed
from hutwright.description.defaults import READS
from hutwright.description.overlay import whole
from hutwright.description.reading import read_sheet
from hutwright.errors import DescriptionError

DEMOS = Path(__file__).parents[2] / "demos"
CHANGES: list[dict[tuple[str, ...], object]] = [
    {("cables", "feed", "core"): "2.5 mm2 class 5"},
    {("site", "air", "coldest"): "-25..-20 degC"},
    {("site",): None},
    {("build_ups", "leaf"): ["9 mm plywood"]},
    {("drive", "rating", "current"): "2.2 A", ("controller", "detection", "trip"): None},
    {("drive", "rating", "current"): "2.2 A"},
    {
        ("electronics", "bridge", "kind"): "single MOSFET 30 A class",
        ("electronics", "bridge", "paralleled"): 1,
    },
    {("electronics", "warmest"): None, ("site", "air", "warmest"): "41 degC"},
    {("regulators", "second"): {"kind": "switching 5 V 3 A", "fed_by": "battery"}},
    {("controller",): None},
    {("limits", "wiring.autonomy"): "4 d"},
    {("machine",): None, ("dock",): None, ("door", "leaf", "mass"): "3 kg"},
]


def orchard():
    return build(whole(read_sheet(DEMOS / "orchard" / "hut.toml", "hut.toml")))


@pytest.mark.parametrize("changes", CHANGES)
def test_gives_what_building_the_changed_tables_gives(changes):
    before = orchard()
    quick, slow = rebuild(before, changes), build(changed(before.merged, changes), at_range_ends=False)
    assert quick.project == slow.project
    assert dict(quick.values) == dict(slow.values)
    assert quick.merged == slow.merged


def test_leaves_the_description_that_it_began_with_alone():
    before = orchard()
    kept = (before.project, dict(before.values), before.merged)
    rebuild(before, CHANGES[0])
    assert (before.project, dict(before.values), before.merged) == kept


def test_refuses_what_building_refuses():
    with pytest.raises(DescriptionError, match="another node"):
        rebuild(orchard(), {("cables", "feed", "to"): "battery"})
    with pytest.raises(DescriptionError, match=r"cables\.feed\.length"):
        rebuild(orchard(), {("cables", "feed", "length"): "6 V"})


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_no_rule_looks_at_a_table_that_is_not_written_down(demo, monkeypatch):
    seen: set[tuple[str, str]] = set()
    plain = About.reading_at

    def watched(self, *address):
        seen.add((self.path[0] if self.path else address[0], address[0]))
        return plain(self, *address)

    monkeypatch.setattr(About, "reading_at", watched)
    sheet = whole(read_sheet(DEMOS / demo / "hut.toml", "hut.toml"))
    for taken_out in (None, "site", "controller", "electronics", "drive"):
        data = (
            sheet
            if taken_out is None
            else changed(sheet, {(taken_out,): None, ("measured",): None, ("allow",): None})
        )
        try:
            build(data)
        except DescriptionError:
            continue
    assert seen
    assert {(at, read) for at, read in seen if at != read} <= {
        (at, read) for at, reads in READS.items() for read in reads
    }
