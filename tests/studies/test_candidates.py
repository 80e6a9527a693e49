"""Candidates tried one at a time."""

import json

import pytest

from hutwright.assessment import assess, trades
from hutwright.checks.verdict import Status
from hutwright.cli.main import main
from hutwright.description.folder import load
from hutwright.evidence.candidates import parse_candidates
from hutwright.outputs.candidates import candidates_text
from hutwright.studies.candidates import try_candidates, with_candidate
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"
TABLE = (
    "name, price, force, speed, current, stall_current\n"
    "strong, 60, 600, 20, 2.6, 7.5\nweak, 20, 40, 20, 2.6, 7.5\nno drive at all, 1, 300, 20, 2.6, 1\n"
)


@pytest.fixture(scope="module")
def tried():
    chosen = trades(["drive"])
    described = load(ORCHARD)
    base = assess(described, chosen)
    return base, try_candidates(described, parse_candidates(TABLE, "candidates.csv"), chosen)


def test_what_misses_less_stands_first_and_what_cannot_be_last(tried):
    _, found = tried
    assert [each.candidate.name for each in found] == ["strong", "weak", "no drive at all"]
    strong, weak, none = found
    assert strong.rank < weak.rank < none.rank
    assert strong.count(Status.MISSES) <= weak.count(Status.MISSES)
    assert none.assessment is None
    assert "stall" in none.fault


def test_nothing_of_the_old_listing_stays():
    (candidate,) = parse_candidates("name, force, speed, current\na, 300, 20, 2\n", "candidates.csv")
    described = with_candidate(load(ORCHARD), candidate)
    assert described.values["drive", "rating", "force"].value == 300.0
    assert described.values["drive", "no_load", "speed"].origin.value == "assumed"
    assert described.values["drive", "length", "stroke"].origin.value == "given"


def test_the_text_names_all_and_what_to_pack(tried):
    base, found = tried
    told = candidates_text(base, found, ())
    assert told.index("1.") < told.index("strong") < told.index("weak")
    assert "no drive at all cannot be" in told
    assert "[ ] the drive strong" in told
    assert max(len(line) for line in told.splitlines()) <= 100


def test_the_verb_ranks_a_file(tmp_path, capsys):
    path = tmp_path / "candidates.csv"
    path.write_text(TABLE)
    code = main(["compare", str(ORCHARD), "--candidates", str(path), "--trade", "drive", "--json"])
    told = json.loads(capsys.readouterr().out)
    assert code == 1
    assert [each["name"] for each in told["candidates"]] == ["strong", "weak", "no drive at all"]
    assert told["packing"][0].startswith("the drive strong")


def test_variants_and_candidates_are_not_mixed(tmp_path, capsys):
    assert main(["compare", str(ORCHARD), "own_feed", "--candidates", str(tmp_path / "none.csv")]) == 2
    assert "one of the two" in capsys.readouterr().err
