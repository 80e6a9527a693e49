"""What the commands promise, whatever comes in whatever order: random settings and inputs, tick by tick."""

from __future__ import annotations

from typing import Any

from hypothesis import settings as effort
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from hutwright.native.words import Eye, Eyes, Mode, Word
from tests.native.core.leaf import MOVES, WHOLE, Leaf

CURRENTS = st.sampled_from([0, 100, 500, 2000, 4000, 9000, 13000, 30000, -2000])
LEVELS = st.sampled_from([0, 1])
SAYINGS = st.sampled_from([0, 1, 2, 3, 77])
SOME_SETTINGS = st.fixed_dictionaries(
    {
        "ends": st.sampled_from([0, 1, 2]),
        "sense": st.sampled_from([0, 1]),
        "commands": st.integers(1, 15),
        "eyes": st.integers(0, 7),
        "link_lost": st.integers(0, 2),
        "link_lost_ms": st.sampled_from([0, 200]),
        "most_reversals": st.integers(1, 3),
        "ramp_ms": st.sampled_from([1, 50, 400]),
        "dead_ms": st.sampled_from([5, 20, 60]),
        "opening_cap_ms": st.sampled_from([500, 3000]),
        "closing_cap_ms": st.sampled_from([500, 3000]),
        "blind_ms": st.sampled_from([0, 200]),
        "after_ms": st.sampled_from([1, 10]),
        "zero_ms": st.sampled_from([8, 50]),
        "stuck_ms": st.sampled_from([0, 100]),
        "start_permille": st.sampled_from([0, 200]),
        "auto_close_s": st.sampled_from([0, 1]),
        "present_hold_ms": st.sampled_from([0, 300]),
        "debounce_ms": st.sampled_from([1, 20]),
        "back_permille": st.sampled_from([0, 200]),
    }
)


class Storm(RuleBasedStateMachine):
    """All that can happen to a controller, at any time; `Leaf.tick` holds every tick to the promises."""

    @initialize(chosen=SOME_SETTINGS, place=st.sampled_from([0.0, 0.4, 1.0]))
    def power_up(self, chosen: dict[str, Any], place: float) -> None:
        self.leaf = Leaf(place, **chosen)
        self.chosen = chosen
        self.counted = self.leaf.controller.state["counters"].copy()
        self.leaf.run(1)

    def _pass(self, ms: int, word: int = Word.NOTHING) -> None:
        """Time goes on, and more is held to than in every leaf's tick."""
        leaf = self.leaf
        for at in range(ms):
            before = leaf.mode
            leaf.tick(word if at == 0 else Word.NOTHING)
            if before == Mode.FAULT and leaf.mode not in (Mode.FAULT, Mode.STOPPED):
                raise AssertionError(f"FAULT became {leaf.mode.name}")
            if before == Mode.LAID_UP and leaf.mode not in (Mode.LAID_UP, Mode.STOPPED):
                raise AssertionError(f"LAID_UP became {leaf.mode.name}")
            if leaf.mode == Mode.CLOSING and before not in (Mode.CLOSING, Mode.OPENING):
                self._began_to_close(before)

    def _began_to_close(self, before: Mode) -> None:
        leaf = self.leaf
        eyes = self.chosen["eyes"]
        assert before in (Mode.OPEN, Mode.STOPPED, Mode.SHUT)
        assert int(leaf.inputs["supply_mV"]) >= 10500
        assert not eyes & Eyes.PRESENT or leaf.inputs["present"] == Eye.CLEAR
        assert not eyes & Eyes.BEAM or leaf.inputs["beam"] == Eye.CLEAR
        assert not eyes & Eyes.EDGE or leaf.inputs["edge"] == Eye.CLEAR
        if not eyes & (Eyes.PRESENT | Eyes.BEAM):
            assert leaf.why.name == "BUTTON"

    @rule(ms=st.sampled_from([1, 2, 7, 30, 150, 600]))
    def wait(self, ms: int) -> None:
        self._pass(ms)

    @rule(ms=st.sampled_from([1500, 3000]))
    def wait_long(self, ms: int) -> None:
        self._pass(ms)

    @rule(word=st.sampled_from([*Word, 9, 255]))
    def say(self, word: int) -> None:
        self._pass(1, word)
        if word == Word.STOP:
            assert self.leaf.duty == 0
            assert self.leaf.mode not in MOVES

    @rule(contact=st.sampled_from(["button", "relay", "sensor", "line_alive"]), level=LEVELS)
    def turn(self, contact: str, level: int) -> None:
        self.leaf.inputs[contact] = level

    @rule(held=st.sampled_from([3, 30, 1200]))
    def press(self, held: int) -> None:
        moving = self.leaf.mode in MOVES
        heard = self.chosen["commands"] & 1 and held > self.chosen["debounce_ms"]
        self.leaf.inputs["button"] = 0
        self._pass(30)
        moving = self.leaf.mode in MOVES
        self.leaf.inputs["button"] = 1
        self._pass(min(held, self.chosen["debounce_ms"]))
        if moving and heard:
            assert self.leaf.duty == 0
            assert self.leaf.mode not in (Mode.OPENING, Mode.CLOSING, Mode.REVERSING)
        self._pass(max(0, held - self.chosen["debounce_ms"]))
        self.leaf.inputs["button"] = 0

    @rule(eye=st.sampled_from(["present", "beam", "edge"]), says=SAYINGS)
    def see(self, eye: str, says: int) -> None:
        self.leaf.inputs[eye] = says

    @rule()
    def clear_the_doorway(self) -> None:
        for eye in ("present", "beam", "edge"):
            self.leaf.inputs[eye] = Eye.CLEAR
        self.leaf.limits, self.leaf.current, self.leaf.blocked = {}, int, (0.0, 1.0)
        self.leaf.moving = True
        self.leaf.inputs["supply_mV"] = 12000

    @rule()
    def block(self) -> None:
        place = self.leaf.place
        self.leaf.blocked = (place, 1.0) if self.leaf.duty < 0 else (0.0, place)

    @rule(limit=st.sampled_from(["shut", "open"]), level=LEVELS)
    def stick(self, limit: str, level: int) -> None:
        self.leaf.limits[limit] = level

    @rule(more=CURRENTS)
    def disturb_the_sensor(self, more: int) -> None:
        self.leaf.current = lambda mA: max(-32768, min(32767, mA + more))

    @rule()
    def cut_the_motor_lead(self) -> None:
        self.leaf.moving = False

    @rule(supply=st.sampled_from([0, 9000, 10499, 10500, 14500, 65535]))
    def supply(self, supply: int) -> None:
        self.leaf.inputs["supply_mV"] = supply

    @rule(temperature=st.sampled_from([-32768, -200, 200, 500, 32767]))
    def weather(self, temperature: int) -> None:
        self.leaf.inputs["temperature_dC"] = temperature

    @rule(place=st.sampled_from([0, 30, 500, 990, 1000, 40000, 65535]))
    def place_sensor(self, place: int) -> None:
        self.leaf.inputs["place_permille"] = place

    @precondition(lambda self: self.leaf.ticks > 3000)
    @rule()
    def power_cut(self) -> None:
        kept = self.leaf.controller.state["counters"].copy()
        self.leaf.controller.begin(kept)
        self.leaf._out.open_permille = self.leaf._out.close_permille = 0
        self.leaf._off_ms = self.chosen["dead_ms"]
        self._pass(50)
        assert self.leaf.mode in (Mode.STOPPED, Mode.FAULT)

    @invariant()
    def counters_only_grow(self) -> None:
        now = self.leaf.controller.state["counters"].copy()
        assert (now >= self.counted).all()
        self.counted = now

    @invariant()
    def everything_stays_within_its_bounds(self) -> None:
        detect, decide = self.leaf.detect, self.leaf.decide
        assert 0 <= int(detect["place_q30"]) <= WHOLE
        assert int(detect["covered_q30"]) <= WHOLE
        assert int(detect["lag_at"]) < 8
        assert int(detect["start_at"]) <= 8
        assert int(decide["dead_ms"]) <= self.chosen["dead_ms"]
        assert int(decide["ramp_sum"]) < self.chosen["ramp_ms"]
        assert int(decide["duty_permille"]) <= 900
        assert int(decide["run_ms"]) <= max(self.chosen["opening_cap_ms"], self.chosen["closing_cap_ms"])

    @invariant()
    def the_machine_may_leave_only_from_open(self) -> None:
        if self.leaf.out["may_leave"]:
            assert self.leaf.mode == Mode.OPEN
            if self.chosen["ends"] == 0:
                assert self.leaf.inputs["limit_open"]


Storm.TestCase.settings = effort(stateful_step_count=30, deadline=None)
TestStorm = Storm.TestCase
