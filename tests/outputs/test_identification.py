"""What recorded moves say, as text and as values, and what the checks say with it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from hutwright.assessment import trades
from hutwright.bench.traced import switched_move
from hutwright.description.described import Origin
from hutwright.evidence.trace import Way
from hutwright.laws.motor_constants import Slope
from hutwright.outputs.identification import NOTHING, identification_text, identification_values
from hutwright.plant.conditions import nominal
from hutwright.studies import offering
from hutwright.studies.identify import Identified, identify
from hutwright.studies.identify_beside import RESISTANCE, SPEED, Offer, offer
from tests.described import ORCHARD, orchard
from tests.outputs.shapes import strict
from tests.outputs.test_contract_moves import IDENTIFY_ANSWER

TEXT = ORCHARD.read_text("utf-8")


@pytest.fixture(scope="module")
def found() -> Identified:
    project = orchard().project
    return identify(project, [switched_move(project, nominal(project), way=way, every=5) for way in Way])


@pytest.fixture(scope="module")
def drive_alone():
    """Only the drive's checks, which are the quickest of those that read what changes."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(offering, "trades", lambda: trades(["drive"]))
        yield


@pytest.fixture(scope="module")
def made(found, drive_alone) -> Offer:
    return offer(orchard(), TEXT, found)


def row(made: Offer, path: str):
    (one,) = [each for each in made.rows if each.path == path]
    return one


def test_each_value_stands_beside_what_was_described_with_its_origin(made):
    by = {each.title: each for each in made.rows}
    assert len(by) == 6
    assert row(made, SPEED).origin is Origin.GIVEN
    assert row(made, RESISTANCE).origin is Origin.DERIVED  # of the listing: the file does not have it
    supply = row(made, "supplies.battery.resistance")
    assert (supply.low, supply.before, supply.high) == pytest.approx((0.04, 0.08, 0.12))
    friction = by["current that friction takes, both ways alike"]
    # hinge and seal are described as ranges, and so is what follows from them
    assert friction.low < friction.before < friction.high
    assert all(each.agrees for each in made.rows)


def test_a_drive_that_is_not_the_described_one_differs_and_turns_checks(found, drive_alone):
    weak = replace(found, resistance=Slope(1.5 * found.resistance.value, found.resistance.error))
    made = offer(orchard(), TEXT, weak)
    assert not row(made, RESISTANCE).agrees
    told = identification_text(made, written=False)
    assert "differs" in told
    turned = [
        each
        for each in made.differing
        if len({answer.status for answer in each.answers if answer is not None}) == 2
    ]
    assert turned
    assert all(f"[{each.key}]" in told for each in turned)


@pytest.mark.parametrize("width", [60, 100])
def test_the_text_fits_the_screen_apart_from_the_lines_of_the_file(made, width):
    told = identification_text(made, written=False, width=width).splitlines()
    assert max(len(each) for each in told if each not in made.lines) <= width
    assert any(each.startswith("+motor = { resistance") for each in told)
    assert "Written with --write; nothing is written without it." in told


def test_the_values_keep_to_the_document_and_to_the_text(made):
    values = strict(identification_values(made, written=False))
    Draft202012Validator(IDENTIFY_ANSWER).validate(values)
    assert [each["path"] for each in values["changes"]] == list(made.changes)
    assert [each["unit"] for each in values["values"][:2]] == ["ohm", "V s/m"]
    assert values["values"][2]["described"] == pytest.approx(0.030)


def test_nothing_is_offered_of_what_is_too_unsure(found, drive_alone):
    vague = replace(found, resistance=Slope(2.0, 1.0), source=Slope(0.1, 0.5), loads=None)
    made = offer(orchard(), TEXT, vague)
    assert not made.ready
    assert made.text == TEXT
    assert " ".join(NOTHING.split()) in " ".join(identification_text(made, written=False).split())


def test_what_is_far_from_the_description_is_shown_and_not_offered(found, drive_alone):
    strange = replace(found, resistance=Slope(5.0 * found.resistance.value, found.resistance.error))
    made = offer(orchard(), TEXT, strange)
    assert made.lines
    assert not made.ready
    assert "more than 2 times off what is described; look whether" in " ".join(
        identification_text(made, written=False).split()
    )


def test_a_supply_that_would_be_below_nothing_is_left_out_in_a_sentence(found, drive_alone):
    made = offer(orchard(), TEXT, replace(found, source=Slope(0.05, 0.001)))
    assert all(each.path != "supplies.battery.resistance" for each in made.rows)
    assert made.ready
    assert "by less than the described cables alone" in identification_text(made, written=False, width=300)


def test_a_change_that_contradicts_the_rest_is_told_and_not_offered(found, drive_alone):
    # a greater constant, and so a speed that is slower without load than the listing is with full load
    slow = replace(found, constant=Slope(1.5 * found.constant.value, found.constant.error))
    made = offer(orchard(), TEXT, slow)
    assert not made.ready
    assert "no_load.speed" in made.fault
    assert "would contradict itself" in identification_text(made, written=False)
