"""The JSON is strict, keeps to its shape, and says what its document says."""

from __future__ import annotations

import pytest
from jsonschema import Draft202012Validator

from hutwright import app, units
from hutwright.checks.step import evaluate
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.lines import split
from hutwright.outputs.comparison import comparison_values
from hutwright.outputs.contract import check_values, contract, si_unit
from hutwright.outputs.rehearsal_values import rehearsal_values
from hutwright.units import NUMBER
from tests.answered import quick
from tests.house.places import TOP
from tests.outputs.made import assessed, endless, unknown, voltage_dial
from tests.outputs.shapes import (
    NAME,
    NUMBER_OR_NULL,
    STATUS,
    TEXT,
    TRUTH,
    documented,
    keys_of,
    maybe,
    record,
    some,
    strict,
)

ORCHARD = TOP / "demos" / "orchard"
CONCERN = {"enum": ["comfort", "function", "safety"]}
SENSE = {"enum": ["at least", "at most"]}
SOURCE = record(
    document=NAME,
    place=TEXT,
    standing={"enum": ["read", "second-hand", "derived here", "practice", "recalled"]},
)
AMOUNT = record(value=NUMBER_OR_NULL, unit=NAME)
STEP = record(
    symbol=NAME,
    formula=NAME,
    numbers={"type": "object", "additionalProperties": AMOUNT},
    result=AMOUNT,
    words=TEXT,
)
LEVER = {
    "words": NAME,
    "path": maybe(NAME),
    "needed": NUMBER_OR_NULL,
    "unit": maybe(NAME),
    "changes": maybe({"type": "object", "minProperties": 1}),
    "do": maybe(NAME),
    "effort": {"enum": ["setting", "rewire", "buy small", "buy large", "rebuild"]},
    "works": TRUTH,
    "worsens": {"type": "array", "items": {"type": "string"}},
}
CHECK = record(
    key={"type": "string", "pattern": r"^[a-z_]+\.[a-z_0-9]+(\..+)?$"},
    title=NAME,
    trade=NAME,
    concern=CONCERN,
    status=STATUS,
    value=NUMBER_OR_NULL,
    low=NUMBER_OR_NULL,
    high=NUMBER_OR_NULL,
    limit=NUMBER_OR_NULL,
    unit=NAME,
    sense=SENSE,
    margin=NUMBER_OR_NULL,
    doubt=maybe(record(low=NUMBER_OR_NULL, high=NUMBER_OR_NULL, settled_by=NAME, settles=TRUTH)),
    method=SOURCE,
    limit_from=SOURCE,
    working=some(STEP),
    levers=some(record(**LEVER)),
    tier={"enum": ["quick", "full"]},
)
VALUE = {"path": NAME, "value": {}, "range": maybe({"type": "array", "minItems": 2, "maxItems": 2})}
CHECK_ANSWER = record(
    format={"const": 1},
    project=NAME,
    variant=maybe(NAME),
    checks=some(CHECK),
    actions={"maxItems": 3, **some(record(**LEVER, keys=some(NAME), score={"type": "number"}))},
    measurement=maybe(
        record(
            **VALUE,
            source=maybe(SOURCE),
            origin={"enum": ["given", "assumed", "derived"]},
            keys=some(NAME),
            settles=some(NAME),
            shrinks={"type": "number", "minimum": 0, "maximum": 1},
        )
    ),
    not_asked=some(record(key=NAME, title=NAME, trade=NAME, concern=CONCERN, lacking=some(NAME))),
    assumed=some(record(**VALUE, source=SOURCE)),
    cautions=some(NAME),
)
ANSWER = record(
    status=STATUS,
    value=NUMBER_OR_NULL,
    low=NUMBER_OR_NULL,
    high=NUMBER_OR_NULL,
    limit=NUMBER_OR_NULL,
    sense=SENSE,
    margin=NUMBER_OR_NULL,
)
COUNT = {"type": "integer", "minimum": 0}
COMPARE_ANSWER = record(
    format={"const": 1},
    project=NAME,
    columns=some(
        record(
            variant=maybe(NAME),
            title=NAME,
            changes=some(record(path=NAME, before={}, after={})),
            counts=record(holds=COUNT, barely=COUNT, undecided=COUNT, misses=COUNT),
        )
    ),
    rows=some(
        record(key=NAME, title=NAME, trade=NAME, concern=CONCERN, unit=NAME, answers=some(maybe(ANSWER)))
    ),
    same=some(NAME),
)

BOUND = {
    "quantity": NAME,
    "limit": NUMBER_OR_NULL,
    "unit": NAME,
    "sense": SENSE,
    "limit_from": SOURCE,
}
RUN = record(
    circumstances=TEXT,
    met=TRUTH,
    state=NAME,
    fault=maybe(NAME),
    why=NAME,
    broken={"type": "array", "items": {"type": "string"}},
    touched=TRUTH,
    peak_force=NUMBER_OR_NULL,
    above_150=NUMBER_OR_NULL,
    above_25=NUMBER_OR_NULL,
    reversal_time=NUMBER_OR_NULL,
    peak_current=NUMBER_OR_NULL,
    duration=NUMBER_OR_NULL,
    bounds=some(record(**BOUND, value=NUMBER_OR_NULL, margin=NUMBER_OR_NULL, kept=TRUTH)),
)
REHEARSE_ANSWER = record(
    format={"const": 1},
    project=NAME,
    variant=maybe(NAME),
    settings_checksum=maybe({"type": "integer", "minimum": 0, "maximum": 65535}),
    settings_otherwise=some(NAME),
    scenarios=some(
        record(
            key=NAME,
            family=NAME,
            title=NAME,
            tells=NAME,
            met=TRUTH,
            expected=record(words=NAME, states=some(NAME), faults=some(NAME), source=SOURCE),
            runs={"minItems": 1, **some(RUN)},
        )
    ),
    not_arising=some(NAME),
    left_out=some(NAME),
    findings=some(
        record(
            key=NAME,
            reasons={"minItems": 1, **some(NAME)},
            tried=some(
                record(
                    do=NAME,
                    changes={"type": "object", "minProperties": 1},
                    effort=LEVER["effort"],
                    holds=TRUTH,
                    values=some(record(quantity=NAME, value=NUMBER_OR_NULL)),
                    harms=maybe({"type": "array", "items": {"type": "string"}}),
                )
            ),
        )
    ),
    trials=maybe(
        record(
            runs=COUNT,
            wanted=COUNT,
            seed=COUNT,
            drawn=some(NAME),
            shares=some(
                record(
                    key=NAME,
                    met=COUNT,
                    runs=COUNT,
                    low={"type": "number", "minimum": 0, "maximum": 1},
                    high={"type": "number", "minimum": 0, "maximum": 1},
                    spreads=some(record(**BOUND, median=NUMBER_OR_NULL, worst=NUMBER_OR_NULL)),
                )
            ),
        )
    ),
    claim=some(NAME),
    cautions=some(NAME),
)


# One every day, the others with the slow tests.
SLOW_VARIANTS = [
    pytest.param(path.stem, marks=[] if path.stem == "second_draft" else [pytest.mark.slow])
    for path in sorted((ORCHARD / "variants").glob("*.toml"))
]


@pytest.fixture(scope="module")
def orchard():
    return quick("orchard")


def test_the_document_names_every_key_of_check_and_no_other():
    assert documented("check") == keys_of(CHECK_ANSWER)


def test_the_document_names_every_key_of_compare_and_no_other():
    assert documented("compare") == keys_of(COMPARE_ANSWER)


def test_the_document_names_every_key_of_rehearse_and_no_other():
    assert documented("rehearse") == keys_of(REHEARSE_ANSWER)


def test_a_rehearsal_keeps_to_its_shape():
    found = app.rehearse(ORCHARD, ["free.mild", "obstacle", "ends.both_made"])
    values = strict(rehearsal_values(found, app.rehearse_often(found, 2, seed=1)))
    Draft202012Validator(REHEARSE_ANSWER).validate(values)
    assert values["trials"]["runs"] == 2
    assert values["not_arising"] == ["ends.both_made"]
    missed = [each["key"] for each in values["scenarios"] if not each["met"]]
    assert [each["key"] for each in values["findings"]] == missed
    for scenario in values["scenarios"]:
        assert scenario["met"] is all(run["met"] for run in scenario["runs"])
        for run in scenario["runs"]:
            assert all(bound["kept"] for bound in run["bounds"]) or not run["met"]


def test_the_changes_of_a_tried_lever_can_be_written_into_the_file():
    found = app.rehearse(ORCHARD, ["obstacle.stiff_300"])
    (finding,) = strict(rehearsal_values(found))["findings"]
    assert finding["tried"]
    for tried in finding["tried"]:
        changes = {split(path): value for path, value in tried["changes"].items()}
        build(changed(found.described.merged, changes))


def test_the_demo_keeps_to_the_shape(orchard):
    Draft202012Validator(CHECK_ANSWER).validate(strict(contract(orchard)))


@pytest.mark.parametrize("variant", SLOW_VARIANTS)
def test_so_does_every_variant_of_it(variant):
    values = strict(contract(app.check(ORCHARD, variant=variant)))
    Draft202012Validator(CHECK_ANSWER).validate(values)
    assert values["variant"] == variant


@pytest.mark.parametrize("made", [unknown, endless, assessed])
def test_so_does_what_is_unknown_or_without_end(made):
    Draft202012Validator(CHECK_ANSWER).validate(strict(contract(made())))


def test_an_unknown_number_is_null_and_undecided():
    (check,) = strict(contract(unknown()))["checks"]
    assert (check["value"], check["margin"], check["status"]) == (None, None, "undecided")


def test_an_empty_folder_keeps_to_the_shape_and_says_what_is_lacking(tmp_path):
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Nothing"\n', "utf-8")
    values = strict(contract(app.check(tmp_path)))
    Draft202012Validator(CHECK_ANSWER).validate(values)
    assert values["checks"] == []
    lacking = {each["key"]: each["lacking"] for each in values["not_asked"]}
    assert "supplies" in lacking["wiring.start_dip"]


@pytest.mark.slow
def test_a_comparison_keeps_to_its_shape(tmp_path):
    (tmp_path / "variants").mkdir()
    (tmp_path / "hut.toml").write_text((ORCHARD / "hut.toml").read_text("utf-8"), "utf-8")
    (tmp_path / "variants/far.toml").write_text('cables.feed.length = "30 m"\n', "utf-8")
    values = strict(comparison_values(app.compare(tmp_path)))
    Draft202012Validator(COMPARE_ANSWER).validate(values)
    assert [column["variant"] for column in values["columns"]] == [None, "far"]
    assert values["columns"][1]["changes"] == [
        {"path": "cables.feed.length", "before": "6 m", "after": "30 m"}
    ]


def test_the_numbers_agree_with_each_other(orchard):
    assert contract(orchard)["checks"]
    for check in contract(orchard)["checks"]:
        if None in (check["low"], check["high"], check["limit"], check["margin"], check["value"]):
            continue
        assert check["low"] <= check["value"] <= check["high"]
        assert (check["margin"] >= 0.0) is (check["status"] in ("holds", "barely"))


def test_the_printed_working_gives_the_printed_result(orchard):
    for check in contract(orchard)["checks"]:
        for step in check["working"]:
            numbers = {symbol: number["value"] for symbol, number in step["numbers"].items()}
            if None not in numbers.values() and step["result"]["value"] is not None:
                redone = evaluate(step["formula"], numbers)
                assert redone == pytest.approx(step["result"]["value"], rel=1e-9, abs=1e-12)


def test_the_changes_of_a_lever_can_be_written_into_the_file():
    assessment = assessed(limit=13.0, levers=(voltage_dial(buyable=True),))
    (check,) = contract(assessment)["checks"]
    (lever,) = check["levers"]
    changes = {split(path): value for path, value in lever["changes"].items()}
    again = build(changed(assessment.described.merged, changes))
    assert again.project.supplies["source"].voltage == 15.0
    assert lever["needed"] == pytest.approx(13.0)


def test_assumed_values_read_as_the_file_spells_them(orchard):
    values = {each["path"]: each for each in contract(orchard)["assumed"]}
    endurance = values["drive.stall.endurance"]
    assert [units.read(text, units.TIME).nominal for text in endurance["range"]] == [3.0, 20.0]
    assert units.read(endurance["value"], units.TIME).nominal == 11.5


def test_one_check_alone_has_the_same_shape():
    Draft202012Validator(CHECK).validate(strict(check_values(app.why(ORCHARD, "start_dip").verdict)))


@pytest.mark.parametrize(
    ("dimension", "unit"),
    [
        (units.VOLTAGE, "V"),
        (units.TEMPERATURE, "K"),
        (units.RATIO, "1"),
        (units.SLOPE, "1"),
        (units.GAIN, "1"),
        (units.CARRIER_TO_NOISE, "Hz"),
        (units.TEMPERATURE_COEFFICIENT, "1/K"),
        (units.MELTING_INTEGRAL, "A2 s"),
        (NUMBER, "1"),
    ],
)
def test_the_unit_is_that_of_the_number(dimension, unit):
    assert si_unit(dimension) == unit


@pytest.mark.parametrize("dimension", units.DIMENSIONS.values(), ids=lambda each: each.name)
def test_a_base_that_is_no_si_unit_is_never_named_as_one(dimension):
    base = dimension.units[dimension.base]
    if si_unit(dimension) == dimension.base:
        assert (base.factor, base.offset) == (1, 0)
