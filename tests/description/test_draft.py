"""Everyday answers are understood, and any set of them gives a description that can be checked at once."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue import tables
from hutwright.description.build import build
from hutwright.description.draft import draft, fields_at
from hutwright.description.overlay import whole
from hutwright.description.question import About
from hutwright.description.question_list import ABOUTS, QUESTIONS
from hutwright.description.questions import Answers, question_of, questions_for, understood
from hutwright.description.reading import parse_sheet
from hutwright.errors import RequestError

TYPICAL = {
    "name": 'Hut "under" the \\ tree',
    "volts": "11.8..13.6 V",
    "cable_length": "6.5 m",
    "motor_cable": "1.8 m",
    "fuse": "5 A",
    "drive_volts": "12 V",
    "drive_force": "300 N",
    "drive_speed": "22 mm/s",
    "drive_current": "2.6 A",
    "drive_stall": "7.5 A",
    "door_width": "0.74 m",
    "door_height": "56 cm",
    "machine_length": "0.7 m",
    "machine_width": "0.5 m",
    "machine_height": "0.3 m",
    "rod_shortest": "0.42 m",
    "rod_stroke": "0.25 m",
    "head_along": "0.22 m",
    "foot_along": "0.31 m",
    "foot_deep": "0.46 m",
    "latitude": "48.5 deg",
    "hut_facing": "170 deg",
    "hut_width": "0.9 m",
    "hut_depth": "1.05 m",
    "hut_front": "0.76 m",
    "hut_back": "0.64 m",
}
# Places along a leaf stand as places in the hut's frame, materials as layers.
OTHERWISE = ("logic_from", "band", "name", "head_along", "foot_along", "walls", "roof")
# Several answers on one line share its remark, which names those that are guessed.
TOGETHER = ("hut_width", "hut_depth", "hut_front", "hut_back")


def described(answers: Answers):
    return build(whole(parse_sheet(draft(answers), "hut.toml")))


def values_of(key: str) -> list[str]:
    """What can be chosen."""
    return [choice.value for choice in question_of(key).choices]


def answers_of(about: About):
    """Any answers, each of them known or not."""
    possible = {
        question.key: st.sampled_from([choice.value for choice in question.choices])
        if question.choices
        else st.just(TYPICAL[question.key])
        for question in questions_for(about)
    }
    return st.fixed_dictionaries({}, optional=possible)


@pytest.mark.parametrize("about", About)
def test_without_any_answer_the_draft_is_a_description(about):
    assert described(Answers(about=about)).project.format == 1


@given(
    st.sampled_from(list(About)).flatmap(lambda about: answers_of(about).map(lambda given: (about, given)))
)
def test_whatever_is_known_the_draft_is_a_description(pair):
    about, given = pair
    described(Answers(about=about, given=given))


@pytest.mark.parametrize(
    ("supply", "bridge", "logic"),
    list(itertools.product(*(values_of(key) for key in ("supply", "bridge", "logic_from")))),
)
def test_every_kind_of_electronics_is_a_description(supply, bridge, logic):
    project = described(
        Answers(about=About.ELECTRONICS, given={"supply": supply, "bridge": bridge, "logic_from": logic})
    ).project
    assert project.supplies["source"].kind == supply
    assert project.electronics is not None
    assert project.electronics.bridge is not None
    assert project.electronics.bridge.kind == bridge
    assert project.regulators["logic_5v"].fed_by == ("bridge" if logic == "bridge board" else "source")


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.key)
def test_an_answer_stands_in_the_draft_as_given_and_what_is_unknown_is_a_guess_or_left_out(question):
    about = question.abouts[-1]
    value = question.choices[0].value if question.choices else TYPICAL[question.key]
    known = draft(Answers(about=about, given={question.key: value}))
    unknown = draft(Answers(about=about))
    if question.key not in OTHERWISE:
        assert f'"{value}"' in known
    if not question.guess:
        assert (
            question.path.rpartition(".")[0] not in unknown
            or f"{question.path.rpartition('.')[2]} =" in known
        )
    elif question.key in ("door_width", "door_height"):  # both stand on one line
        name = question.key.removeprefix("door_")
        other = {"width": "height", "height": "width"}[name]
        assert "# width, height: a guess" in unknown
        assert f"# {other}: a guess" in known
        assert f"# {name}: a guess" not in known
    elif question.key in TOGETHER:
        name = question.key.removeprefix("hut_")
        before = next(line for line in unknown.splitlines() if line.startswith("inside"))
        then = next(line for line in known.splitlines() if line.startswith("inside"))
        assert name in before.partition("#")[2]
        assert name not in then.partition("#")[2]
    elif question.key in ("walls", "roof"):  # whose thickness stays a guess
        assert known.count("thickness: a guess") == 2
    elif question.key in ("foot_along", "foot_deep"):  # the rest of the same pin is a guess still
        assert unknown.count("a guess") == known.count("a guess")
        assert known != unknown
    elif question.key != "name":
        assert unknown.count("a guess") == known.count("a guess") + 1


def test_everything_that_is_chosen_is_a_row_of_the_catalogue():
    for key, table in (("supply", "supplies"), ("core", "cores"), ("bridge", "bridges")):
        assert {choice.value for choice in question_of(key).choices} <= set(tables.names(table))


def test_every_about_has_questions_and_words():
    assert [choice.value for choice in ABOUTS] == [about.value for about in About]
    assert all(questions_for(about) for about in About)
    asked = {question.key for about in About for question in questions_for(about)}
    assert asked == {question.key for question in QUESTIONS}


@pytest.mark.parametrize("kind", values_of("door_kind"))
def test_pins_stand_where_the_hinge_line_and_the_way_along_the_leaf_put_them(kind):
    given = {"door_kind": kind, "head_along": "0.2 m", "foot_along": "0.3 m", "foot_deep": "0.45 m"}
    project = described(Answers(about=About.DOOR, given=given)).project
    assert project.linkage is not None
    if kind in ("lift", "sliding"):
        assert project.linkage.kind.value == "direct"
        return
    head, foot, hinge = project.linkage.head, project.linkage.foot, project.door.hinge
    level = kind in ("top_hinged", "bottom_hinged")
    line = hinge.z if level else hinge.x
    along = [abs((pin.z if level else pin.x) - line) for pin in (head, foot)]
    assert along == pytest.approx([0.2, 0.3])
    assert foot.y == pytest.approx(0.45)


@pytest.mark.parametrize(
    ("key", "said", "plain"),
    [
        ("cable_length", "2,5 m", "2.5 m"),
        ("cable_length", "2,5", "2.5 m"),
        ("cable_length", " 6  m ", "6 m"),
        ("volts", "11,8..13,6 V", "11.8..13.6 V"),
        ("volts", "12", "12 V"),
        ("drive_force", "300 N +- 10 %", "300 N +- 10 %"),
        ("core", "0,75", "0.75 mm2 class 5"),
        ("core", "2 x 0.75 mm²", "0.75 mm2 class 5"),
        ("core", "1", "1 mm2 class 5"),
        ("core", "1.5 mm2 class 5", "1.5 mm2 class 5"),
        ("supply", "2", "lead-acid 24 V"),
        ("supply", "mains", "mains power supply"),
        ("bridge", "DUAL bipolar", "dual bipolar"),
        ("name", "  My   hut ", "My hut"),
    ],
)
def test_an_answer_is_understood_as_people_write_it(key, said, plain):
    assert understood(question_of(key), said) == plain
    assert understood(question_of(key), plain) == plain


@pytest.mark.parametrize(
    ("key", "said", "part"),
    [
        ("cable_length", "1,500 m", "may mean thousands or a decimal"),
        ("cable_length", "6 V", "wanted a length"),
        ("cable_length", "long", "wanted a length"),
        ("volts", "nan V", "wanted a voltage"),
        ("drive_force", "30 kg", "unit of mass"),
        ("core", "0.7", "wanted one of"),
        ("supply", "lead-acid", "wanted one of"),
        ("supply", "9", "wanted one of"),
        ("name", "x" * 200, "1 to 120 characters"),
        ("name", "", "1 to 120 characters"),
    ],
)
def test_what_is_not_understood_is_refused_with_what_would_be(key, said, part):
    with pytest.raises(RequestError, match=part):
        understood(question_of(key), said)


@given(st.sampled_from(QUESTIONS), st.text(max_size=60))
def test_no_text_does_more_than_be_refused(question, text):
    try:
        plain = understood(question, text)
    except RequestError:
        return
    assert understood(question, plain) == plain


def test_answers_in_any_other_than_their_plain_form_are_refused():
    with pytest.raises(RequestError, match=r"2\.5 m"):
        Answers(given={"cable_length": "2,5 m"})
    with pytest.raises(RequestError, match="did you mean"):
        Answers(given={"cable_lenght": "2.5 m"})


def test_a_fault_in_the_file_leads_back_to_its_question():
    assert fields_at(["drive.stall.current"], About.ELECTRONICS) == ("drive_stall",)
    assert fields_at(["nowhere"], About.EVERYTHING) == ()
