"""What is proved of the controller, and that each property refutes its mutants."""

from __future__ import annotations

import pytest

from tools.prove.arithmetic import CLAIMS
from tools.prove.mutants import MUTANTS, LostError, Mutant, changed
from tools.prove.page import PAGE, page
from tools.prove.properties import PROPERTIES
from tools.prove.prover import AT_POWER_UP, WIDTHS, proof, refuted

EVERY = [*PROPERTIES, *CLAIMS, AT_POWER_UP]


def test_the_page_of_the_proofs_is_current():
    assert PAGE.read_text(encoding="utf-8") == page(), "run `make handbook`"


def test_every_property_has_a_mutant_that_it_must_refute():
    assert {mutant.refuted_by for mutant in MUTANTS} == set(EVERY)


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: f"{each.refuted_by}-{MUTANTS.index(each)}")
def test_every_mutant_still_finds_its_line_once(mutant):
    assert changed(mutant)[mutant.file]


def test_a_mutant_that_finds_nothing_is_an_error():
    with pytest.raises(LostError, match="is there 0 times"):
        changed(Mutant("stop", "decide.c", "no such line;", ""))


@pytest.mark.parametrize("key", ["stop", "veto", "both_sides", "dead_time"])
def test_with_an_int_of_a_small_board_a_tick_cannot_break(key):
    assert proof(16).refutes(key) is None


def test_a_refuted_property_comes_with_a_case_in_words():
    mutant = next(each for each in MUTANTS if each.refuted_by == "limit")
    against = refuted(mutant)
    assert against is not None
    assert "no drive towards a limit switch" in against.claim
    assert "before the tick: mode CLOSING, way CLOSES" in against.words
    assert "limit_shut" in against.words
    assert "then it gives: open_permille 0, close_permille" in against.words


@pytest.mark.slow
@pytest.mark.parametrize("int_bits", WIDTHS)
def test_power_up_leaves_what_every_tick_keeps(int_bits):
    assert proof(int_bits).refutes_power_up() is None
    assert proof(int_bits).refutes_invariants() is None


@pytest.mark.slow
@pytest.mark.parametrize("int_bits", WIDTHS)
@pytest.mark.parametrize("key", PROPERTIES)
def test_no_state_input_or_settings_break(key, int_bits):
    assert proof(int_bits).refutes(key) is None


@pytest.mark.slow
@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: f"{each.refuted_by}-{MUTANTS.index(each)}")
def test_every_mutant_is_refuted(mutant):
    assert refuted(mutant) is not None
