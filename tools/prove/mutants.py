"""One-line changes of the core's text, each with the property that must refute it.

A mutant is stated as a piece of C and what stands there instead; how the text is spaced does not matter. One
that no longer finds its piece exactly once is an error: a proof that nothing could break proves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from tools.prove.source import CORE, pattern


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change.

    Attributes
    ----------
    refuted_by : str
        Key of the property.
    file : str
        The file of the core.
    old, new : str
        The piece of C, and what stands there instead.
    int_bits : int
        For which width of an int it is a fault. [bit]
    """

    refuted_by: str
    file: str
    old: str
    new: str
    int_bits: int = 16


class LostError(Exception):
    """A mutant's piece of C is not there exactly once."""


def changed(mutant: Mutant) -> dict[str, str]:
    """The file's text with the change.

    Raises
    ------
    LostError
        The piece is not there, or more than once.
    """
    text = (CORE / mutant.file).read_text("utf-8")
    new, number = pattern(mutant.old).subn(lambda _: mutant.new, text)
    if number != 1:
        raise LostError(
            f"{mutant.file}: {mutant.old!r} is there {number} times; wanted once, to change it for "
            f"{mutant.refuted_by}. State the mutant anew in tools/prove/mutants.py"
        )
    return {mutant.file: new}


def _of(file: str, *rows: tuple[str, str, str]) -> list[Mutant]:
    return [Mutant(key, file, old, new) for key, old, new in rows]


OPEN_LIMIT = "settings->ends != DOOR_ENDS_SWITCHES || inputs->limit_open != 0u"
SUPPLY = "(state->way == DOOR_STILL && inputs->supply_mV < settings->start_above_mV)"
MUTANTS: list[Mutant] = [
    *_of(
        "decide.c",
        ("both_sides", "state->way == DOOR_CLOSES ? state->duty_permille : 0u",
         "state->way != DOOR_STILL ? state->duty_permille : 0u"),
        ("enable", "state->enable = state->way != DOOR_STILL ? 1u : 0u",
         "state->enable = state->dead_ms > 0u"),
        ("dead_time", "state->way == DOOR_STILL || state->dead_ms > 0u) { state->duty_permille = 0u",
         "state->way == DOOR_STILL || state->dead_ms > 1u) { state->duty_permille = 0u"),
        ("run_cap", "state->run_ms >= cap", "state->run_ms > cap"),
        ("run_cap", "state->way == DOOR_OPENS ? settings->opening_cap_ms : settings->closing_cap_ms",
         "settings->opening_cap_ms"),
        ("duty", "state->first_move != 0u || slow != 0u", "slow != 0u"),
        ("stop", "heard->word == DOOR_SAY_STOP || heard->pressed != 0u", "heard->pressed != 0u"),
        ("stop_by_button", "heard->word == DOOR_SAY_STOP || heard->pressed != 0u",
         "heard->word == DOOR_SAY_STOP"),
        ("open_stays", "settings->auto_close_s != 0u && state->open_s >= settings->auto_close_s",
         "state->open_s >= settings->auto_close_s"),
        ("refused", "state->refusal != DOOR_SETTINGS_GOOD", "state->refusal == DOOR_REFUSE_VERSION"),
        ("veto", "state->way == DOOR_CLOSES && heard->veto != 0u",
         "state->mode == DOOR_CLOSING && heard->veto != 0u"),
        ("veto_begins", "watched == 0u || heard->veto != 0u || heard->edge != 0u",
         "watched == 0u || heard->veto != 0u"),
        ("veto_reverses", "DOOR_REVERSING, DOOR_OPENS, DOOR_WHY_VETO",
         "DOOR_OPENING, DOOR_OPENS, DOOR_WHY_VETO"),
        ("unattended", "why == DOOR_WHY_BUTTON || (settings->eyes",
         "why != DOOR_WHY_LINE || (settings->eyes"),
        ("closing_back", "& DOOR_HAS_PRESENT) != 0u && inputs->present == DOOR_EYE_CLEAR && heard",
         "& DOOR_HAS_BEAM) != 0u && heard"),
        ("envelope", "} else if (seen->rise != 0u) {",
         "} else if (seen->rise != 0u && state->run_ms > 900u) {"),
        ("edge", "state->way == DOOR_CLOSES && heard->edge != 0u",
         "state->mode == DOOR_CLOSING && heard->edge != 0u"),
        ("limit", "state->way == DOOR_OPENS ? inputs->limit_open : inputs->limit_shut", "inputs->limit_open"),
        ("repeats", "driven != 0u && stay == 0u", "driven != 0u"),
        ("repeats", "state->reversals < 255u ? state->reversals + 1u : state->reversals", "state->reversals"),
        ("too_many", "if (state->reversals >= settings->most_reversals)",
         "if (state->reversals > settings->most_reversals)"),
        ("supply_start", f"state->mode == DOOR_REVERSING || {SUPPLY}", "state->mode == DOOR_REVERSING"),
        ("supply_stop", "state->way != DOOR_STILL && heard->low != 0u",
         "state->run_ms > 0u && heard->low != 0u"),
        ("both_limits", "inputs->limit_shut != 0u && inputs->limit_open != 0u",
         "inputs->limit_shut != 0u && inputs->limit_open != 0u && state->way != DOOR_STILL"),
        ("sensor", "state->run_ms > 0u && seen->stuck != 0u", "state->run_ms > 2000u && seen->stuck != 0u"),
        ("sensor", "seen->without_duty != 0u && state->duty_permille == 0u",
         "seen->without_duty != 0u && state->way == DOOR_STILL"),
        ("zeroed", "state->needs_zero == 0u || seen->zeroed != 0u", "1u"),
        ("by_a_person", "state->held_ms >= settings->clear_ms", "state->held_ms > 0u"),
        ("laid_up", "heard->word == DOOR_SAY_WAKE", "heard->word != DOOR_SAY_NOTHING"),
        ("may_leave", f"state->reversals < settings->most_reversals && ({OPEN_LIMIT})",
         "state->reversals < settings->most_reversals"),
        ("defined", "door_tally(counters, DOOR_N_STARTS)", "door_tally(counters, DOOR_COUNTERS)"),
    ),
    *_of(
        "hear.c",
        ("unasked", "if (before == DOOR_UNREAD)", "if (before == 1u)"),
        ("hold", "state->present_ms = settings->present_hold_ms", "state->present_ms = 0u"),
        ("veto", "inputs->beam != DOOR_EYE_CLEAR", "inputs->beam == DOOR_EYE_SEES"),
        ("unwrapped", "state->way != DOOR_STILL && state->dead_ms > 0u", "state->way != DOOR_STILL"),
    ),
    *_of(
        "moves.c",
        ("dead_time", "state->dead_ms = settings->dead_ms",
         "state->dead_ms = (uint16_t)(settings->dead_ms >> 1)"),
        ("counters", "if (count < 65535u) {", "if (count <= 65535u) {"),
        ("unwrapped", "count < 65535u ? count + 1u : count", "count + 1u"),
        ("defined", "count < 65535u ? count + 1u : count", "count < 65535u ? (int16_t)count + 1 : 65535u"),
        ("powered_up", "state->mode = DOOR_STOPPED; state->why = DOOR_WHY_POWER_UP",
         "state->mode = DOOR_OPEN; state->why = DOOR_WHY_POWER_UP"),
        ("powered_up", "state->relay = DOOR_UNREAD", "state->relay = 0u"),
    ),
    *_of(
        "settings.c",
        ("dead_time", "{5u, 2000u, DOOR_REFUSE_DEAD_TIME}", "{0u, 2000u, DOOR_REFUSE_DEAD_TIME}"),
        ("duty", "s->last_permille > s->normal_permille || s->start_permille", "s->start_permille"),
    ),
    Mutant("detect_defined", "detect.c", "product(settings->resistance_mohm, now_mA)",
           "(uint32_t)(settings->resistance_mohm * now_mA)", 32),
    *_of(
        "detect.c",
        ("detect_unwrapped", "product(settings->resistance_mohm, now_mA)",
         "(uint32_t)(settings->resistance_mohm * now_mA)"),
        ("detect_defined", "bin < DOOR_BINS - 1", "bin < DOOR_BINS"),
        ("detect_bounds", "state->lag_at >= DOOR_LAG", "state->lag_at > DOOR_LAG"),
        ("detect_bounds", "wider_mA > settings->widen_most_mA ?", "wider_mA > 65535u ?"),
        ("residual_count", ">= (uint16_t)(detector->trip_mA", "> (uint16_t)(detector->trip_mA"),
        ("backstop_count", "now_mA >= settings->backstop_mA", "now_mA > settings->backstop_mA"),
        ("counts_heard", "door_lasts(&state->residual_ms, over, settings->after_ms)",
         "door_lasts(&state->residual_ms, over, (uint16_t)(settings->after_ms + 1u))"),
        ("flags", "place_q16 <= state->at_shut_q16 ? 1u", "place_q16 <= state->at_shut_q16 ? 2u"),
        ("rest_is_silent", "state->residual_mA = 0; state->residual_ms = 0u;", "state->residual_mA = 0;"),
    ),
    *_of("tick.c", ("powered_up", "uint16_t refusal = door_settings_refusal(settings);",
                    "uint16_t refusal = DOOR_SETTINGS_GOOD;")),
]  # fmt: skip
