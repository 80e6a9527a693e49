"""The assessment over both demos and over generated descriptions: ranges, levers, order, first actions."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright import units
from hutwright.assessment import Assessment, assess, case_of, trades
from hutwright.checks.check import Check
from hutwright.checks.judging import NOMINAL, POINTS, Case, at, judge, spreads
from hutwright.checks.roster import ROSTER
from hutwright.checks.verdict import Status, Tier, Verdict
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Described
from hutwright.description.overlay import overlay, whole
from hutwright.description.reading import read_sheet
from hutwright.errors import DescriptionError
from hutwright.model.paths import present
from hutwright.model.watched import Book, watched_in
from hutwright.outputs.report import report
from hutwright.trades.wiring import TRADE as WIRING

DEMOS = Path(__file__).parent.parent / "demos"
MOST_WORKED = (
    40  # times that a question is worked out for each check shown; it was 70 before it was remembered
)
MOST_FACTS = (
    100  # and with all the facts behind them: the sky adds a few dear ones for each of its few checks
)
VARIANTS = [(demo, None) for demo in ("orchard", "sports_field")] + [
    (folder.parent.parent.name, folder.stem) for folder in sorted(DEMOS.glob("*/variants/*.toml"))
]
PROMISE = 1e-6  # what the project promises of a continuous lever: the margin once it is set


@cache
def assessed(demo: str, variant: str | None = None) -> Assessment:
    return assess(load(demo, variant), tier=Tier.FULL)


@cache
def load(demo: str, variant: str | None = None) -> Described:
    base = read_sheet(DEMOS / demo / "hut.toml", "hut.toml")
    if variant is None:
        return build(whole(base))
    path = f"variants/{variant}.toml"
    return build(overlay(base, read_sheet(DEMOS / demo / path, path)), variant=variant)


def judged_again(described: Described, verdict: Verdict, changes: dict[tuple[str, ...], object]) -> float:
    """The margin at the worst end after the file was changed and read again; no end where it is not asked."""
    case = case_of(build(changed(described.merged, changes)))
    reads = next(trade.reads for trade in trades() if trade.name == verdict.question.trade)
    margins = {each.key: each.margin for each in judge(verdict.question, case.within(reads))}
    return margins.get(verdict.key, math.inf)


def hold_levers_to_their_promise(described: Described, assessment: Assessment) -> int:
    """Set every lever in the file and look at the margin; returns how many levers were tried."""
    tried = 0
    for verdict in assessment.verdicts:
        for lever in verdict.levers:
            if lever.needed is not None and lever.dimension is not None:
                margin = judged_again(
                    described, verdict, {lever.path: units.write(lever.needed, lever.dimension)}
                )
                assert abs(margin) <= PROMISE * max(1.0, abs(verdict.worst.limit)), (verdict.key, lever.words)
                tried += 1
            if lever.option is not None:
                margin = judged_again(described, verdict, dict(lever.option.changes))
                assert margin >= 0.0, (verdict.key, lever.option.words)
                tried += 1
    return tried


@pytest.mark.slow
@pytest.mark.parametrize(("demo", "variant"), VARIANTS)
def test_every_lever_of_every_demo_lands_where_it_says(demo: str, variant: str | None) -> None:
    hold_levers_to_their_promise(load(demo, variant), assessed(demo, variant))


def test_the_orchard_as_first_drawn_misses_a_few_checks_beside_many_that_hold() -> None:
    statuses = [verdict.status for verdict in assessed("orchard").verdicts]
    assert 3 <= statuses.count(Status.MISSES) < statuses.count(Status.HOLDS)


@pytest.mark.slow
def test_the_orchards_second_draft_mends_more_than_it_breaks() -> None:
    first, second = (
        {verdict.key for verdict in assessed("orchard", variant).verdicts if verdict.status is Status.MISSES}
        for variant in (None, "second_draft")
    )
    assert len(first - second) >= 6
    assert len(second - first) <= 1


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_whatever_misses_has_a_lever_or_says_that_there_is_none(demo: str) -> None:
    assessment = assessed(demo)
    assert hold_levers_to_their_promise(assessment.described, assessment) > 0
    text = " ".join(report(assessment).split())
    for verdict in assessment.verdicts:
        if verdict.status is Status.MISSES and not any(lever.works for lever in verdict.levers):
            told = (
                "no lever within the allowed range"
                if verdict.check.levers
                else "no lever is known for this check"
            )
            assert told in text, verdict.key


@pytest.mark.parametrize(("demo", "variant"), VARIANTS)
def test_the_working_of_every_check_ends_in_its_value_and_can_be_done_again(
    demo: str, variant: str | None
) -> None:
    for verdict in assessed(demo, variant).verdicts:
        for check in (verdict.check, verdict.worst):
            assert check.working, verdict.key
            for step in check.working:
                assert step.redo() == pytest.approx(step.result.value, rel=1e-12, abs=1e-15, nan_ok=True)
            assert check.working[-1].result.value == pytest.approx(check.value, rel=1e-12, nan_ok=True)


@pytest.mark.parametrize(("demo", "variant"), VARIANTS)
def test_a_nominal_value_lies_in_its_range_and_no_margin_is_better_than_the_best(
    demo: str, variant: str | None
) -> None:
    for verdict in assessed(demo, variant).verdicts:
        if not math.isnan(verdict.check.value):
            assert verdict.low <= verdict.check.value <= verdict.high
            assert verdict.margin <= verdict.check.margin <= verdict.best or math.isnan(verdict.margin)


def test_every_key_of_the_roster_is_asked_by_one_question_and_has_its_file_and_test() -> None:
    keys = [question.key for trade in trades() for question in trade.questions]
    assert sorted(keys) == sorted(ROSTER)
    for trade in trades():
        for question in trade.questions:
            name = question.key.split(".")[1]
            assert question.ask.__module__ == f"hutwright.trades.{trade.name}.{name}"
            assert (Path(__file__).parent / "trades" / trade.name / f"test_{name}.py").is_file(), question.key


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_an_unsure_value_outside_the_tables_that_a_trade_reads_moves_none_of_its_checks(demo: str) -> None:
    described = load(demo)
    case = case_of(described)
    for trade in trades():
        for question in trade.questions:
            for spread in spreads(question, case).values():
                assert {path[0] for path in spread.ends} <= set(trade.reads), question.key


def test_two_assessments_of_one_description_are_the_same() -> None:
    one, other = (assess(load("orchard"), tier=Tier.QUICK) for _ in range(2))
    assert [repr((v.key, v.low, v.high, v.margin)) for v in one.verdicts] == [
        repr((v.key, v.low, v.high, v.margin)) for v in other.verdicts
    ]
    assert [action.keys for action in one.actions] == [action.keys for action in other.actions]


def test_the_first_actions_are_at_most_three_and_each_serves_something_that_is_short() -> None:
    assessment = assessed("orchard")
    short = {verdict.key for verdict in assessment.verdicts if verdict.status.short}
    assert 1 <= len(assessment.actions) <= 3
    for action in assessment.actions:
        assert action.lever.works
        assert set(action.keys) <= short


def test_knowing_the_measured_value_shrinks_the_doubt_as_promised() -> None:
    described = load("orchard")
    measurement = assessed("orchard").measurement
    assert measurement is not None
    path = measurement.datum.path
    assert isinstance(measurement.datum.value, float)
    before = case_of(described)
    after = before.set(path, (measurement.datum.low + measurement.datum.high) / 2)  # type: ignore[operator]
    for trade in trades():
        for question in trade.questions:
            new = {each.check.subject: each for each in judge(question, after.within(trade.reads))}
            for verdict in judge(question, before.within(trade.reads)):
                if verdict.key in measurement.keys and verdict.check.subject in new:
                    known = new[verdict.check.subject]
                    assert known.best - known.margin <= verdict.best - verdict.margin + 1e-9


def test_a_folder_of_only_a_door_leaves_every_wiring_question_as_not_asked_yet() -> None:
    tables = [
        "supplies",
        "fuses",
        "cables",
        "regulators",
        "electronics",
        "pins",
        "drive",
        "controller",
        "allow",
    ]
    bare = changed(load("orchard").merged, {(table,): None for table in tables})
    assessment = assess(build(bare), tier=Tier.QUICK)
    assert {verdict.question.trade for verdict in assessment.verdicts} <= {"door", "guard", "sky"}
    open_ones = {each.question.key for each in assessment.not_asked}
    assert {key for key in ROSTER if key.startswith("wiring.")} <= open_ones
    assert not [verdict for verdict in assessment.verdicts if math.isnan(verdict.check.limit)]


def test_a_folder_of_only_the_sky_is_a_good_folder() -> None:
    bare = changed(
        load("orchard").merged,
        {(table,): None for table in load("orchard").merged.data if table not in SKY_ONLY},
    )
    assessment = assess(build(bare))
    assert not assessment.verdicts
    assert {each.question.key for each in assessment.not_asked} == set(ROSTER)
    assert not assessment.short


SKY_ONLY = {"format", "name", "site", "hut", "build_ups", "members", "openings", "roof_antenna"}


@pytest.mark.slow
@settings(max_examples=6)
@given(
    length=st.floats(0.5, 60.0),
    core=st.sampled_from(
        ["0.5 mm2 class 5", "0.75 mm2 class 5", "1.5 mm2 class 5", "2.5 mm2 class 2", "6 mm2 class 5"]
    ),
    stall=st.floats(3.0, 20.0),
    fuse=st.sampled_from(["2 A", "5 A", "7.5 A", "10 A", "20 A"]),
    resistance=st.floats(0.01, 0.3),
    load=st.floats(0.02, 0.4),
    bridge=st.sampled_from(["dual bipolar", "single MOSFET 30 A class"]),
)
def test_levers_of_generated_descriptions_land_where_they_say(
    length, core, stall, fuse, resistance, load, bridge
) -> None:
    changes: dict[tuple[str, ...], object] = {
        ("allow",): None,
        ("cables", "feed", "length"): units.write(length, units.LENGTH),
        ("cables", "feed", "core"): core,
        ("drive", "stall", "current"): units.write(stall, units.CURRENT),
        ("drive", "rating", "current"): units.write(0.35 * stall, units.CURRENT),
        ("drive", "no_load", "current"): units.write(0.1 * stall, units.CURRENT),
        ("fuses", "main", "rating"): fuse,
        ("supplies", "battery", "resistance"): f"{units.write(resistance, units.RESISTANCE)} +- 30 %",
        ("electronics", "logic", "load"): units.write(load, units.CURRENT),
        ("electronics", "bridge"): {"kind": bridge},
    }
    described = build(changed(ORCHARD.merged, changes))
    hold_levers_to_their_promise(described, assess(described, (WIRING,)))


ORCHARD = load("orchard")


@pytest.mark.slow
@settings(max_examples=10)
@given(
    st.lists(st.sampled_from(sorted(ORCHARD.unsure)), unique=True, max_size=6),
    st.randoms(use_true_random=False),
)
def test_no_point_inside_the_ranges_is_worse_than_the_worst_end(paths, chance) -> None:
    case = case_of(ORCHARD)
    point = {path: chance.uniform(*case.ranges[path]) for path in paths}
    for trade in trades():
        for question in trade.questions:
            within = case.within(trade.reads)
            for subject, spread in spreads(question, within).items():
                moved = {check.subject: check for check in question.ask(ORCHARD.at(point))}
                if subject in moved and math.isfinite(spread.worst.margin):
                    slack = 0.02 * max(abs(spread.best - spread.worst.margin), 1e-12)
                    assert moved[subject].margin >= spread.worst.margin - slack, question.key


@pytest.mark.slow
def test_a_limit_of_the_builders_own_counts_only_where_it_is_stricter() -> None:
    key = "wiring.start_dip"
    as_drawn = next(v for v in assessed("orchard").verdicts if v.key == key)
    for text, stricter in (("4.9 V", True), ("1 V", False)):
        described = build(changed(ORCHARD.merged, {("limits", key): text}))
        verdict = next(v for v in assess(described).verdicts if v.key == key)
        assert (verdict.margin < as_drawn.margin) is stricter
        assert ("builder" in verdict.worst.limit_from.document) is stricter


def test_a_lever_outside_what_may_be_changed_is_not_offered() -> None:
    changes = {
        ("allow",): {"cables.feed.length": "5.9..6 m", "cables.feed.core": ["0.75 mm2 class 5"]},
        ("cables", "feed", "length"): "6 m",
    }
    described = build(changed(ORCHARD.merged, {**changes, ("limits", "wiring.voltage_drop"): "1 %"}))
    for verdict in assess(described).verdicts:
        for lever in verdict.levers:
            if lever.path == ("cables", "feed", "length"):
                assert lever.needed is None or 5.9 <= lever.needed <= 6.0
            if lever.option is not None and ("cables", "feed", "core") in lever.option.changes:
                assert lever.option.changes["cables", "feed", "core"] == "0.75 mm2 class 5"


def test_a_range_in_which_a_value_contradicts_another_is_refused() -> None:
    with pytest.raises(DescriptionError, match="narrow the range"):
        build(changed(ORCHARD.merged, {("drive", "stall", "current"): "2..9 A"}))


# ---- what is worked out, and what is remembered ------------------------------------------------------------


def _points(case):
    """The ends of every unsure value, each alone, and the design inside all ranges."""
    yield NOMINAL
    for path, ends in case.ranges.items():
        yield from ({path: end} for end in ends)
    yield from (case.design(number) for number in range(POINTS))


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_what_is_remembered_never_serves_where_another_answer_is_right(demo):
    described = load(demo)
    case = case_of(described)
    plain = Case(described.project, case.ranges)
    for trade in trades():
        questions = [
            question
            for question in trade.questions
            if all(present(described.project, path) for path in question.needs)
        ]
        for point in _points(case):
            for question in questions:
                remembered, worked_out = at(question, case, point), at(question, plain, point)
                assert [_told(each) for each in remembered.values()] == [
                    _told(each) for each in worked_out.values()
                ], (question.key, point)


def _told(check):
    """All of a check that a builder sees, with NaN as a word, so that it equals itself."""
    return repr((check.subject, check.value, check.limit, check.accuracy, check.meaning, *check.working))


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_a_remembered_answer_holds_no_record_that_is_still_watched(demo, monkeypatch):
    kept = Book._keep
    held: list[str] = []

    def looked_at(book, shelves, reads, values, answer):
        if not (isinstance(answer, tuple) and any(isinstance(each, Check) for each in answer)):
            held.extend(type(each).__name__ for each in watched_in(answer))
        kept(book, shelves, reads, values, answer)

    monkeypatch.setattr(Book, "_keep", looked_at)
    assess(load(demo), tier=Tier.QUICK)
    assert not held


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_a_quick_check_works_little_out_for_each_check_that_it_shows(demo, monkeypatch):
    worked: list[object] = []
    worked_out = Book._worked_out

    def counted(book, work, project, arguments):
        worked.append(work)
        return worked_out(book, work, project, arguments)

    monkeypatch.setattr(Book, "_worked_out", counted)
    shown = assess(load(demo), tier=Tier.QUICK).verdicts
    asks = {verdict.question.ask for verdict in shown}
    questions = sum(work in asks for work in worked)
    assert questions <= MOST_WORKED * len(shown)
    assert len(worked) <= MOST_FACTS * len(shown)
