"""What differs between a description and its variants."""

from __future__ import annotations

from hutwright.studies.compare import Change, changes, compare
from tests.described import described
from tests.outputs.made import TEXT, assessed, unknown


def test_a_changed_value_is_one_change():
    other = described(TEXT.replace("0.1 ohm", "0.2 ohm"))
    assert changes(described(TEXT), other) == (
        Change(path="supplies.source.resistance", before="0.1 ohm", after="0.2 ohm"),
    )


def test_a_new_table_is_one_change_and_so_is_one_that_is_gone():
    table = {"kind": "blade, ISO 8820-3 type C", "rating": "3 A"}
    more = described(TEXT + '[fuses.spare]\nkind = "blade, ISO 8820-3 type C"\nrating = "3 A"\n')
    assert changes(described(TEXT), more) == (Change(path="fuses", before=None, after={"spare": table}),)
    assert changes(more, described(TEXT)) == (Change(path="fuses", before={"spare": table}, after=None),)


def test_the_same_description_changes_nothing():
    assert changes(described(TEXT), described(TEXT)) == ()


def test_a_check_that_comes_out_the_same_is_no_row():
    found = compare(assessed(), [assessed()])
    assert found.rows == ()
    assert found.same == ("wiring.start_dip",)


def test_what_is_unknown_in_both_is_the_same():
    assert compare(unknown(), [unknown()]).rows == ()


def test_a_check_that_is_not_asked_in_one_differs():
    found = compare(assessed(), [assessed(text='format = 1\nname = "Made hut"\n')])
    (row,) = found.rows
    assert row.answers[1] is None
    assert found.short
