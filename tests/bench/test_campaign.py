"""The fault campaign: every promise kept, every kind played, and a core that breaks a promise found out."""

from __future__ import annotations

import ctypes
import re
import subprocess
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import numpy as np
import pytest

from hutwright.bench.campaign import KINDS, MOMENTS, campaign, prepared, tally
from hutwright.bench.fault_kinds import SIMPLE
from hutwright.description.folder import load
from hutwright.native import build, engine, records
from hutwright.native.words import Broken, EventKind
from hutwright.studies.rehearse import stage_of
from tests.described import DEMOS
from tools.fault_campaign import DEMOS as NAMES
from tools.fault_campaign import PAGE, page, tallies


@cache
def stage(name):
    return stage_of(load(DEMOS / name))


def kind(key):
    return next(each for each in KINDS if each.key == key)


@pytest.mark.parametrize("moments", [4, pytest.param(10, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", NAMES)
def test_some_moments_of_every_kind_break_no_promise_and_come_to_rest(name, moments):
    with ThreadPoolExecutor(2) as executor:
        found = campaign(stage(name), moments=moments, executor=executor)
    assert len(found) >= 45
    for each in found:
        assert not each.broken, each
        assert each.runs == moments
        assert (each.senseless, each.unfinished) == (0, 0), each
        assert each.longest <= 1.0
    # what was promised has been put to the test
    assert sum(each.stopped for each in found) > 50
    assert sum(each.gave_way for each in found) > 20
    assert max(each.longest for each in found) == pytest.approx(1.0, abs=1e-3)


def test_every_kind_of_event_that_is_a_fault_is_played():
    chance = np.random.default_rng(1)
    played = {event.kind for each in SIMPLE for event in each.happens(stage("sports_field"), chance, 3.0)}
    assert set(EventKind) - played == set()


def test_a_run_is_drawn_by_its_number_alone():
    one, again, other = (prepared(stage("orchard"), kind("together.three"), each) for each in (4, 4, 5))
    for part in ("door", "settings", "events"):
        assert getattr(one, part).tobytes() == getattr(again, part).tobytes()
    assert one.events.tobytes() != other.events.tobytes()
    few, more = (campaign(stage("orchard"), [kind("push")], moments=each)[0] for each in (3, 3))
    assert few == more


def test_kinds_have_names_of_their_own():
    assert len({each.key for each in KINDS}) == len({each.words for each in KINDS}) == len(KINDS)


# What each bad core says in place of the good one's answer.
BAD = {
    Broken.BOTH_SIDES: "if (outputs->open_permille > 0) outputs->close_permille = 1;",
    Broken.VETO: "if (outputs->why == DOOR_WHY_VETO && (inputs->present == 2 || inputs->beam == 2)) {"
    " outputs->open_permille = 0; outputs->close_permille = 1; }",
    Broken.RUN_CAP: "if (outputs->fault == DOOR_RUN_TOO_LONG && state->decide.last_way == DOOR_CLOSES)"
    " outputs->close_permille = 1;",
    Broken.STOP: "if (inputs->word == DOOR_SAY_STOP) outputs->open_permille = 1;",
    Broken.DEAD_TIME: "if (outputs->mode == DOOR_REVERSING && state->decide.way == DOOR_OPENS)"
    " outputs->open_permille = 1;",
    Broken.FAULT: "if (outputs->mode == DOOR_FAULT) outputs->enable = 1;",
}


def made(folder, promise, cc):
    """The simulation with a bad core, as a library."""
    bad = folder / "bad.c"
    bad.write_text(
        '#include "door.h"\nvoid bad_tick(const door_settings *settings, door_state *state,'
        " const door_inputs *inputs, door_outputs *outputs)"
        f" {{ door_tick(settings, state, inputs, outputs); {BAD[promise]} }}\n"
    )
    library = folder / "bad.so"
    include = [f"-I{build.HERE / each}" for each in build.FOLDERS]
    plain = [str(path) for path in build.sources() if path.name != "loop.c"]
    loop = folder / "loop.o"
    for command in (
        ["-Ddoor_tick=bad_tick", "-c", str(build.HERE / "sim" / "loop.c"), "-o", str(loop)],
        ["-shared", str(bad), str(loop), *plain, "-o", str(library), "-lm"],
    ):
        subprocess.run([cc, "-std=c11", "-O1", "-fPIC", *include, *command], check=True, timeout=120)
    return ctypes.CDLL(str(library))


EVERY_DAY = (Broken.VETO, Broken.DEAD_TIME)  # the others take as long, and say the same of the campaign


@pytest.mark.parametrize(
    "promise",
    [pytest.param(each, marks=() if each in EVERY_DAY else pytest.mark.slow) for each in BAD],
    ids=lambda each: each.name.lower(),
)
def test_a_core_that_breaks_a_promise_is_found_out(promise, tmp_path, require_tool):
    library = made(tmp_path, promise, require_tool("cc"))
    door = stage("sports_field")
    broken = Broken(0)
    for key in ("words.stop", "beam.sees", "limit.shut_lost", "sensor.silent"):
        runs = [prepared(door, kind(key), each) for each in range(12)]
        three = [np.stack([getattr(run, part) for run in runs]) for part in ("door", "settings", "events")]
        results = np.zeros(len(runs), records.RESULT)
        at = [each.ctypes.data_as(ctypes.c_void_p) for each in (*three, results)]
        library.sim_batch(at[0], 1, at[1], 1, at[2], 1, len(runs), at[3], None, None)
        found = tally(kind(key), door, runs, results)
        broken |= Broken(sum(found.broken))
        good = tally(kind(key), door, runs, engine.batch(*three))
        assert not good.broken
    assert promise in broken


def tokens(text):
    return re.sub(r"\d+(\.\d+)?", "#", text), [float(each) for each in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.mark.slow
def test_the_page_of_the_campaign_is_current():
    """Another C library's sine may move a run or two from column to column; promises stay kept everywhere."""
    with ThreadPoolExecutor(2) as executor:
        found = {name: tallies(name, executor=executor) for name in NAMES}
    assert not any(each.broken for some in found.values() for each in some)
    assert all(each.runs == MOMENTS for some in found.values() for each in some)
    (kept, numbers), (new, others) = tokens(PAGE.read_text(encoding="utf-8")), tokens(page(found))
    assert kept == new, "run `make campaign`"
    np.testing.assert_allclose(numbers, others, atol=3.0, rtol=1e-3, err_msg="run `make campaign`")
