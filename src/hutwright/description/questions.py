"""The everyday questions with which a project begins, and how their answers are understood."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from hutwright import units
from hutwright.description.question import About, Question
from hutwright.description.question_list import CORE_SIZES, QUESTIONS
from hutwright.errors import QuantityError, RequestError, shortened
from hutwright.units import Dimension
from hutwright.units.everyday import is_bare, pointed, without_about

_THOUSANDS = re.compile(r"[0-9],[0-9]{3}(?![0-9])")
GUESSED = "10 %"  # what "about" adds either way: a choice of this project
LONGEST_NAME = 120  # characters; as a description allows


@dataclass(frozen=True, kw_only=True, slots=True)
class Answers:
    """What the builder said.

    Attributes
    ----------
    about : About
        What bothers him.
    given : Mapping
        Key of a question to the answer in its plain form; what he does not know is absent.
    """

    about: About = About.EVERYTHING
    given: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse an answer to no question, and one that is not in its plain form."""
        for key, value in self.given.items():
            plain = understood(question_of(key), value)
            if plain != value:
                raise RequestError(
                    f"{key}: {shortened(value)} is not in its plain form; write {shortened(plain)}"
                )


def question_of(key: str) -> Question:
    """The question of that key.

    Raises
    ------
    RequestError
        Where there is none.
    """
    for question in QUESTIONS:
        if question.key == key:
            return question
    near = units.nearest(key, [question.key for question in QUESTIONS])
    raise RequestError(
        f"nothing is asked by the name {shortened(key)}" + (f'; did you mean "{near}"?' if near else "")
    )


def questions_for(about: About) -> tuple[Question, ...]:
    """The questions that have a place in such a description, in order."""
    return tuple(question for question in QUESTIONS if about in question.abouts)


def questions_asked(about: About) -> tuple[Question, ...]:
    """The questions that are worth asking, in order; fewer than have a place where everything bothers."""
    return tuple(
        question for question in questions_for(about) if not (question.spared and about is About.EVERYTHING)
    )


def understood(question: Question, text: str) -> str:
    """An answer in its plain form: a decimal comma becomes a point, a bare number gets the usual unit.

    Parameters
    ----------
    question : Question
        What was asked.
    text : str
        What was answered.

    Returns
    -------
    str
        The answer as the file spells it.

    Raises
    ------
    RequestError
        Where it cannot be understood, with what would be.
    """
    said = " ".join(text.split())
    if question.choices:
        return _chosen(question, said)
    if question.dimension is not None:
        return _quantity(question.dimension, said)
    if not said or len(said) > LONGEST_NAME or not said.isprintable():
        raise RequestError(
            f"read {shortened(said)}; wanted a name of 1 to {LONGEST_NAME} characters; shorten it"
        )
    return said


def _quantity(dimension: Dimension, said: str) -> str:
    if _THOUSANDS.search(said):
        raise RequestError(
            f"read {shortened(said)}; with three digits behind it the comma may mean thousands or a decimal; "
            "write a point for decimals, and thousands without any sign"
        )
    bare, guessed = without_about(said)
    plain = pointed(bare)
    if is_bare(plain):
        plain = f"{plain} {dimension.usual}"
    if guessed and ".." not in plain and "+-" not in plain:
        plain = f"{plain} +- {GUESSED}"
    try:
        units.read(plain, dimension)
    except QuantityError as error:
        raise RequestError(str(error)) from None
    return plain


def _chosen(question: Question, said: str) -> str:
    values = [choice.value for choice in question.choices]
    word = pointed(said).replace("²", "2")
    for choice in question.choices:
        if word.casefold() in (choice.value.casefold(), choice.words.casefold()):
            return choice.value
    if word.isdecimal() and not question.sizes and 1 <= int(word) <= len(values):
        return values[int(word) - 1]
    size = re.fullmatch(r"(?:2 ?[x×] ?)?([0-9.]+) ?(?:mm2|qmm)?", word)
    if question.sizes and size and size[1] in CORE_SIZES:
        return f"{size[1]} mm2 class 5"
    begun = [value for value in values if word and value.casefold().startswith(word.casefold())]
    if len(begun) == 1 and not question.sizes:
        return begun[0]
    near = units.nearest(word, values)
    listed = ", ".join(f"'{value}'" for value in values)
    remedy = f'did you mean "{near}"?' if near else "choose one of these"
    raise RequestError(f"read {shortened(said)}; wanted one of: {listed}; {remedy}")
