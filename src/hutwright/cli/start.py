"""Asking the everyday questions with which a project begins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path

from hutwright.app import check, refuse_overwriting, start
from hutwright.checks.verdict import Tier
from hutwright.cli.answering import ExitCode, complain, say, screen_width, waiting
from hutwright.cli.asking import Ask, asked_until_understood, on_a_terminal
from hutwright.description.draft import fields_at
from hutwright.description.question import About, Question
from hutwright.description.question_list import ABOUTS, QUESTIONS
from hutwright.description.questions import Answers, question_of, questions_asked, questions_for, understood
from hutwright.errors import DescriptionError, RequestError, shortened
from hutwright.evidence.answers import read_answers
from hutwright.outputs.first_findings import findings_text
from hutwright.studies.next_reading import suggestions
from hutwright.units.everyday import is_unknown

INTRODUCTION = """\
A few questions; press Enter (or type ?) wherever you do not know: it is then left out, or marked as a guess.
A number needs its unit (6 m, 12 V) unless the usual one is meant. A range is fine: 2..4 A.
"""

ABOUT = "about"  # what a file of answers calls what bothers the builder


def begin(
    folder: Path,
    about: str | None,
    flags: Mapping[str, str | None],
    *,
    quietly: bool,
    file: Path | None = None,
    ask: Ask | None = None,
) -> ExitCode:
    """Begin a project in a folder.

    Parameters
    ----------
    folder : pathlib.Path
        Where; made where it is missing.
    about : str or None
        What bothers the builder, where a flag says so.
    flags : Mapping
        Key of a question to what its flag says; None where it was not given.
    quietly : bool
        Whether nothing is asked, and what no flag says is guessed.
    file : pathlib.Path or None
        A file of answers, where there is one; what a flag says counts more.
    ask : Callable or None
        From a prompt to what was typed; None for the terminal, where there is one.

    Returns
    -------
    ExitCode
        That all went well.

    Raises
    ------
    HutwrightError
        Where a description is there already, an answer cannot be understood, or nothing can be written.
    """
    refuse_overwriting(folder)
    filed = {} if file is None else _filed(file)
    about = about or filed.pop(ABOUT, None)
    chosen = None if about is None else about_of(about)
    said = {**filed, **{key: text for key, text in flags.items() if text is not None}}
    answers = answers_of_flags(chosen or About.EVERYTHING, said)
    asking = not quietly and (ask is not None or on_a_terminal())
    if not asking and not quietly and chosen is None and not answers.given:
        raise RequestError(
            "nobody is there to be asked, because this is no terminal; say --yes to guess everything, or "
            f"--about with one of: {', '.join(choice.value for choice in ABOUTS)}"
        )
    if asking:
        answers = ask_all(chosen, answers.given, ask or input)
    say(told(_written(folder, answers, ask=(ask or input) if asking else None), answers))
    with waiting("checking"):
        assessment = check(folder, tier=Tier.QUICK)
        next_up = suggestions(assessment, most=1)
    say("\n" + findings_text(assessment, next_up, width=screen_width()))
    return ExitCode.HOLDS


def _filed(path: Path) -> dict[str, str]:
    """Answers of a file, each tried where it stands."""

    def tried(key: str, text: str) -> str:
        if is_unknown(text):
            return ""
        return understood(_ABOUT if key == ABOUT else question_of(key), text)

    return read_answers(path, (ABOUT, *(question.key for question in QUESTIONS)), tried)


def _written(folder: Path, answers: Answers, *, ask: Ask | None) -> Path:
    """The file, written; contradicting answers are asked again while somebody is there."""
    while True:
        try:
            return start(folder, answers)
        except DescriptionError as error:
            keys = fields_at((fault.path for fault in error.faults), answers.about)
            if ask is None or not keys:
                raise
            complain(f"\nThese answers do not go together:\n{error}\n")
            answers = ask_again(answers, keys, ask)


def about_of(text: str) -> About:
    """What bothers the builder, out of what he typed.

    Raises
    ------
    RequestError
        Where it cannot be understood.
    """
    return About(understood(_ABOUT, text))


_ABOUT = Question(key=ABOUT, text="What bothers you?", abouts=tuple(About), choices=ABOUTS)


def answers_of_flags(about: About, flags: Mapping[str, str | None]) -> Answers:
    """The answers that were given on the command line.

    Raises
    ------
    RequestError
        Where one of them cannot be understood.
    """
    given: dict[str, str] = {}
    for key, text in flags.items():
        if text is None or is_unknown(text):
            continue
        try:
            question = question_of(key)
            given[key] = understood(question, text)
        except RequestError as error:
            raise RequestError(f"--{key.replace('_', '-')}: {error}") from None
        if about not in question.abouts:
            raise RequestError(
                f"--{key.replace('_', '-')} has no place in a description that is about {about.value}; "
                f"leave it out, or say --about {About.EVERYTHING.value}"
            )
    return Answers(about=about, given=given)


def ask_all(about: About | None, given: Mapping[str, str], ask: Ask = input) -> Answers:
    """Ask what was not said yet.

    Parameters
    ----------
    about : About or None
        What bothers the builder, where he said so already.
    given : Mapping
        Answers that were given already, in their plain form.
    ask : Callable
        From a prompt to what was typed.

    Returns
    -------
    Answers
        All that is known now.
    """
    say(INTRODUCTION)
    if about is None:
        about = About(_asked(_ABOUT, ask) or About.EVERYTHING.value)
    known = dict(given)
    for question in questions_asked(about):
        if question.key not in known:
            answer = _asked(question, ask)
            if answer is not None:
                known[question.key] = answer
    return Answers(about=about, given=known)


def ask_again(answers: Answers, keys: Iterable[str], ask: Ask = input) -> Answers:
    """Ask some questions once more, because their answers contradict each other."""
    known = dict(answers.given)
    for key in keys:
        known.pop(key, None)
    for question in questions_for(answers.about):
        if question.key in keys:
            answer = _asked(question, ask)
            if answer is not None:
                known[question.key] = answer
    return Answers(about=answers.about, given=known)


def _asked(question: Question, ask: Ask) -> str | None:
    """The answer in its plain form, read back where it was typed otherwise; None where it is not known."""
    say(f"\n{question.text}\n{_listed(question)}")
    answer = asked_until_understood("> ", ask, partial(understood, question), is_unknown)
    return None if answer is None else answer[1]


def _listed(question: Question) -> str:
    """The choices, numbered unless a bare number is an answer of its own."""
    if question.sizes:
        return f"  {', '.join(choice.value for choice in question.choices)}\n"
    return "".join(
        f"  {number}  {choice.words} ({choice.value})\n" for number, choice in enumerate(question.choices, 1)
    )


def told(path: Path, answers: Answers) -> str:
    """What to do next."""
    guessed = [
        each
        for each in questions_for(answers.about)
        if each.key not in answers.given and each.guess and each.key != "name"
    ]
    lines = [f"Wrote {path}."]
    if guessed:
        lines.append(
            f"{len(guessed)} values in it are marked as guesses; write your own as soon as you know them."
        )
    lines.append(
        f"Now ask: hutwright check {shortened(str(path.parent)) if ' ' in str(path.parent) else path.parent}"
    )
    return "\n".join(lines) + "\n"
