"""The verbs that both faces offer."""

from __future__ import annotations

import pytest

from hutwright import app
from hutwright.description.question import About
from hutwright.description.questions import Answers
from hutwright.errors import DescriptionError, RequestError
from tests.answered import full, quick
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"


@pytest.fixture
def project(tmp_path):
    (tmp_path / "hut.toml").write_text((ORCHARD / "hut.toml").read_text("utf-8"), "utf-8")
    (tmp_path / "variants").mkdir()
    (tmp_path / "variants/far.toml").write_text('cables.feed.length = "30 m"\n', "utf-8")
    return tmp_path


def test_check_asks_every_trade_or_the_one_that_is_named():
    whole, one = quick("orchard"), app.check(ORCHARD, ["wiring"])
    assert {verdict.question.trade for verdict in one.verdicts} == {"wiring"}
    assert {verdict.key for verdict in one.verdicts} <= {verdict.key for verdict in whole.verdicts}


def test_an_unknown_trade_is_answered_with_the_nearest():
    with pytest.raises(RequestError, match='did you mean "wiring"'):
        app.check(ORCHARD, ["wirng"])


def test_why_finds_a_check_by_its_key_or_by_its_own_part():
    keys = {app.why(ORCHARD, key).verdict.key for key in ("wiring.start_dip", "start_dip")}
    assert keys == {"wiring.start_dip"}


def test_why_gives_the_same_answer_as_check():
    checks = {verdict.key: verdict for verdict in full("orchard").verdicts}
    for key in ("wiring.start_dip", "wiring.voltage_drop.drive", "fuse_cable.main"):
        found = app.why(ORCHARD, key).verdict
        assert (found.margin, found.status) == (checks[found.key].margin, checks[found.key].status)
        assert [lever.needed for lever in found.levers] == [
            lever.needed for lever in checks[found.key].levers
        ]


@pytest.mark.parametrize(
    ("key", "part"),
    [
        ("start_dop", 'did you mean "start_dip"'),
        ("wiring.start_dop", 'did you mean "wiring.start_dip"'),
        ("zzzzzz", "`hutwright check` prints the keys"),
        ("", "no check is called ''"),
        ("voltage_drop", "means several checks; name one of: wiring.voltage_drop."),
        ("voltage_drop.drve", 'did you mean "wiring.voltage_drop.drive"'),
    ],
)
def test_a_key_that_means_no_check_or_several_is_refused(key, part):
    with pytest.raises(RequestError) as caught:
        app.why(ORCHARD, key)
    assert part in str(caught.value)


def test_a_question_that_waits_says_what_to_describe(tmp_path):
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Nothing"\n', "utf-8")
    with pytest.raises(RequestError, match=r"wiring\.start_dip is not asked yet: describe .*supplies"):
        app.why(tmp_path, "start_dip")


@pytest.mark.slow
def test_every_check_can_be_named_without_its_trade():
    for verdict in app.check(ORCHARD).verdicts:
        assert app.why(ORCHARD, verdict.key.split(".", 1)[1]).verdict.key == verdict.key


@pytest.mark.slow
def test_compare_takes_all_variants_or_those_that_are_named(project):
    assert [column.name for column in app.compare(project).columns] == ["", "far"]
    assert [column.name for column in app.compare(project, ["far", "far"]).columns] == ["", "far"]


def test_compare_without_any_variant_says_how_to_write_one(tmp_path):
    (tmp_path / "hut.toml").write_text("format = 1\n", "utf-8")
    with pytest.raises(RequestError, match=r"variants/<name>\.toml"):
        app.compare(tmp_path)


def test_start_writes_a_description_that_check_takes(tmp_path):
    path = app.start(tmp_path / "deep" / "hut", Answers(about=About.ELECTRONICS))
    assert path.name == "hut.toml"
    assert app.check(path.parent).verdicts


def test_start_never_overwrites(project):
    before = (project / "hut.toml").read_text("utf-8")
    with pytest.raises(RequestError, match="stays as it is"):
        app.start(project, Answers())
    assert (project / "hut.toml").read_text("utf-8") == before


def test_start_does_not_replace_a_link_that_leads_nowhere(tmp_path):
    (tmp_path / "hut.toml").symlink_to(tmp_path / "elsewhere.toml")
    with pytest.raises(RequestError, match="stays as it is"):
        app.start(tmp_path, Answers())
    assert not (tmp_path / "elsewhere.toml").exists()


def test_answers_that_contradict_each_other_write_nothing(tmp_path):
    answers = Answers(about=About.ELECTRONICS, given={"drive_current": "5 A", "drive_stall": "1 A"})
    with pytest.raises(DescriptionError, match=r"drive\.stall\.current"):
        app.start(tmp_path / "new", answers)
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_made_is_refused_in_a_sentence(tmp_path):
    (tmp_path / "file").write_text("", "utf-8")
    with pytest.raises(RequestError, match="cannot be made"):
        app.start(tmp_path / "file" / "hut", Answers())
