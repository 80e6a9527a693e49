"""The JSON of what is learnt from recorded moves keeps to its shape, and says what its document says."""

from __future__ import annotations

import pytest
from jsonschema import Draft202012Validator

from hutwright.outputs.calibration_values import calibration_values, training_values
from hutwright.studies.calibrate import calibrate, training_times
from tests.outputs.shapes import (
    COUNT,
    NAME,
    NUMBER,
    NUMBER_OR_NULL,
    STATUS,
    TRUTH,
    documented,
    keys_of,
    maybe,
    record,
    some,
    strict,
)
from tests.studies.population import door, drawn

NAMES = {"type": "array", "items": NAME}
NUMBERS = {"type": "array", "items": NUMBER}
TWO = {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2}
SHARE = {"type": "number", "minimum": 0, "maximum": 1}
WAY = {"enum": ["opening", "closing"]}
BASIS = {"enum": ["law", "count"]}
PRESS = record(
    weather=NAME,
    gap_m=NUMBER,
    stiffness_N_m=NUMBER,
    touched=TRUTH,
    peak_N=NUMBER_OR_NULL,
    limit_N=NUMBER,
    above_150_s=NUMBER,
    after_5s_N=NUMBER_OR_NULL,
    decided_after_s=NUMBER_OR_NULL,
    kept=TRUTH,
)
CALIBRATE_ANSWER = record(
    format={"const": 1},
    project=NAME,
    variant=maybe(NAME),
    refused=TRUTH,
    verdict=NAME,
    trained=record(cycles=COUNT, temperature_K=maybe(TWO), supply_V=maybe(TWO)),
    claim=record(
        words=NAME,
        share_of_cycles_at_most=SHARE,
        share_of_cycles_on_average=SHARE,
        confidence=SHARE,
        basis=BASIS,
        clean_cycles=COUNT,
        per_season_at_most=NUMBER_OR_NULL,
    ),
    ways=some(
        record(
            way=WAY,
            moves=COUNT,
            profile_A=NUMBERS,
            start_A=NUMBERS,
            A_per_kelvin=NUMBER,
            A_per_volt=NUMBER,
            reference_K=NUMBER,
            reference_V=NUMBER,
            thresholds=some(
                record(
                    branch={"enum": ["residual", "rise"]},
                    value_A=NUMBER,
                    basis=BASIS,
                    law=maybe(record(place_A=NUMBER, scale_A=NUMBER)),
                    chance_of_fit=NUMBER_OR_NULL,
                    maxima_A=NUMBERS,
                )
            ),
        )
    ),
    contacts=some(PRESS),
    edge=some(record(gap_m=NUMBER, N_a_count=NUMBER_OR_NULL, N_an_ampere=NUMBER, N_at_trip=NUMBER_OR_NULL)),
    levers=some(record(words=NAME, holds=TRUTH, record_anew=TRUTH, worst=PRESS)),
    tradeoff=some(record(factor=NUMBER, needless_share=SHARE, peak_N=NUMBER_OR_NULL)),
    more_cycles=some(record(cycles=COUNT, threshold_A=NUMBER_OR_NULL, counted_share=SHARE)),
    obstructed=maybe(record(runs=COUNT, told=COUNT, missed_share_at_most=SHARE, missed=NAMES)),
    force_trials=maybe(
        record(
            indication_only={"const": True},
            trials=some(
                record(
                    line=COUNT,
                    way=WAY,
                    gap_m=NUMBER,
                    stiffness_N_m=NUMBER,
                    pressed_too_far=TRUTH,
                    scale_N=NUMBER,
                    reversed=TRUTH,
                    simulated_N=NUMBER_OR_NULL,
                    simulated_reverses=maybe(TRUTH),
                    ratio=NUMBER_OR_NULL,
                    told=NAME,
                )
            ),
        )
    ),
    left_out=NAMES,
    warnings=NAMES,
    cautions=NAMES,
)
TRAINING = record(
    format={"const": 1},
    duty=SHARE,
    training=some(record(cycles=COUNT, time_s=NUMBER)),
)
ANSWER = maybe(
    record(
        status=STATUS,
        value=NUMBER_OR_NULL,
        low=NUMBER_OR_NULL,
        high=NUMBER_OR_NULL,
        limit=NUMBER_OR_NULL,
        margin=NUMBER_OR_NULL,
    )
)
IDENTIFY_ANSWER = record(
    format={"const": 1},
    project=NAME,
    moves=COUNT,
    by_start=TRUTH,
    temperature_K=NUMBER,
    temperature_recorded=TRUTH,
    values=some(
        record(
            title=NAME,
            path=maybe(NAME),
            unit=NAME,
            value=NUMBER,
            standard_error=NUMBER_OR_NULL,
            low=NUMBER_OR_NULL,
            high=NUMBER_OR_NULL,
            described=NUMBER_OR_NULL,
            described_low=NUMBER_OR_NULL,
            described_high=NUMBER_OR_NULL,
            origin={"enum": ["given", "measured", "assumed", "derived"]},
            agrees=TRUTH,
        )
    ),
    changes=some(record(path=NAME, value=NAME)),
    lines=NAMES,
    fault=maybe(NAME),
    written=TRUTH,
    checks=some(record(key=NAME, title=NAME, unit=NAME, before=ANSWER, after=ANSWER)),
    same=COUNT,
    left_out=NAMES,
    cautions=NAMES,
)


@pytest.fixture(scope="module")
def found():
    return calibrate(door("orchard"), drawn("orchard", 12, (15.0, 25.0)))


def test_the_document_names_every_key_of_calibrate_and_no_other():
    assert documented("calibrate") == keys_of(CALIBRATE_ANSWER) | keys_of(TRAINING)


def test_the_document_names_every_key_of_identify_and_no_other():
    assert documented("identify") == keys_of(IDENTIFY_ANSWER)


def test_how_long_training_takes_keeps_to_its_shape():
    values = training_values(training_times(door("orchard").project))
    Draft202012Validator(TRAINING).validate(strict(values))


@pytest.mark.slow
def test_a_calibration_keeps_to_its_shape(found):
    Draft202012Validator(CALIBRATE_ANSWER).validate(strict(calibration_values(found)))
