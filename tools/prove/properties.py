"""What is proved of one tick of the controller, each as a sentence and as a term.

Every claim is a function of the tick and of the names in door.h; it holds for all states, inputs and settings
that `door.assumed` leaves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import z3

from tools.prove.door import Begin, Names, Tick, is_one_of, upto
from tools.prove.sums import Duty

Claim = Callable[[Tick, Names], Any]


@dataclass(frozen=True, slots=True)
class Property:
    """One thing that is proved.

    Attributes
    ----------
    key : str
        Its name.
    sentence : str
        What it says.
    claim : callable
        From tick and names to the term that must hold.
    """

    key: str
    sentence: str
    claim: Claim


PROPERTIES: dict[str, Property] = {}


def _says(sentence: str) -> Callable[[Claim], Claim]:
    def keep(claim: Claim) -> Claim:
        key = claim.__name__.removeprefix("_")
        PROPERTIES[key] = Property(key, sentence, claim)
        return claim

    return keep


# ---- words that the claims share -------------------------------------------------------------------------


def off(t: Tick) -> Any:
    """Both sides off."""
    return z3.And(t.out.open_permille == 0, t.out.close_permille == 0)


def dead(t: Tick) -> Any:
    """Both sides off, and the bridge too."""
    return z3.And(off(t), t.out.enable == 0)


def has(bits: Any, bit: int) -> Any:
    """Whether something is fitted."""
    return bits & bit != 0


def moving(mode: Any, n: Names) -> Any:
    """Whether a move is on."""
    return is_one_of(mode, n.OPENING, n.CLOSING, n.REVERSING)


# The bits of door.h, which are no enum.
BUTTON, RELAY, LINE, SENSOR = 1, 2, 4, 8
PRESENT, BEAM, EDGE = 1, 2, 4


def someone(t: Tick, n: Names) -> Any:
    """The present sensor or the beam sees something, has failed or is not understood."""
    return z3.Or(*(z3.And(has(t.settings.eyes, bit), eye != n.EYE_CLEAR)
                   for bit, eye in ((PRESENT, t.inputs.present), (BEAM, t.inputs.beam))))  # fmt: skip


def forbidden(t: Tick, n: Names) -> Any:
    """Any eye that is fitted is not clear, or the hold is not over."""
    edge = z3.And(has(t.settings.eyes, EDGE), t.inputs.edge != n.EYE_CLEAR)
    return z3.Or(someone(t, n), edge, t.before.present_ms != 0)


def level(contact: Any) -> Any:
    """A contact as 0 or 1."""
    return z3.If(contact != 0, z3.BitVecVal(1, 32), z3.BitVecVal(0, 32))


def debounced(t: Tick, name: str) -> Any:
    """The debounce of a contact's new level is over in this tick."""
    been = t.before[f"{name}_ms"] + 1
    return z3.And(level(t.inputs[name]) != t.before[name], z3.UGE(been, t.settings.debounce_ms))


def pressed(t: Tick) -> Any:
    """The button has gone down, and its debounce is over in this tick."""
    down = z3.And(t.inputs.button != 0, t.before.button == 0, debounced(t, "button"))
    return z3.And(has(t.settings.commands, BUTTON), down)


def quiet(t: Tick, n: Names) -> Any:
    """Nobody commands: no word that moves, and no contact but as it has been or for the first time."""
    contacts = (
        z3.Or(z3.Not(has(t.settings.commands, bit)), t.before[name] == 2, z3.Not(debounced(t, name)))
        for bit, name in ((BUTTON, "button"), (RELAY, "relay"), (SENSOR, "sensor"))
    )
    return z3.And(t.inputs.word != n.SAY_OPEN, t.inputs.word != n.SAY_CLOSE, *contacts)


def well(t: Tick) -> Any:
    """The settings have been accepted."""
    return t.before.refusal == 0


# ---- the bridge ------------------------------------------------------------------------------------------


@_says("never duty on both sides of the bridge")
def _both_sides(t: Tick, n: Names) -> Any:
    return z3.Or(t.out.open_permille == 0, t.out.close_permille == 0)


@_says("enable is on in a move and off whenever no move is on; no duty without it")
def _enable(t: Tick, n: Names) -> Any:
    return z3.And((t.out.enable != 0) == moving(t.out.mode, n), z3.Implies(t.out.enable == 0, off(t)))


@_says(
    "before a drive comes on, or on the other way, both sides have been off for dead_ms together, 5 at least"
)
def _dead_time(t: Tick, n: Names) -> Any:
    starts = [
        z3.And(out != 0, z3.Not(z3.And(t.before.duty_permille != 0, t.before.way == way)))
        for out, way in ((t.out.open_permille, n.OPENS), (t.out.close_permille, n.CLOSES))
    ]
    long_enough = z3.And(z3.UGE(t.off_before, t.settings.dead_ms), z3.UGE(t.off_before, 5))
    return z3.Implies(z3.Or(*starts), long_enough)


@_says("the drive's run is counted in every tick, and is never longer than the cap of its way")
def _run_cap(t: Tick, n: Names) -> Any:
    cap = z3.If(t.after.way == n.OPENS, t.settings.opening_cap_ms, t.settings.closing_cap_ms)
    counted = is_one_of(t.after.run_ms, 0, 1, t.before.run_ms + 1)
    on = z3.Implies(z3.And(t.before.run_ms != 0, t.after.run_ms != 0), t.after.run_ms == t.before.run_ms + 1)
    return z3.And(z3.Implies(well(t), upto(t.after.run_ms, cap)), counted, on,
                  z3.Implies(z3.Not(off(t)), t.after.run_ms != 0))  # fmt: skip


@_says("duty is at most normal_permille; at most last_permille where slow, in a first move, and backing off")
def _duty(t: Tick, n: Names) -> Any:
    slow = z3.Or(
        t.after.first_move != 0,
        z3.And(t.after.way == n.OPENS, t.seen.slow_open != 0),
        z3.And(t.after.way == n.CLOSES, t.seen.slow_shut != 0),
        z3.And(t.after.mode == n.REVERSING, t.after.phase != 1),
    )
    most = z3.If(slow, t.settings.last_permille, t.settings.normal_permille)
    return z3.Implies(well(t), z3.And(upto(t.out.open_permille, most), upto(t.out.close_permille, most)))


# ---- stop, power, settings -------------------------------------------------------------------------------


@_says("the line's STOP leaves both sides and enable off in the very same tick, whatever else comes in it")
def _stop(t: Tick, n: Names) -> Any:
    moved = z3.And(well(t), t.before.way != n.STILL)
    return z3.Implies(t.inputs.word == n.SAY_STOP, z3.And(
        dead(t), z3.Implies(moved, t.out.mode == n.STOPPED)))  # fmt: skip


@_says("the button pressed in a move ends it in the tick in which its debounce is over: STOPPED")
def _stop_by_button(t: Tick, n: Names) -> Any:
    moved = z3.And(well(t), t.before.way != n.STILL, pressed(t))
    return z3.Implies(moved, z3.And(dead(t), t.out.mode == n.STOPPED))


@_says("at rest and not OPEN, nothing begins to move without a command; a contact already made is none")
def _unasked(t: Tick, n: Names) -> Any:
    rest = z3.And(t.before.way == n.STILL, t.before.mode != n.OPEN, quiet(t, n))
    return z3.Implies(rest, z3.And(t.after.way == n.STILL, dead(t)))


@_says("OPEN stays without a command, unless auto_close_s or a lost link that closes is set")
def _open_stays(t: Tick, n: Names) -> Any:
    alone = z3.And(t.settings.auto_close_s == 0, t.settings.link_lost != n.LINK_CLOSE)
    rest = z3.And(t.before.mode == n.OPEN, quiet(t, n), alone)
    return z3.Implies(rest, z3.And(t.after.way == n.STILL, dead(t)))


@_says("with refused settings nothing is driven, ever: FAULT, BAD_SETTINGS")
def _refused(t: Tick, n: Names) -> Any:
    stuck = z3.And(t.out.mode == n.FAULT, dead(t))
    named = z3.Implies(t.before.mode != n.FAULT, t.out.fault == n.BAD_SETTINGS)
    kept = z3.Implies(t.before.mode == n.FAULT, t.out.fault == t.before.fault)
    return z3.And(
        t.after.refusal == t.before.refusal, z3.Implies(t.before.refusal != 0, z3.And(stuck, named, kept))
    )


# ---- whoever stands in the door --------------------------------------------------------------------------


@_says("no closing drive in any tick in which an eye that is fitted is not clear, nor within the hold")
def _veto(t: Tick, n: Names) -> Any:
    return z3.Implies(forbidden(t, n), t.out.close_permille == 0)


@_says("no CLOSING begins in such a tick, and none goes on")
def _veto_begins(t: Tick, n: Names) -> Any:
    return z3.Implies(z3.And(well(t), forbidden(t, n)), t.out.mode != n.CLOSING)


@_says("a CLOSING that someone comes into opens fully, unless stopped, starved or failed in that tick")
def _veto_reverses(t: Tick, n: Names) -> Any:
    opens = z3.And(t.out.mode == n.REVERSING, t.after.way == n.OPENS, t.after.phase == 1)
    ended = z3.Or(t.out.mode == n.FAULT, z3.And(t.out.mode == n.STOPPED, t.out.why != n.WHY_VETO))
    begins = z3.And(well(t), t.before.mode == n.CLOSING, someone(t, n))
    return z3.Implies(begins, z3.Or(opens, ended))


@_says("the hold begins anew whenever someone is seen, and else goes down by one a tick")
def _hold(t: Tick, n: Names) -> Any:
    less = z3.If(t.before.present_ms == 0, t.before.present_ms, t.before.present_ms - 1)
    held = z3.If(someone(t, n), t.settings.present_hold_ms, less)
    return z3.Implies(well(t), t.after.present_ms == held)


@_says("without present sensor and beam, CLOSING begins by a press of the button in that tick, else never")
def _unattended(t: Tick, n: Names) -> Any:
    begins = z3.And(t.before.mode != n.CLOSING, t.out.mode == n.CLOSING)
    blind = z3.Not(z3.Or(has(t.settings.eyes, PRESENT), has(t.settings.eyes, BEAM)))
    return z3.Implies(z3.And(begins, blind), z3.And(pressed(t), t.out.why == n.WHY_BUTTON))


@_says("closing back after an obstruction begins only with a present sensor that is fitted and clear")
def _closing_back(t: Tick, n: Names) -> Any:
    begins = z3.And(t.before.phase != 3, t.after.phase == 3)
    clear = z3.And(has(t.settings.eyes, PRESENT), t.inputs.present == n.EYE_CLEAR)
    return z3.Implies(begins, z3.And(clear, z3.Not(forbidden(t, n))))


# ---- obstructions and ends -------------------------------------------------------------------------------


@_says("a detector or the backstop that speaks while closing ends CLOSING and its drive in that tick")
def _envelope(t: Tick, n: Names) -> Any:
    speaks = z3.Or(t.seen.residual != 0, t.seen.rise != 0, t.seen.backstop != 0)
    closing = z3.And(well(t), t.before.mode == n.CLOSING, t.before.run_ms != 0, speaks)
    return z3.Implies(closing, z3.And(t.out.mode != n.CLOSING, off(t)))


@_says("a pressed edge ends every drive that closes in that tick, backing off too")
def _edge(t: Tick, n: Names) -> Any:
    hit = z3.And(has(t.settings.eyes, EDGE), t.inputs.edge == n.EYE_SEES)
    return z3.Implies(z3.And(well(t), t.before.way == n.CLOSES, hit), z3.And(t.after.way != n.CLOSES, off(t)))


@_says("no drive towards a limit switch that is made")
def _limit(t: Tick, n: Names) -> Any:
    switches = t.settings.ends == n.ENDS_SWITCHES
    opens = z3.Implies(z3.And(switches, t.inputs.limit_open != 0), t.out.open_permille == 0)
    closes = z3.Implies(z3.And(switches, t.inputs.limit_shut != 0), t.out.close_permille == 0)
    return z3.And(opens, closes)


@_says("an obstruction that is answered is counted; the count goes back only by a completed move or a person")
def _repeats(t: Tick, n: Names) -> Any:
    why = is_one_of(t.out.why, n.WHY_RESIDUAL, n.WHY_RISE, n.WHY_BACKSTOP, n.WHY_EDGE)
    answered = z3.And(moving(t.before.mode, n), why, is_one_of(t.out.mode, n.REVERSING, n.STOPPED),
                      z3.Or(t.out.mode != t.before.mode, t.after.way != t.before.way))  # fmt: skip
    more = z3.If(t.before.reversals == 255, t.before.reversals, t.before.reversals + 1)
    whole = z3.And(
        is_one_of(t.before.mode, n.OPENING, n.CLOSING), is_one_of(t.out.mode, n.OPEN, n.SHUT, n.FAULT)
    )
    person = z3.And(is_one_of(t.before.mode, n.FAULT, n.LAID_UP), t.out.mode == n.STOPPED)
    less = z3.ULT(t.after.reversals, t.before.reversals)
    return z3.And(z3.Implies(answered, t.after.reversals == more), z3.Implies(less, z3.Or(whole, person)))


@_says("a leaf at rest after most_reversals obstructions in a row is in FAULT a tick later")
def _too_many(t: Tick, n: Names) -> Any:
    rest = z3.And(well(t), is_one_of(t.before.mode, n.SHUT, n.OPEN, n.STOPPED))
    return z3.Implies(
        z3.And(rest, z3.UGE(t.before.reversals, t.settings.most_reversals)), t.out.mode == n.FAULT
    )


# ---- supply, sensor, faults ------------------------------------------------------------------------------


@_says("no move begins from rest with the supply below start_above_mV")
def _supply_start(t: Tick, n: Names) -> Any:
    begins = z3.And(t.before.way == n.STILL, t.after.way != n.STILL)
    return z3.Implies(begins, z3.UGE(t.inputs.supply_mV, t.settings.start_above_mV))


@_says("a move ends in the tick in which the supply has been below stop_below_mV for stop_below_ms together")
def _supply_stop(t: Tick, n: Names) -> Any:
    low = z3.And(z3.ULT(t.inputs.supply_mV, t.settings.stop_below_mV),
                 z3.UGE(t.before.low_supply_ms + 1, t.settings.stop_below_ms))  # fmt: skip
    return z3.Implies(z3.And(well(t), t.before.way != n.STILL, low), z3.And(t.after.way == n.STILL, dead(t)))


@_says("both limits made: FAULT, or STOPPED where a stop came first; nothing is driven")
def _both_limits(t: Tick, n: Names) -> Any:
    both = z3.And(t.settings.ends == n.ENDS_SWITCHES, t.inputs.limit_open != 0, t.inputs.limit_shut != 0)
    awake = z3.And(well(t), t.before.mode != n.LAID_UP, both)
    return z3.Implies(awake, z3.And(dead(t), is_one_of(t.out.mode, n.FAULT, n.STOPPED)))


@_says("a sensor out of range or stuck, and current or none against the duty, end the drive in that tick")
def _sensor(t: Tick, n: Names) -> Any:
    run = t.before.run_ms != 0
    bad = z3.Or(
        t.seen.out_of_range != 0,
        z3.And(t.seen.without_duty != 0, t.before.duty_permille == 0),
        z3.And(run, t.seen.stuck != 0),
        z3.And(run, t.seen.no_current != 0, t.settings.ends != n.ENDS_INSIDE),
    )
    awake = z3.And(well(t), t.before.mode != n.LAID_UP, bad)
    return z3.Implies(awake, z3.And(dead(t), is_one_of(t.out.mode, n.FAULT, n.STOPPED)))


@_says("a start from rest is driven only in a tick in which the sensor is zeroed")
def _zeroed(t: Tick, n: Names) -> Any:
    begins = z3.And(t.before.needs_zero != 0, t.after.run_ms != 0)
    rests = z3.And(t.before.way == n.STILL, t.after.way != n.STILL)
    return z3.And(z3.Implies(begins, t.seen.zeroed != 0), z3.Implies(rests, t.after.needs_zero != 0))


@_says("FAULT is left for STOPPED only: by CLEAR on a fitted line, or a fitted button held for clear_ms")
def _by_a_person(t: Tick, n: Names) -> Any:
    held = z3.And(has(t.settings.commands, BUTTON), t.after.button == 1,
                  z3.UGE(t.after.held_ms, t.settings.clear_ms))  # fmt: skip
    line = z3.And(has(t.settings.commands, LINE), t.inputs.word == n.SAY_CLEAR)
    left = z3.And(t.out.mode == n.STOPPED, z3.Or(held, line))
    return z3.Implies(t.before.mode == n.FAULT, z3.And(dead(t), z3.Or(t.out.mode == n.FAULT, left)))


@_says("LAID_UP is left for STOPPED only, by WAKE on a fitted line")
def _laid_up(t: Tick, n: Names) -> Any:
    wakes = z3.And(t.out.mode == n.STOPPED, has(t.settings.commands, LINE), t.inputs.word == n.SAY_WAKE)
    return z3.Implies(t.before.mode == n.LAID_UP, z3.And(dead(t), z3.Or(t.out.mode == n.LAID_UP, wakes)))


@_says(
    "the machine may leave only in OPEN, nothing driven, and with the switch of the open end made if fitted"
)
def _may_leave(t: Tick, n: Names) -> Any:
    there = z3.Or(t.settings.ends != n.ENDS_SWITCHES, t.inputs.limit_open != 0)
    return z3.Implies(t.out.may_leave != 0, z3.And(t.out.mode == n.OPEN, dead(t), there))


@_says("every counter stays or goes up by one, and stays at its greatest value")
def _counters(t: Tick, n: Names) -> Any:
    claims = []
    for at in range(t.program.enums["DOOR_COUNTERS"]):
        one, other = t.counted_before[at], t.counted_after[at]
        claims.append(z3.Or(other == one, z3.And(other == one + 1, one != 65535)))
    return z3.And(*claims)


# ---- arithmetic ------------------------------------------------------------------------------------------

# Where an unsigned sum is meant to wrap, and a value to be cut: file, function, why.
MEANT = {
    ("tick.c", "sum_up"): "moves are counted round",
    ("settings.c", "beyond_bounds"): "signed bounds shifted by 32768, where bounds stand in a table",
}


def owed(t: Tick | Begin, *duties: Duty) -> Any:
    """Nothing of these sorts goes wrong, but where it is meant."""
    broken = [
        each.broken
        for each in t.owed
        if each.duty in duties and (each.place.split(":")[0], each.function) not in MEANT
    ]
    return z3.Not(z3.Or(*broken)) if broken else z3.BoolVal(True)


@_says("no signed overflow, shift beyond a type, division by nought, index beyond its array, or null pointer")
def _defined(t: Tick, n: Names) -> Any:
    return owed(t, Duty.OVERFLOW, Duty.SHIFT, Duty.DIVISION, Duty.INDEX, Duty.POINTER)


@_says("no unsigned sum wraps and no value is cut, but the number of the move, which is counted round")
def _unwrapped(t: Tick, n: Names) -> Any:
    return owed(t, Duty.WRAP, Duty.NARROW)


# ---- power-up --------------------------------------------------------------------------------------------


def powered_up(b: Begin, n: Names) -> Any:
    """What door_begin() leaves: STOPPED, nothing driven, first move slow, bad settings refused."""
    d = b.after
    rest = z3.And(
        d.mode == n.STOPPED, d.way == n.STILL, d.enable == 0, d.duty_permille == 0, d.first_move == 1
    )
    contacts = z3.And(d.button == 2, d.relay == 2, d.sensor == 2, d.link_was_lost == n.LINK_UNHEARD)
    return z3.And(rest, contacts, (d.refusal == 0) == b.accepted, d.why == n.WHY_POWER_UP)
