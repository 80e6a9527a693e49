"""A leaf that does as it is told, so that a sentence about the controller can be said in a line or two.

No mechanics: the place follows the back-EMF that the controller itself expects, the current is 2 A where it
is free to move and 9 A where something holds it. The plant proper is in `native/sim`. Every tick of every
test that uses it is held to the promises of the commands.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from typing import Any, Self

from hutwright.native import records
from hutwright.native._door import lib
from hutwright.native.engine import Controller, sealed
from hutwright.native.records import Record, blank
from hutwright.native.words import Counter, Ends, Eye, Eyes, Fault, Mode, Sense, Why, Word

WHOLE = float(records.PLACE_OPEN)
MOVES = (Mode.OPENING, Mode.CLOSING, Mode.REVERSING)
FREE_MA, HELD_MA = 2000, 9000
RESISTANCE_MOHM, DROP_MV, GAIN_Q8 = 500, 1000, 41648  # 0.75 s of travel at 900 permille and 12 V

PLAIN: dict[str, Any] = {
    "version": records.SETTINGS_VERSION, "sense": 0, "ends": 0, "commands": 15, "eyes": 7, "link_lost": 0,
    "most_reversals": 3, "normal_permille": 900, "last_permille": 400, "start_permille": 200, "ramp_ms": 100,
    "dead_ms": 20, "last_shut_permille": 100, "last_open_permille": 100, "opening_cap_ms": 8000,
    "closing_cap_ms": 8000, "backstop_mA": 12000, "backstop_ms": 20, "filter_q16": 13107, "slow_q16": 655,
    "after_ms": 10, "blind_ms": 200, "start_step_ms": 25, "reference_dC": 200, "reference_mV": 12000,
    "trained_low_dC": -50, "trained_high_dC": 350, "trained_low_mV": 11000, "trained_high_mV": 13000,
    "widen_per_kelvin_mA": 10, "widen_per_volt_mA": 300, "widen_most_mA": 1000, "start_above_mV": 10500,
    "stop_below_mV": 9500, "stop_below_ms": 50, "place_gain_q8": GAIN_Q8, "resistance_mohm": RESISTANCE_MOHM,
    "drop_mV": DROP_MV, "end_permille": 50, "slip_permille": 150, "zero_ms": 50, "zero_most_mA": 500,
    "range_mA": 25000, "stuck_ms": 0, "none_mA": 200, "none_ms": 60, "relax_permille": 50,
    "back_permille": 200, "present_hold_ms": 300, "auto_close_s": 0, "link_lost_ms": 0, "debounce_ms": 20,
    "clear_ms": 1000,
}  # fmt: skip
DETECTOR: dict[str, Any] = {"profile_mA": FREE_MA, "start_mA": 0, "per_kelvin_uA": 0, "per_volt_mA": 0,
                            "trip_mA": 1500, "rise_mA": 1000}  # fmt: skip


def settings(*, seal: bool = True, **changes: Any) -> Record:
    """Settings of a plain door with these fields changed; ``opening`` and ``closing`` take a dictionary."""
    record = blank(records.SETTINGS)
    for way in ("opening", "closing"):
        for name, value in (DETECTOR | dict(changes.pop(way, {}))).items():
            record[way][name] = value
    for name, value in (PLAIN | changes).items():
        record[name] = value
    return sealed(record) if seal else record


def still(**changes: Any) -> Record:
    """Inputs of a door at rest where all is well."""
    inputs = blank(records.INPUTS)
    inputs["supply_mV"], inputs["temperature_dC"] = 12000, 200
    inputs["place_permille"] = records.NO_PLACE
    inputs["present"] = inputs["beam"] = inputs["edge"] = Eye.CLEAR
    for name, value in changes.items():
        inputs[name] = value
    return inputs


class Leaf:
    """The controller with a leaf that obeys it.

    Attributes
    ----------
    controller : Controller
        The compiled controller.
    place : float
        Where the leaf is: 0 shut, 1 open. [-]
    inputs : Record
        What the board will read in the next tick; current, limits and word are filled in by `tick`.
    out : Record
        The outputs of the last tick.
    ticks : int
        Milliseconds since power-up. [ms]
    blocked : tuple of float
        The leaf can only be between these. [-]
    current : callable
        From what the sensor would show to what it shows. [mA]
    limits : dict
        Limits that are stuck: name to level.
    place_sensor : bool
        Whether there is one.
    speed : float
        How much faster it goes than the plain settings say. [-]
    moving : bool
        Whether the motor turns; where not, it does not even draw current.
    """

    def __init__(self, place: float = 0.0, **changes: Any) -> None:
        self.controller = Controller(settings(**changes))
        self.controller._inputs[0] = still()
        # The controller's own memory, both as numpy records (for tests) and as C structures (quick).
        chosen, self._state, self._in, self._out = self._at = self.controller._at
        self._ends, self._eyes, self._sense = chosen.ends, chosen.eyes, chosen.sense
        self._dead_ms, self._caps_ms = chosen.dead_ms, (chosen.opening_cap_ms, chosen.closing_cap_ms)
        self.inputs, self.out = self.controller._inputs[0], self.controller._outputs[0]
        self.place = place
        self.ticks = 0
        self.blocked = (0.0, 1.0)
        self.current: Callable[[int], int] = int
        self.limits: dict[str, int] = {}
        self.place_sensor = False
        self.speed = 1.0
        self.moving = True
        self._ripple: Iterator[int] = itertools.cycle((0, 10, -10, 20, -20))
        self._off_ms, self._driven_ms = 0, 0

    # ---- shorthands ------------------------------------------------------------------------------------

    @property
    def mode(self) -> Any:  # a Mode; Any, since mypy thinks that what was compared once stays so
        return Mode(self._out.mode)

    @property
    def why(self) -> Why:
        return Why(int(self.out["why"]))

    @property
    def fault(self) -> Fault:
        return Fault(int(self.out["fault"]))

    @property
    def duty(self) -> int:
        """Above zero opening, below closing."""
        return int(self._out.open_permille - self._out.close_permille)

    @property
    def detect(self) -> Any:
        return self.controller.state["detect"]

    @property
    def decide(self) -> Any:
        return self.controller.state["decide"]

    @property
    def believed(self) -> float:
        """Where the controller believes the leaf to be. [-]"""
        return float(self.detect["place_q30"]) / WHOLE

    def counted(self, what: Counter) -> int:
        return int(self.controller.state["counters"][what])

    # ---- time goes on -----------------------------------------------------------------------------------

    def _motor_mA(self) -> int:
        """What flows, and one millisecond of moving."""
        duty = self.duty
        if duty == 0 or not self.moving:
            return 0
        way = 1 if duty > 0 else -1
        if self._ends == Ends.INSIDE and ((way > 0 and self.place >= 1.0) or (way < 0 and self.place <= 0.0)):
            return 0
        low, high = self.blocked
        if (way > 0 and self.place >= high) or (way < 0 and self.place <= low):
            return HELD_MA
        emf = max(0.0, self._in.supply_mV / 1000.0 * abs(duty) - DROP_MV - RESISTANCE_MOHM * FREE_MA / 1000.0)
        self.place = min(high, max(low, self.place + way * emf * self.speed * GAIN_Q8 / 256.0 / WHOLE))
        return FREE_MA

    def tick(self, word: int = Word.NOTHING) -> Any:
        """One millisecond; the outputs."""
        flows = self._motor_mA()
        shown = flows + (next(self._ripple) if flows else 0)
        if self._sense == Sense.SUPPLY:
            shown = shown * abs(self.duty) // 1000
        self._in.current_mA = self.current(shown)
        switches = self._ends == Ends.SWITCHES
        self._in.limit_shut = self.limits.get("shut", int(switches and self.place <= 0.0))
        self._in.limit_open = self.limits.get("open", int(switches and self.place >= 1.0))
        if self.place_sensor:
            self._in.place_permille = round(1000.0 * self.place)
        self._in.word = word
        before = self.duty
        lib.door_tick(*self._at)
        self.ticks += 1
        self._hold_to_promises(before, word)
        return self.out

    def adds(self, more_mA: int) -> Self:
        """From now on the sensor shows so much more. [mA]"""
        self.current = lambda mA: mA + more_mA
        return self

    def shows(self, always_mA: int) -> Self:
        """From now on the sensor shows nothing but that. [mA]"""
        self.current = lambda _: always_mA
        return self

    def run(self, ms: int) -> Self:
        """So many milliseconds."""
        for _ in range(ms):
            self.tick()
        return self

    def until(self, *modes: Mode, within: int = 20000) -> int:
        """Until one of the modes; how long it took. [ms]"""
        for elapsed in range(within):
            if self.mode in modes:
                return elapsed
            self.tick()
        raise AssertionError(f"still {self.mode.name} ({self.why.name}, {self.fault.name}) after {within} ms")

    def until_driven(self, within: int = 1000) -> int:
        """Until the drive comes on; how long both sides were off. [ms]"""
        for elapsed in range(within):
            if self.duty:
                return elapsed
            self.tick()
        raise AssertionError(f"not driven after {within} ms: {self.mode.name}")

    def say(self, word: Word) -> Self:
        """A word on the line."""
        self.tick(word)
        return self

    def press(self, held: int = 30) -> Self:
        """The button, held so long and let go. [ms]"""
        self.inputs["button"] = 1
        self.run(held)
        self.inputs["button"] = 0
        return self.run(30)

    # ---- ways to a state ------------------------------------------------------------------------------

    def opened(self) -> Self:
        """Powered up, opened once and at rest; the place is known."""
        self.run(120).say(Word.OPEN)
        self.until(Mode.OPEN, Mode.STOPPED)
        return self.run(120)

    def shut(self) -> Self:
        """The same, and shut again."""
        self.opened().say(Word.CLOSE)
        self.until(Mode.SHUT)
        return self.run(120)

    def closing_at(self, place: float) -> Self:
        """Closing, and there."""
        self.opened().say(Word.CLOSE)
        while self.place > place:
            self.tick()
            assert self.mode == Mode.CLOSING
        return self

    def opening_at(self, place: float) -> Self:
        """Opening with the place known, and there."""
        self.shut().say(Word.OPEN)
        while self.place < place:
            self.tick()
            assert self.mode == Mode.OPENING
        return self

    # ---- what holds in every tick ------------------------------------------------------------------------

    def _hold_to_promises(self, before: int, word: int) -> None:
        duty, mode = self.duty, self._out.mode
        assert not (self._out.open_permille and self._out.close_permille)
        if duty:
            assert self._out.enable
            assert mode in MOVES
            assert word != Word.STOP
            if before == 0 or (before > 0) != (duty > 0):
                assert before == 0, "no reversal without dead time"
                assert self._off_ms >= self._dead_ms, "dead time before every start"
                self._driven_ms = 0
            self._driven_ms += 1
            assert self._driven_ms <= self._caps_ms[duty < 0]
        self._off_ms = 0 if duty else self._off_ms + 1
        assert self._out.enable == (mode in MOVES)
        if duty < 0:
            assert not self._eyes & Eyes.PRESENT or self._in.present == Eye.CLEAR
            assert not self._eyes & Eyes.BEAM or self._in.beam == Eye.CLEAR
