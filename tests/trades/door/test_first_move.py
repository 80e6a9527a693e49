"""The first move after a power cut, slow all the way, against the caps: by pencil, by the core, by levers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.bench.free import ASKED, BUTTON, REST, settings_with_button
from hutwright.bench.plant import sim_door
from hutwright.checks.verdict import Status
from hutwright.native import engine
from hutwright.native.scenario import scenario
from hutwright.native.words import Fault, Mode
from hutwright.plant.conditions import nominal
from tests.trades.door.judged import calm, check, checks, field, levers, verdict
from tests.trades.door.test_closing_time import FREE

KEY = "door.first_move"
LONG = {"controller.longest_run": {"opening": "60 s", "closing": "60 s"}}


@pytest.mark.parametrize("way", ["opening", "closing"])
def test_agrees_with_a_pencil_at_the_slow_duty_all_the_way(way):
    """820 mm at 0.35 of full duty; free run at 24 V, 2 ohm and 0.6 A is 140 mm/s."""
    constant = (24.0 - 2.0 * 0.6) / 0.140
    wanted = 0.820 / ((24.0 * 0.35 - 2.0 * 0.6) / constant)
    # The supply's and the cables' milliohms are left out of the pencil.
    assert check(field(FREE), KEY, way).value == pytest.approx(wanted, rel=2e-3)


def played(described) -> tuple[float, Mode, Fault]:
    """The first opening after power-up, by the controller itself: its time, state and fault at the end."""
    project = described.project
    own = settings_with_button(project, sensed=False)
    record = scenario(BUTTON, place_known=False, duration=ASKED + 70.0, settle=REST)
    result = engine.run(sim_door(project, nominal(project)), own, record, rows=False).result
    return float(result["open_time"]), Mode(int(result["end_mode"])), Fault(int(result["end_fault"]))


@pytest.mark.parametrize("base", [calm, field])
def test_the_core_with_a_long_cap_takes_no_longer_and_ends_in_a_fault_with_the_described_one(base):
    time, mode, _ = played(base(LONG))
    assert mode is Mode.OPEN
    # dead time, zeroing and soft start come on top, within the second that the limit leaves; cables and
    # supply are counted with the motor's whole current here, though the bridge draws less at a low duty
    told = check(base(LONG), KEY, "opening").value
    assert 0.85 * told < time < told + 1.0
    short = base({})
    assert verdict(short, KEY, "opening").status is Status.MISSES
    _, mode, fault = played(short)
    assert (mode, fault) == (Mode.FAULT, Fault.RUN_TOO_LONG)


def test_a_cap_at_which_the_check_just_holds_lets_the_core_arrive():
    cap = verdict(field(), KEY, "opening").worst.value + 1.0
    longer = field({"controller.longest_run.opening": f"{cap:.3f} s"})
    assert verdict(longer, KEY, "opening").margin == pytest.approx(0.0, abs=0.001)
    assert played(longer)[1] is Mode.OPEN


@pytest.mark.parametrize("way", ["opening", pytest.param("closing", marks=pytest.mark.slow)])
def test_every_lever_keeps_its_word(way):
    pulled = levers(field(), KEY, way)
    assert f"let a run {'open' if way == 'opening' else 'shut'} for at most" in pulled
    assert "let the last stretch before shut run at a duty of" in pulled
    assert "both at once" in pulled


def test_without_a_slower_stretch_the_first_move_is_like_any_other_and_no_lever_asks_to_quicken_it():
    even = field({"controller.speed": {"normal": 0.5, "last": 0.5, "last_over": "120 mm"}})
    assert set(levers(even, KEY, "opening")) == {"let a run open for at most"}


def test_nothing_is_asked_without_a_controller():
    assert not checks(field({"controller": None}), KEY)


@settings(max_examples=8)
@given(st.floats(0.3, 0.85))
def test_a_quicker_stretch_never_takes_longer(last):
    slow, quick = (
        check(field({"controller.speed.last": round(each, 3)}), KEY, "closing").value
        for each in (last, last + 0.05)
    )
    assert quick <= slow
