"""The drive's trade as a whole."""

from dataclasses import replace

import pytest

from hutwright.trades.drive import RESTARTS, RUNS_BACK, TRADE
from tests.described import described, orchard
from tests.trades.drive.judged import checks, field


@pytest.mark.parametrize("key", [each.key for each in TRADE.questions])
@pytest.mark.parametrize("demo", [orchard, field])
def test_every_working_recomputes_on_the_demos(demo, key):
    assert checks(demo(), key)


def test_a_screw_that_does_not_hold_is_warned_of():
    assert TRADE.cautions(orchard().project) == (RESTARTS,)
    assert TRADE.cautions(field().project) == (RESTARTS, RUNS_BACK)
    assert TRADE.cautions(described('format = 1\nname = "Nothing"\n').project) == ()


def test_no_question_fails_where_a_straight_pull_is_to_move_a_hinged_leaf():
    project = orchard().project
    other = field().project
    odd = replace(project, linkage=other.linkage)
    answers = [check for question in TRADE.questions for check in question.ask(odd)]
    assert answers
    assert all(check.working for check in answers)
