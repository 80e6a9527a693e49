"""The generated pages of the handbook are complete and current."""

from __future__ import annotations

import pytest

from hutwright.assessment import Assessment, assess
from hutwright.bench.scenarios import SCENARIOS
from hutwright.checks.roster import ROSTER
from hutwright.checks.verdict import Tier
from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from tests.answered import demo, full, quick
from tools import handbook
from tools.handbook import (
    CHECKS,
    DEMOS,
    LAWS,
    README,
    SCENARIOS_PAGE,
    checks_page,
    laws,
    laws_page,
    readme,
    scenarios_page,
)


@pytest.fixture
def _answered_once(monkeypatch):
    """The demos' answers that other tests look at too, in place of new ones."""
    demos = {demo(name).project.name: name for name in DEMOS}

    def answered(described: Described, *, tier: Tier = Tier.FULL) -> Assessment:
        name = demos[described.project.name]
        assert described.merged.data == demo(name).merged.data
        return full(name) if tier is Tier.FULL else quick(name)

    monkeypatch.setattr(handbook, "assess", answered)


@pytest.mark.slow
@pytest.mark.usefixtures("_answered_once")
def test_the_page_of_the_checks_is_current():
    assert CHECKS.read_text(encoding="utf-8") == checks_page(), "run `make handbook`"


def test_the_page_of_the_laws_is_current():
    assert LAWS.read_text(encoding="utf-8") == laws_page(), "run `make handbook`"


def test_the_page_of_the_scenarios_is_current_and_names_them_all():
    page = SCENARIOS_PAGE.read_text(encoding="utf-8")
    assert page == scenarios_page(), "run `make handbook`"
    assert all(f"| `{scenario.key}` |" in page for scenario in SCENARIOS)


@pytest.mark.usefixtures("_answered_once")
def test_the_sample_on_the_front_page_is_what_is_printed():
    assert README.read_text(encoding="utf-8") == readme(), "run `make handbook`"


def test_the_description_in_the_first_steps_can_be_checked():
    page = (README.parent / "docs" / "start.md").read_text(encoding="utf-8")
    block = page.split("## What the file looks like", 1)[1].split("That much", 1)[0]
    text = "\n".join(line.removeprefix("    ") for line in block.splitlines())
    assert len(assess(build(whole(parse_sheet(text, "hut.toml")))).verdicts) >= 8


def test_every_check_and_every_law_has_its_place():
    page = CHECKS.read_text(encoding="utf-8")
    assert all(f"### `{key}`" in page for key in ROSTER)
    assert len(list(laws())) == sum(
        line.startswith("| `") for line in LAWS.read_text(encoding="utf-8").splitlines()
    )


def test_some_demo_asks_every_check():
    assert "No demo asks it" not in CHECKS.read_text(encoding="utf-8")
