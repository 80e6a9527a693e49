"""The arithmetic of detect.c: nothing beyond its type, and the detectors count as the manual says.

Products and quotients of two unknown values stand for anything within their bounds, so a proof here holds for
more than the controller can do. Settings are accepted ones; what the decider hands over is what `door.py`
proves of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import z3

from tools.prove.door import Fields, Names, accepted_by, is_one_of, reader_of, upto, values_of
from tools.prove.solve import counterexample
from tools.prove.source import Program
from tools.prove.sums import Duty, Owed

# Where an unsigned sum is meant to wrap, or a negative value to be read as an unsigned one, and why.
MEANT = {
    "apart": "a difference of two signed values as an unsigned one",
    "magnitude": "the size of the least value too",
    "judge": "the residual shifted by 32768",
    "keep_slow": "the residual shifted by 32768",
}
# Where a difference stays above nought only by what a product is exactly: left out of the claim.
TOO_FINE = {
    "toward": "the part of the way is at most the way",
    "profile_at": "the part of the change is at most the change",
}
SEEN = (
    "residual", "rise", "backstop", "no_current", "without_duty", "out_of_range", "stuck", "outside_trained",
    "at_shut", "at_open", "slow_shut", "slow_open", "zeroed", "moved_relax", "moved_back", "off_place",
    "place_known",
)  # fmt: skip
MOST_MA = 60000
MOST_BY_WEATHER_MA = 6711 + 65535  # the cuts of either change of the expected current
OPEN = 1 << 30


@dataclass(slots=True, eq=False)
class Detection:
    """One call of door_detect().

    Attributes
    ----------
    settings, inputs, seen, decided : Fields
        What is set, read by the board, found, and was decided in the tick before.
    before, after : Fields
        The detector's state.
    given, bounds : list
        What is assumed, and what is known of products and quotients.
    owed : list of Owed
        What must hold of every step.
    """

    settings: Any
    inputs: Any
    seen: Any
    decided: Any
    before: Any
    after: Any
    given: list[Any]
    bounds: list[Any]
    owed: list[Owed]


def bounds(s: Any, d: Any) -> dict[str, Any]:
    """What holds of the detector's state between ticks.

    Parameters
    ----------
    s, d : Fields
        Settings and state.

    Returns
    -------
    dict
        A sentence each, and its term.
    """
    most_sum = d.zero_count * 32768
    return {
        "the place, the mark and the way covered are within the travel": z3.And(
            *(upto(share, OPEN) for share in (d.place_q30, d.mark_q30, d.covered_q30))),
        "the filtered current is at most 60 A": upto(d.filtered_q16, MOST_MA << 16),
        "the slow mean has 16 whole bits": upto(d.slow_q16, 65535 << 16),
        "the kept means are written in turn": z3.And(z3.ULT(d.lag_at, 8), z3.ULT(d.lag_ms, 16)),
        "the start profile is read in its steps": z3.And(
            upto(d.start_at, 8), z3.ULT(d.start_ms, s.start_step_ms)),
        "the zero's sum is that of so many readings": z3.And(
            z3.ULT(d.zero_count, s.zero_ms), d.zero_sum_mA <= most_sum, d.zero_sum_mA >= -most_sum),
        "the offset is one that is believed": z3.And(
            d.offset_mA <= s.zero_most_mA, d.offset_mA >= -s.zero_most_mA),
        "expected and greatest current are within their cuts": z3.And(
            upto(d.expected_mA, MOST_MA), upto(d.current_mA, MOST_MA)),
        "the greatest bins are bins": z3.And(upto(d.greatest_opening, 31), upto(d.greatest_closing, 31)),
        "what was reckoned for temperature and supply is within its cuts": z3.And(
            d.by_weather_mA >= -MOST_BY_WEATHER_MA, d.by_weather_mA <= MOST_BY_WEATHER_MA,
            z3.ULE(d.wider_mA, s.widen_most_mA)),
        "the residual can be turned": z3.And(d.residual_mA >= -32767, d.residual_mA <= 32767),
        "flags are 0 or 1 and ways are ways": z3.And(
            *(upto(flag, 1) for flag in (d.lag_full, d.place_known, d.zeroed, d.offset_known, d.offset_bad,
                                      d.outside)),
            upto(d.way, 2), upto(d.turning, 2)),
    }  # fmt: skip


def detection_of(program: Program) -> Detection:
    """Read one call."""
    reader = reader_of(program, relaxed=True, free=())
    reader.take("seen", "door_seen")
    before = values_of(reader)
    pointers = [reader.pointer("settings", const=True), reader.pointer("state", "detect"),
                reader.pointer("state", "decide", const=True), reader.pointer("inputs", const=True),
                reader.pointer("seen")]  # fmt: skip
    reader.call("door_detect", pointers)
    after = values_of(reader)
    s, d, decided = (
        Fields(before, "settings"),
        Fields(before, "state", "detect"),
        Fields(before, "state", "decide"),
    )
    given = [*bounds(s, d).values(), accepted_by(program), upto(decided.duty_permille, s.normal_permille),
             upto(decided.way, 2), z3.Implies(decided.way == 0, decided.duty_permille == 0),
             upto(decided.anchor, 4)]  # fmt: skip
    known = [bound for bound in reader.sums.bounds if bound is not True]
    return Detection(s, Fields(before, "inputs"), Fields(after, "seen"), decided, d,
                     Fields(after, "state", "detect"), given, known, reader.sums.owed)  # fmt: skip


Claim = Callable[[Detection, Names], Any]


# Claims on every step: which ways it must not go wrong, and in which functions it may on purpose.
STEPS: dict[str, tuple[frozenset[Duty], Mapping[str, str]]] = {
    "detect_defined": (
        frozenset({Duty.OVERFLOW, Duty.SHIFT, Duty.DIVISION, Duty.INDEX, Duty.POINTER}), {}),
    "detect_unwrapped": (frozenset({Duty.WRAP, Duty.NARROW}), MEANT | TOO_FINE),
}  # fmt: skip


def _steps(t: Detection, n: Names) -> Any:
    raise NotImplementedError("steps are asked about function by function")


def _kept(t: Detection, n: Names) -> Any:
    return z3.And(*bounds(t.settings, t.after).values())


def _driven(t: Detection) -> Any:
    return t.decided.duty_permille != 0


def _more(count: Any) -> Any:
    return z3.If(count == 65535, count, count + 1)


def _residual(t: Detection, n: Names) -> Any:
    """The count starts from 0 in a new run, and the run's age decides whether it is deaf."""
    anew = t.decided.way != t.before.way
    age = z3.If(anew, z3.BitVecVal(0, 32), t.before.run_ms)
    counted = z3.If(anew, z3.BitVecVal(0, 32), t.before.residual_ms)
    trip = z3.If(t.decided.way == n.CLOSES, t.settings.closing.trip_mA, t.settings.opening.trip_mA)
    above = t.after.residual_mA >= trip + t.settings.widen_most_mA
    below = t.after.residual_mA < trip
    deaf = z3.ULT(age, t.settings.blind_ms)
    return z3.Implies(_driven(t), z3.And(
        z3.Implies(z3.And(above, z3.Not(deaf)), t.after.residual_ms == _more(counted)),
        z3.Implies(z3.Or(below, deaf), t.after.residual_ms == 0)))  # fmt: skip


def _heard(t: Detection, n: Names) -> Any:
    return z3.And(
        (t.seen.residual != 0) == z3.UGE(t.after.residual_ms, t.settings.after_ms),
        (t.seen.rise != 0) == z3.UGE(t.after.rise_ms, t.settings.after_ms),
        (t.seen.backstop != 0) == z3.UGE(t.after.backstop_ms, t.settings.backstop_ms),
        (t.seen.no_current != 0) == z3.UGE(t.after.none_ms, t.settings.none_ms))  # fmt: skip


def _median(t: Detection) -> Any:
    a, b, c = t.before.last_mA[0], t.before.last_mA[1], t.inputs.current_mA
    low, high = z3.If(a < b, a, b), z3.If(a < b, b, a)
    return z3.If(c < low, low, z3.If(c > high, high, c))


def _backstop(t: Detection, n: Names) -> Any:
    """With a sensor at the motor and no new zero: the unfiltered current at the backstop is counted."""
    off = _median(t) - t.before.offset_mA
    size = z3.If(off < 0, -off, off)
    counted = z3.If(t.decided.way != t.before.way, z3.BitVecVal(0, 32), t.before.backstop_ms)
    over = z3.UGE(size, t.settings.backstop_mA)
    plain = z3.And(_driven(t), t.settings.sense == n.SENSE_MOTOR, t.decided.anchor != n.ANCHOR_ANEW)
    wanted = z3.If(over, _more(counted), z3.BitVecVal(0, 32))
    return z3.Implies(plain, t.after.backstop_ms == wanted)


def _at_rest(t: Detection, n: Names) -> Any:
    counts = (t.after.residual_ms, t.after.rise_ms, t.after.backstop_ms, t.after.none_ms, t.after.same_ms)
    return z3.Implies(z3.Not(_driven(t)), z3.And(*(count == 0 for count in counts), t.after.way == n.STILL))


def _flags(t: Detection, n: Names) -> Any:
    return z3.And(*(is_one_of(t.seen[name], 0, 1) for name in SEEN))


CLAIMS: dict[str, tuple[str, Claim]] = {
    "detect_defined": (
        "no signed overflow, shift beyond a type, division by nought, index beyond its array, null pointer",
        _steps),
    "detect_unwrapped": (
        "no unsigned sum wraps and no value is cut, but where a signed one is meant to be read as unsigned "
        "(toward() and profile_at() are left out: their products are not followed finely enough)",
        _steps),
    "detect_bounds": ("the detector's state stays within its bounds", _kept),
    "residual_count": (
        "from blind_ms on, every tick with the residual at its (widest) trip or more adds one to the count; "
        "one below the narrowest sets it to 0", _residual),
    "backstop_count": (
        "every tick with the median of three readings at backstop_mA or more adds one to the backstop's "
        "count, one below sets it to 0 (sensor at the motor)", _backstop),
    "counts_heard": ("a detector speaks when, and only when, its count has reached its setting", _heard),
    "rest_is_silent": ("without duty every count is 0", _at_rest),
    "flags": ("what is handed to decide.c is 0 or 1", _flags),
}  # fmt: skip


class DetectProof:
    """The arithmetic of one program, read once, and asked about.

    Parameters
    ----------
    int_bits : int
        How many bits an int has. [bit]
    changed : mapping
        File to text where it is not the core's own.
    """

    def __init__(self, int_bits: int, changed: Mapping[str, str] | None = None) -> None:
        program = Program(int_bits, changed)
        self.names = Names(program)
        self.detection = detection_of(program)

    def holds(self, key: str) -> bool:
        """Whether a claim is proved.

        Steps that must not go wrong are asked about function by function: a solver finds many small questions
        easier than a great one.
        """
        if key in STEPS:
            return not self.broken_steps(key)
        claim = CLAIMS[key][1](self.detection, self.names)
        return counterexample(self._about(claim), z3.Not(claim)) is None

    def _about(self, claim: Any) -> list[Any]:
        """What is assumed of the symbols in a claim; what is known of other products is left out."""
        wanted = symbols(claim)
        waiting = [(bound, symbols(bound)) for bound in self.detection.bounds]
        taken: list[Any] = []
        while near := [pair for pair in waiting if any("#" in name and name in wanted for name in pair[1])]:
            waiting = [pair for pair in waiting if not any(pair is each for each in near)]
            for bound, names in near:
                taken.append(bound)
                wanted |= names
        return [*self.detection.given, *taken]

    def broken_steps(self, key: str) -> list[str]:
        """The functions with a step that can go wrong in one of the ways of that claim."""
        duties, meant = STEPS[key]
        functions: dict[str, list[Any]] = {}
        for each in self.detection.owed:
            if each.duty in duties and each.function not in meant:
                functions.setdefault(each.function, []).append(each.broken)
        return [
            name
            for name, broken in functions.items()
            if counterexample(self._about(z3.Or(*broken)), z3.Or(*broken)) is not None
        ]


def symbols(term: Any) -> set[str]:
    """The names of all symbols in a term."""
    names: set[str] = set()
    seen: set[int] = set()
    waiting = [term]
    while waiting:
        node = waiting.pop()
        if node.get_id() in seen:
            continue
        seen.add(node.get_id())
        if z3.is_const(node) and node.decl().kind() == z3.Z3_OP_UNINTERPRETED:
            names.add(node.decl().name())
        waiting += node.children()
    return names
