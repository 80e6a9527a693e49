"""Judging over ranges and solving levers, on questions whose answers are known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright import units
from hutwright.assessment import case_of, rebuilder
from hutwright.checks.check import Check, Concern, Doubt, Question, Sense
from hutwright.checks.judging import POINTS, Case, judge, spreads, strata, surely
from hutwright.checks.lever import Allowed, Dial, Effort, Option, Pick
from hutwright.checks.levering import Workshop, solve
from hutwright.checks.step import Number, Step
from hutwright.checks.verdict import Status, judged
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.overlay import whole
from hutwright.description.reading import read_sheet
from hutwright.model.paths import value_at
from hutwright.model.project import Project
from hutwright.sources import OHM

ORCHARD = build(whole(read_sheet(Path(__file__).parent.parent.parent / "demos/orchard/hut.toml", "hut.toml")))
LENGTH = ("cables", "feed", "length")
MOTOR = ("cables", "motor", "length")


def asking(
    value: Callable[[Project], float],
    limit: float,
    sense: Sense = Sense.AT_MOST,
    levers: tuple[Dial | Pick, ...] = (),
) -> Question:
    def ask(project: Project) -> tuple[Check, ...]:
        found = value(project)
        step = Step(
            symbol="U",
            formula="U_0",
            numbers={"U_0": Number(found, units.VOLTAGE)},
            result=Number(found, units.VOLTAGE),
        )
        return (
            Check(
                value=found,
                limit=limit,
                dimension=units.VOLTAGE,
                sense=sense,
                method=OHM,
                limit_from=OHM,
                working=(step,),
                levers=levers,
            ),
        )

    return Question(key="wiring.start_dip", title="a question", concern=Concern.FUNCTION, needs=(), ask=ask)


def described(**ranges: str) -> Case:
    paths = {"length": LENGTH, "motor": MOTOR}
    return case_of(
        build(changed(ORCHARD.merged, {paths[name]: text for name, text in ranges.items()}))
    ).within(("cables",))


def product(project: Project) -> float:
    return project.cables["feed"].length * project.cables["motor"].length


@pytest.mark.parametrize(
    ("margin", "best", "status"),
    [
        (1.0, 2.0, Status.HOLDS),
        (0.05, 2.0, Status.BARELY),
        (0.0, 2.0, Status.BARELY),
        (-0.1, 2.0, Status.UNDECIDED),
        (-0.1, 0.0, Status.UNDECIDED),
        (-2.0, -0.1, Status.MISSES),
        (math.nan, 2.0, Status.UNDECIDED),
        (-2.0, math.nan, Status.UNDECIDED),
    ],
)
def test_the_status_follows_from_the_margins_at_both_ends(margin: float, best: float, status: Status) -> None:
    assert judged(margin, best, 0.1) is status


@pytest.mark.parametrize(
    ("margin", "best", "doubted", "status"),
    [
        (1.0, 2.0, (0.5, 3.0), Status.HOLDS),
        (1.0, 2.0, (-0.5, 3.0), Status.BARELY),
        (-1.0, -0.5, (-2.0, 0.5), Status.UNDECIDED),
        (-1.0, -0.5, (-2.0, -0.1), Status.MISSES),
        (-1.0, 0.5, (-2.0, 1.0), Status.UNDECIDED),
        (1.0, 2.0, (math.nan, math.nan), Status.UNDECIDED),
    ],
)
def test_within_its_method_s_doubt_a_check_is_undecided_or_barely_holds(
    margin: float, best: float, doubted: tuple[float, float], status: Status
) -> None:
    assert judged(margin, best, 0.0, doubted) is status


def of_doubtful_method(limit: float, sense: Sense = Sense.AT_LEAST, *, off: float = 3.0) -> Question:
    """The product of two lengths, by a method that may be so far off."""
    plain = asking(product, limit, sense=sense)

    def ask(project: Project) -> tuple[Check, ...]:
        (found,) = plain.ask(project)
        doubt = Doubt(low=found.value - off, high=found.value + off, settled_by="a tape measure")
        return (replace(found, doubt=doubt),)

    return replace(plain, ask=ask)


# the product is 12 as described and 5 to 21 over the ranges
@pytest.mark.parametrize(
    ("limit", "sense", "status", "settles"),
    [
        (1.9, Sense.AT_LEAST, Status.HOLDS, False),
        (4.0, Sense.AT_LEAST, Status.BARELY, False),
        (7.0, Sense.AT_LEAST, Status.UNDECIDED, True),
        (12.0, Sense.AT_LEAST, Status.UNDECIDED, False),
        (22.0, Sense.AT_LEAST, Status.UNDECIDED, True),
        (24.1, Sense.AT_LEAST, Status.MISSES, False),
        (24.1, Sense.AT_MOST, Status.HOLDS, False),
        (22.0, Sense.AT_MOST, Status.BARELY, False),
        (4.0, Sense.AT_MOST, Status.UNDECIDED, True),
        (1.9, Sense.AT_MOST, Status.MISSES, False),
    ],
)
def test_the_doubt_of_a_method_counts_at_the_worst_end_of_the_inputs(
    limit: float, sense: Sense, status: Status, *, settles: bool
) -> None:
    verdict = judge(of_doubtful_method(limit, sense), described(length="5..7 m", motor="1..3 m"))[0]
    assert verdict.status is status
    assert verdict.method_settles is settles


@settings(max_examples=20)
@given(st.floats(0.0, 30.0), st.floats(0.0, 5.0))
def test_a_doubt_never_makes_a_check_surer(limit: float, off: float) -> None:
    case = described(length="5..7 m", motor="1..3 m")
    (sure,), (unsure,) = (judge(of_doubtful_method(limit, off=each), case) for each in (0.0, off))
    if unsure.status is not sure.status:
        assert unsure.status in (Status.BARELY, Status.UNDECIDED)
        assert unsure.status is (Status.BARELY if sure.status is Status.HOLDS else Status.UNDECIDED)


def test_an_input_that_decides_nothing_while_the_method_is_in_doubt_does_not_settle() -> None:
    plain, unsure = (
        judge(of_doubtful_method(20.0, off=off), described(length="5..7 m", motor="2..3 m"))[0]
        for off in (0.0, 6.5)
    )
    settling = [[each.path for each in found.influences if each.settles] for found in (plain, unsure)]
    assert settling[0]
    assert not settling[1]


def test_what_is_dear_to_move_is_tried_at_its_ends_and_corners_only() -> None:
    asked: list[tuple[float, float]] = []

    def noted(project: Project) -> float:
        asked.append((project.cables["feed"].length, project.cables["motor"].length))
        return product(project)

    case = described(length="5..7 m", motor="1..3 m")
    verdict = judge(replace(asking(noted, 30.0), dear=(LENGTH, MOTOR[:2])), case, doubts_of_all=False)[0]
    assert [verdict.low, verdict.high] == pytest.approx([5.0, 21.0])
    assert set(asked) == {(6.0, 2.0), (5.0, 2.0), (7.0, 2.0), (6.0, 1.0), (6.0, 3.0), (5.0, 1.0), (7.0, 3.0)}


def test_what_is_cheap_beside_it_is_still_tried_inside_its_range() -> None:
    def hump(project: Project) -> float:
        return 10.0 - (project.cables["motor"].length - 2.0) ** 2 + 0.001 * project.cables["feed"].length

    question = replace(asking(hump, 9.5), dear=(LENGTH,))
    verdict = judge(question, described(length="4..8 m", motor="1.1..4 m"))[0]
    assert verdict.high > 9.9
    assert verdict.low == pytest.approx(6.0, abs=0.1)


def test_two_inputs_that_hurt_together_are_put_together() -> None:
    verdict = judge(asking(product, 30.0), described(length="5..7 m", motor="1..3 m"))[0]
    assert verdict.low == pytest.approx(5.0)
    assert verdict.high == pytest.approx(21.0)
    assert verdict.margin == pytest.approx(9.0)
    assert verdict.best == pytest.approx(25.0)


def test_a_worst_case_in_the_middle_of_a_range_is_found_by_the_design_inside() -> None:
    def hump(project: Project) -> float:
        return 10.0 - (project.cables["feed"].length - 6.0) ** 2 + 0.001 * project.cables["motor"].length

    verdict = judge(asking(hump, 9.5), described(length="4..8 m", motor="1..3 m"))[0]
    assert verdict.status.short
    assert verdict.high > 9.9


def test_a_value_that_is_not_a_number_is_undecided_and_never_holds() -> None:
    def broken(project: Project) -> float:
        return math.nan if project.cables["feed"].length > 6.5 else 1.0

    assert judge(asking(broken, 5.0), described(length="5..7 m"))[0].status is Status.UNDECIDED


def test_the_one_input_that_would_settle_a_check_is_named_first() -> None:
    verdict = judge(asking(product, 12.0), described(length="5.9..6.1 m", motor="1..3 m"))[0]
    assert verdict.status is Status.UNDECIDED
    assert verdict.influences[0].path == MOTOR
    assert verdict.influences[0].settles
    assert verdict.influences[0].shrinks > 0.9
    assert not verdict.influences[1].settles


def test_an_input_that_moves_nothing_is_not_listed() -> None:
    question = asking(lambda project: project.cables["feed"].length, 30.0)
    assert [
        each.path for each in judge(question, described(length="5..7 m", motor="1..3 m"))[0].influences
    ] == [LENGTH]


@given(st.lists(st.text("abc", min_size=1, max_size=4), min_size=1, max_size=4))
def test_the_design_puts_one_point_into_each_part_of_a_range(path: list[str]) -> None:
    shares = strata(tuple(path))
    assert sorted(int(share * POINTS) for share in shares) == list(range(POINTS))


def bench(
    question: Question, allow: dict[tuple[str, ...], Allowed] | None = None, **ranges: str
) -> tuple[Workshop, Case]:
    paths = {"length": LENGTH, "motor": MOTOR}
    base = build(changed(ORCHARD.merged, {paths[name]: text for name, text in ranges.items()}))
    rebuild = rebuilder(base)
    case = case_of(base).within(("cables",))
    workshop = Workshop(
        question=question,
        subject="",
        case=case,
        rebuild=lambda changes: rebuild(changes).within(("cables",)),
        allow=allow or {},
    )
    return workshop, case


def dial(**more: object) -> Dial:
    facts: dict[str, object] = {
        "lowest": 0.1,
        "highest": 50.0,
        "words": "set the feed to",
        "effort": Effort.REWIRE,
        **more,
    }
    return Dial(path=LENGTH, dimension=units.LENGTH, **facts)  # type: ignore[arg-type]


@settings(max_examples=12)
@given(st.floats(1.0, 15.0))
def test_a_dial_lands_on_zero_margin_at_the_worst_end(limit: float) -> None:
    hold_the_dial_to_zero_margin(limit)


@pytest.mark.slow
@settings(max_examples=100)
@given(st.floats(1.0, 15.0))
def test_a_dial_lands_on_zero_margin_at_the_worst_end_for_many_limits(limit: float) -> None:
    hold_the_dial_to_zero_margin(limit)


def hold_the_dial_to_zero_margin(limit: float) -> None:
    """Solve the feed's length for one limit."""
    question = asking(product, limit)
    workshop, _ = bench(question, length="6 m", motor="1..3 m")
    lever = solve(workshop, [dial(step=0.1)])[0]
    assert lever.needed is not None
    assert lever.needed == pytest.approx(limit / 3.0, rel=1e-9)
    assert not lever.upwards
    if lever.option is not None:
        text = lever.option.changes[LENGTH]
        assert isinstance(text, str)
        assert lever.needed - 0.1 - 1e-9 <= units.read(text, units.LENGTH).nominal <= lever.needed


def test_a_dial_whose_own_value_is_unsure_is_set_as_a_known_one() -> None:
    workshop, _ = bench(asking(product, 9.0), length="5..7 m", motor="1..3 m")
    assert solve(workshop, [dial()])[0].needed == pytest.approx(3.0, rel=1e-9)


def test_no_number_within_what_may_be_changed_is_an_answer() -> None:
    workshop, _ = bench(
        asking(product, 9.0), {LENGTH: Allowed(low=5.0, high=6.0)}, length="6 m", motor="1..3 m"
    )
    lever = solve(workshop, [dial()])[0]
    assert lever.needed is None
    assert not lever.works
    assert lever.range == (5.0, 6.0)


def test_a_dial_that_moves_the_margin_in_jumps_has_no_number() -> None:
    def jumping(project: Project) -> float:
        return math.ceil(project.cables["feed"].length)

    workshop, _ = bench(asking(jumping, 3.5), length="6 m")
    assert solve(workshop, [dial()])[0].needed is None


def test_of_the_sizes_that_can_be_bought_the_nearest_that_holds_is_offered() -> None:
    workshop, _ = bench(asking(product, 9.0), length="6 m", motor="1..3 m")
    lever = solve(workshop, [dial(sizes=(1.0, 2.0, 2.5, 4.0, 5.0))])[0]
    assert lever.option is not None
    assert lever.option.changes == {LENGTH: "2.5 m"}


def test_the_first_choice_that_holds_is_taken_and_a_forbidden_one_is_passed_over() -> None:
    options = tuple(Option(f"set {text}", {LENGTH: text}) for text in ("5 m", "2.9 m", "2 m"))
    pick = Pick(words="a length", options=options, effort=Effort.SETTING)
    question = asking(product, 9.0)
    workshop, _ = bench(question, length="6 m", motor="1..3 m")
    lever = solve(workshop, [pick])[0]
    assert lever.option is options[1]
    workshop, _ = bench(question, {LENGTH: Allowed(choices=("5 m", "2 m"))}, length="6 m", motor="1..3 m")
    assert solve(workshop, [pick])[0].option is options[2]


def test_levers_that_work_come_before_those_that_do_not_and_cheap_ones_first() -> None:
    useless = Pick(words="nothing", options=(Option("set 9 m", {LENGTH: "9 m"}),), effort=Effort.SETTING)
    dear = Pick(words="dear", options=(Option("set 1 m", {LENGTH: "1 m"}),), effort=Effort.REBUILD)
    workshop, _ = bench(asking(product, 9.0), length="6 m", motor="1..3 m")
    assert [lever.words for lever in solve(workshop, [useless, dear, dial()])] == [
        "set the feed to",
        "dear",
        "nothing",
    ]


def test_solving_a_lever_leaves_the_case_as_it_was() -> None:
    workshop, case = bench(asking(product, 9.0), length="6 m", motor="1..3 m")
    solve(workshop, [dial()])
    assert value_at(case.project, LENGTH) == 6.0
    assert spreads(workshop.question, case)[""].worst.margin == pytest.approx(-9.0)


def test_where_only_the_dials_own_range_is_the_trouble_the_zero_is_how_far_it_may_go() -> None:
    workshop, _ = bench(asking(product, 18.5), length="5..7 m", motor="1..3 m")
    lever = solve(workshop, [dial(step=0.1)])[0]
    assert lever.needed == pytest.approx(18.5 / 3.0, rel=1e-9)
    assert not lever.upwards


def test_an_input_that_matters_only_where_others_are_bad_is_found() -> None:
    def clamped(project: Project) -> float:
        return max(10.0, product(project)) if project.cables["motor"].length > 2.5 else 10.0

    verdict = judge(asking(clamped, 19.0), described(length="5..7 m", motor="1..3 m"))[0]
    assert verdict.high == pytest.approx(21.0)
    assert {each.path for each in verdict.influences} == {LENGTH, MOTOR}


# ---- a quick way and a slow one ----------------------------------------------------------------------------


def doubting(
    slow: Callable[[Project], float], limit: float, quick: Callable[[Project], float] = product
) -> tuple[Question, list[float]]:
    """A question with two ways to its answer, and the lengths of feed at which the slow one was asked."""
    asked: list[float] = []
    told = asking(slow, limit)

    def confirm(project: Project, subject: str) -> tuple[Check, ...]:
        assert subject == ""
        asked.append(project.cables["feed"].length)
        return told.ask(project)

    return replace(asking(quick, limit), confirm=confirm), asked


def test_the_slow_way_answers_at_three_points_that_the_quick_one_finds() -> None:
    question, asked = doubting(lambda project: 10.0 * product(project), 1000.0)
    verdict = judge(question, described(length="5..7 m", motor="1..3 m"))[0]
    assert (verdict.low, verdict.check.value, verdict.high) == pytest.approx((50.0, 120.0, 210.0))
    assert verdict.worst.value == pytest.approx(210.0)
    assert asked == pytest.approx([6.0, 7.0, 5.0])


def test_the_slow_way_tells_which_of_the_points_is_the_worst() -> None:
    question, _ = doubting(lambda project: 100.0 - product(project), 1000.0)
    verdict = judge(question, described(length="5..7 m", motor="1..3 m"))[0]
    assert verdict.worst.value == pytest.approx(95.0)
    assert verdict.worst_at == {LENGTH: 5.0, MOTOR: 1.0}


def test_what_the_slow_way_cannot_tell_is_undecided() -> None:
    question, _ = doubting(lambda _: math.nan, 30.0)
    assert judge(question, described(length="5..7 m", motor="1..3 m"))[0].status is Status.UNDECIDED


def test_what_the_quick_way_judges_short_holds_where_the_slow_one_says_so() -> None:
    question, _ = doubting(lambda project: 0.1 * product(project), 9.0)
    assert judge(question, described(length="5..7 m", motor="1..3 m"))[0].status is Status.HOLDS


def test_an_input_settles_a_check_by_what_the_slow_way_says() -> None:
    question, _ = doubting(lambda project: 2.0 * product(project), 20.0)
    verdict = judge(question, described(length="5.9..6.1 m", motor="1..3 m"))[0]
    assert verdict.status is Status.UNDECIDED
    assert {each.path: each.settles for each in verdict.influences} == {LENGTH: False, MOTOR: True}


def test_a_choice_is_taken_by_what_the_slow_way_says() -> None:
    question, _ = doubting(lambda project: 2.0 * product(project), 18.0)
    options = tuple(Option(f"set {text}", {LENGTH: text}) for text in ("5 m", "4 m", "3 m", "2 m"))
    pick = Pick(words="a length", options=options, effort=Effort.SETTING)
    workshop, _ = bench(question, length="6 m", motor="1..3 m")
    assert solve(workshop, [pick])[0].option is options[2]


def test_the_builder_s_own_limit_holds_for_the_slow_way_too() -> None:
    question, _ = doubting(product, 1000.0)
    limited = replace(ORCHARD.project, limits={"wiring.start_dip": 5.0})
    found = surely(question, limited, "")
    assert found is not None
    assert found.limit == 5.0
