"""What the full wave says, in words and as values."""

import json
import re

import pytest

from hutwright.outputs.sky_confirm_text import DIFFER, confirmation_text, count_text, doubt_text
from hutwright.outputs.sky_confirm_values import confirmation_values
from hutwright.plant.sky.inside import Season, State
from hutwright.studies.sky_confirm import Both, Confirmation, Reckoning
from tests.described import orchard
from tests.house.places import TOP
from tests.plant.sky.skies import small_hut

NAN = float("nan")


def reckoned(count, fewest, most, words):
    return Reckoning(
        count=count, fewest=fewest, most=most, ready=0.3, ready_least=0.08, ready_most=0.46, accuracy=words
    )


def both(integral, wave, *, windows=None, state=None, rms_db=2.04):
    return Both(
        windows=windows,
        state=state or State(),
        side=0.02,
        integral=reckoned(integral, integral - 1, integral + 1, "within one satellite"),
        full_wave=reckoned(wave, wave - 2, wave + 1.6, "within 0.8 dB"),
        rms_db=rms_db,
        mean_db=rms_db / 4,
    )


APART, AGREED = both(12.26, 8.92), both(9.4, 9.1, windows=2, state=State(season=Season.RAIN))
WEAK = both(0.0, 0.0, state=State(is_open=True), rms_db=NAN)
FOUND = Confirmation(asked=3, found=(APART, AGREED, WEAK), left_out=(), other_pattern=False)


def flat(text):
    return " ".join(text.split())


def test_a_count_is_a_whole_number_and_a_range_where_the_methods_differ():
    assert count_text(APART) == "9..12"
    assert count_text(AGREED) == "9"
    assert count_text(WEAK) == "0"


@pytest.mark.parametrize("width", [40, 76, 100])
def test_every_number_stands_with_its_method_and_its_accuracy(width):
    text = confirmation_text(FOUND, width=width)
    assert max(len(line) for line in text.splitlines()) <= width
    told = flat(text)
    for words in (DIFFER, "The full wave: within 0.8 dB.", "The integral: within one satellite."):
        assert words in told
    for words in ("as described, door shut", "the best two, door shut, rain", "9 (7..11)", "12 (11..13)"):
        assert words in told
    assert "2.0 dB rms, +0.5 dB" in told
    assert "all weak" in told
    assert not re.search(r"nan|\d\.\d+ satellites", told)


def test_where_all_agree_no_range_is_explained():
    found = Confirmation(asked=1, found=(AGREED,), left_out=(), other_pattern=False)
    assert DIFFER not in flat(confirmation_text(found))


def test_what_was_stopped_left_out_or_heard_by_another_antenna_is_told():
    found = Confirmation(asked=5, found=(), left_out=("door open: no travel",), other_pattern=True)
    told = flat(confirmation_text(found))
    assert "Stopped after 0 of 5" in told
    assert "Not asked for door open: no travel." in told
    assert "hears as a small patch does" in told


def test_the_suggestion_says_why_and_how():
    told = doubt_text(orchard().project)
    assert "soaked walls in rain and a roof of metal hangs over the walls" in told
    assert "--confirm" in told
    assert doubt_text(small_hut({"build_ups.wall": ["22 mm polystyrene foam"]})) == ""


def test_the_values_are_strict_and_every_one_is_explained():
    values = confirmation_values(FOUND)
    json.dumps(values, allow_nan=False)
    document = (TOP / "docs" / "json.md").read_text("utf-8")

    def keys(thing, path):
        if isinstance(thing, dict):
            for name, value in thing.items():
                yield from keys(value, f"{path}.{name}")
        elif isinstance(thing, list) and thing and isinstance(thing[0], dict):
            yield from keys(thing[0], f"{path}[]")
        else:
            yield path

    told = {each.replace(".integral.", ".full_wave.") for each in keys(values, "full_wave")}
    assert {each for each in told if f"| `{each}` |" not in document} == set()
    assert values["found"][0]["satellites"] == {"fewest": 8.92, "most": 12.26}
    assert values["found"][2]["rms_db"] is None
