"""A project begins with a few questions, and nothing is ever lost."""

from __future__ import annotations

import pytest

from hutwright.cli import start as starting
from hutwright.cli.main import main
from hutwright.cli.start import answers_of_flags, ask_all
from hutwright.description import writing
from hutwright.description.question import About
from hutwright.description.question_list import QUESTIONS
from hutwright.description.questions import question_of, questions_asked, questions_for, understood
from hutwright.errors import RequestError


def typed(*answers):
    """One who types these, and then knows nothing more."""
    left = list(answers)
    return lambda prompt: left.pop(0) if left else ""


@pytest.mark.parametrize("about", About)
@pytest.mark.parametrize(
    "more",
    [
        [],
        ["--name", "Hut, with a comma", "--supply", "mains"],
        ["--cable-length", "2,5", "--core", "1,5", "--drive-current", "3"],
    ],
)
def test_whatever_bothers_the_builder_the_file_checks_at_once(tmp_path, about, more, capsys):
    asked = {f"--{question.key.replace('_', '-')}" for question in questions_for(about)}
    flags = [
        part
        for flag, value in zip(more[::2], more[1::2], strict=True)
        if flag in asked
        for part in (flag, value)
    ]
    folder = tmp_path / "hut"
    assert main(["start", str(folder), "--yes", "--about", about.value, *flags]) == 0
    assert f"hutwright check {folder}" in capsys.readouterr().out
    assert main(["check", str(folder)]) in (0, 1)


def test_a_decimal_comma_of_a_flag_is_understood(tmp_path):
    assert main(["start", str(tmp_path), "--about", "electronics", "--cable-length", "2,5 m"]) == 0
    assert 'length = "2.5 m"' in (tmp_path / "hut.toml").read_text("utf-8")


def test_every_question_has_a_flag(capsys):
    assert main(["start", "--help"]) == 0
    text = capsys.readouterr().out
    for question in QUESTIONS:
        assert f"--{question.key.replace('_', '-')} " in text


def test_where_nobody_can_be_asked_it_says_which_flags_help(tmp_path, capsys):
    assert main(["start", str(tmp_path)]) == 2
    assert "--yes" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_an_existing_description_stays_as_it_is(tmp_path, capsys):
    (tmp_path / "hut.toml").write_text("# mine\n", "utf-8")
    assert main(["start", str(tmp_path), "--yes"]) == 2
    assert (tmp_path / "hut.toml").read_text("utf-8") == "# mine\n"


def test_answers_are_read_back_where_they_were_typed_otherwise(capsys):
    answers = ask_all(About.ELECTRONICS, {}, typed("", "1", "12,6", "6,5 m"))
    assert answers.given == {"supply": "lead-acid 12 V", "volts": "12.6 V", "cable_length": "6.5 m"}
    assert "read as 6.5 m" in capsys.readouterr().out


def test_an_answer_that_is_not_understood_is_asked_again(capsys):
    answers = ask_all(About.SIGNAL, {"name": "H"}, typed("0,5 V", "0,5 m"))
    assert answers.given == {"name": "H", "machine_length": "0.5 m"}
    assert "wanted a length" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["", "?", "don't know", "Unknown"])
def test_who_does_not_know_says_so(word):
    assert ask_all(About.DOOR, {}, lambda prompt: word).given == {}


def test_what_bothers_the_builder_is_asked_first():
    assert ask_all(None, {}, typed("2")).about is About.ELECTRONICS
    assert ask_all(None, {}, typed("")).about is About.EVERYTHING


def test_the_end_of_what_is_typed_means_that_nothing_more_is_known():
    def ended(prompt):
        raise EOFError

    assert ask_all(About.DOOR, {}, ended).given == {}


def test_what_a_flag_said_is_not_asked(capsys):
    ask_all(About.SIGNAL, {"band": "both", "name": "H"}, typed())
    assert "band" not in capsys.readouterr().out


def test_answers_that_do_not_go_together_are_asked_again(tmp_path, monkeypatch, capsys):
    said = typed("H", "", "", "", "", "", "", "", "", "", "5 A", "1 A", "", "", "12 A")
    monkeypatch.setattr(starting, "on_a_terminal", lambda: True)
    monkeypatch.setattr(starting, "ask_all", lambda about, given, _: ask_all(about, given, said))
    again = starting.ask_again
    monkeypatch.setattr(starting, "ask_again", lambda answers, keys, _: again(answers, keys, said))
    assert main(["start", str(tmp_path), "--about", "electronics"]) == 0
    text = (tmp_path / "hut.toml").read_text("utf-8")
    assert '[drive.stall]\ncurrent = "12 A"' in text
    assert "do not go together" in capsys.readouterr().err


def test_an_interruption_writes_nothing(tmp_path, monkeypatch):
    def interrupted(about, given, ask):
        raise KeyboardInterrupt

    monkeypatch.setattr(starting, "on_a_terminal", lambda: True)
    monkeypatch.setattr(starting, "ask_all", interrupted)
    assert main(["start", str(tmp_path)]) == 130
    assert list(tmp_path.iterdir()) == []


def test_a_flag_that_is_not_understood_names_itself():
    with pytest.raises(RequestError, match="--cable-length: read 'long'"):
        answers_of_flags(About.ELECTRONICS, {"cable_length": "long"})


def test_a_file_that_cannot_be_written_is_told(tmp_path, monkeypatch, capsys):
    def refused(*_):
        raise RequestError("it was not written")

    monkeypatch.setattr(writing, "write_atomic", refused)
    assert main(["start", str(tmp_path), "--yes"]) == 2
    assert "it was not written" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("key", "text", "plain"),
    [
        ("drive_force", "ca. 250", "250 N +- 10 %"),
        ("drive_force", "about 30 N", "30 N +- 10 %"),
        ("door_width", "~ 0,7", "0.7 m +- 10 %"),
        ("door_width", "roughly 65..75 cm", "65..75 cm"),
        ("door_kind", "hinged at the top", "top_hinged"),
        ("door_kind", "Lifts straight up", "lift"),
        ("walls", "2", "boards with foil"),
        ("latitude", "51", "51 deg"),
    ],
)
def test_everyday_words_are_understood(key, text, plain):
    assert understood(question_of(key), text) == plain


@pytest.mark.parametrize("about", About)
def test_nobody_is_asked_twenty_things(about):
    assert len(questions_asked(about)) + 1 < 20


@pytest.mark.parametrize("kind", [choice.value for choice in question_of("door_kind").choices])
def test_every_kind_of_door_is_checked_at_once(tmp_path, kind, capsys):
    assert main(["start", str(tmp_path), "--yes", "--about", "door", "--door-kind", kind]) == 0
    assert "  3. " in capsys.readouterr().out


def test_answers_stand_in_a_file_and_a_flag_counts_more(tmp_path, capsys):
    answers = tmp_path / "answers.txt"
    answers.write_text(
        "# from the field\nabout = door\ndoor_width = 0,81 m  # tape\ndoor-height: 60 cm\ndrive_stall = ?\n"
    )
    folder = tmp_path / "hut"
    assert main(["start", str(folder), "--answers", str(answers), "--door-height", "0.5 m"]) == 0
    text = (folder / "hut.toml").read_text("utf-8")
    assert 'leaf = { width = "0.81 m", height = "0.5 m"' in text
    assert "[drive.stall]" not in text


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("door width 0.8", "a line like"),
        ("door_widht = 0.8 m", 'did you mean "door_width"'),
        ("door_width = 0.8 kg", "door_width"),
        ("door_width = -", "door_width"),
        ("door_width = 0.8 m\ndoor_width = 0.9 m", "line 1 has one"),
        ("about = weather", "about"),
        ("supply = a tank", "supply"),
        ("volts = 1,234 V", "thousands"),
    ],
)
def test_an_odd_answer_in_a_file_says_where_and_nothing_is_written(tmp_path, capsys, text, wanted):
    answers = tmp_path / "answers.txt"
    answers.write_text(text)
    assert main(["start", str(tmp_path / "hut"), "--answers", str(answers), "--yes"]) == 2
    told = capsys.readouterr().err
    assert wanted in told
    assert "answers.txt" in told
    assert not (tmp_path / "hut").exists()
