"""Pictures of runs: axes with units, the limits that were declared, files that are the same every time."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from hutwright.bench.rehearsal import rehearse
from hutwright.bench.scenarios import chosen
from hutwright.errors import RequestError
from hutwright.outputs.plots import Form, draw, plot_all
from hutwright.studies.rehearse import stage_of
from tests.described import sports_field
from tests.house.places import TOP


@pytest.fixture(scope="module")
def played():
    return rehearse(stage_of(sports_field()), chosen(["obstacle.stiff_300", "free.mild"])).performances


def by_key(played, key):
    return next(each for each in played if each.scenario.key == key)


def test_a_contact_shows_force_and_current_with_units_and_the_declared_limit(played):
    performance = by_key(played, "obstacle.stiff_300")
    upper, lower = draw(performance).axes
    assert upper.get_ylabel() == "force [N]"
    assert lower.get_ylabel() == "motor current [A]"
    assert lower.get_xlabel() == "time from the contact [s]"
    notes = {text.get_text() for text in upper.texts}
    assert {"peak at most 400 N", "above 150 N for at most 0.75 s"} <= notes
    heights = {float(way[0]) for line in upper.lines if len(way := np.asarray(line.get_ydata())) == 2}
    assert {400.0, 150.0} <= heights


def test_the_line_is_the_force_of_the_run(played):
    performance = by_key(played, "obstacle.stiff_300")
    lines = [np.asarray(each.get_ydata()) for each in draw(performance).axes[0].lines]
    (force,) = [each for each in lines if len(each) > 100]
    assert force.max() == pytest.approx(performance.worst.result["peak_seen"], rel=1e-3)


def test_a_run_without_contact_shows_the_way_of_the_leaf(played):
    upper, lower = draw(by_key(played, "free.mild")).axes
    assert upper.get_ylabel() == "way from shut [%]"
    assert lower.get_xlabel() == "time [s]"


@pytest.mark.parametrize(("form", "head"), [(Form.PNG, b"\x89PNG"), (Form.SVG, b"<?xml")])
def test_files_are_written_and_come_out_the_same_again(played, tmp_path, form, head):
    contact = [by_key(played, "obstacle.stiff_300")]
    first = plot_all(contact, tmp_path / "one", form)
    again = plot_all(contact, tmp_path / "two", form)
    assert [path.name for path in first] == [f"obstacle_stiff_300.{form.value}"]
    for one, two in zip(first, again, strict=True):
        assert one.read_bytes().startswith(head)
        assert one.read_bytes() == two.read_bytes()


def test_a_place_that_cannot_be_written_to_is_a_sentence(played, tmp_path):
    (tmp_path / "file").write_text("in the way", "utf-8")
    with pytest.raises(RequestError, match="choose another folder"):
        plot_all(played, tmp_path / "file")


def test_nothing_is_drawn_with_before_a_picture_is_wanted():
    code = "import sys; import hutwright.app, hutwright.outputs.plots; print('matplotlib' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
        cwd=TOP,
        env={"PYTHONPATH": "src"},
    )
    assert done.stdout == "False\n"
