"""The verb ``start`` and its flags, which are made of the questions themselves: each text stands once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from hutwright.cli.answering import ExitCode, answered
from hutwright.cli.options import folder_given
from hutwright.description.question import Question
from hutwright.description.question_list import ABOUTS, QUESTIONS


def with_flags(verb: Callable[..., None]) -> Callable[..., None]:
    """The verb with a flag for every question.

    Parameters
    ----------
    verb : Callable
        Takes the answers as keywords, None for what was not given.
    """
    for question in reversed(QUESTIONS):
        verb = _flag(question)(verb)
    return verb


def about_help() -> str:
    """Help for the flag that says what bothers the builder."""
    return "What bothers you: " + ", ".join(f"{choice.value} ({choice.words})" for choice in ABOUTS) + "."


def _flag(question: Question) -> Callable[[Callable[..., None]], Callable[..., None]]:
    metavar = question.dimension.name.upper().replace(" ", "-") if question.dimension is not None else "WORDS"
    choices = (
        f" One of: {', '.join(choice.value for choice in question.choices)}." if question.choices else ""
    )
    flag = f"--{question.key.replace('_', '-')}"
    return click.option(flag, question.key, metavar=metavar, help=question.text + choices)


@click.command()
@folder_given
@click.option("--about", metavar="WHAT", help=about_help())
@click.option("--yes", "-y", is_flag=True, help="Ask nothing; guess what no flag says.")
@click.option(
    "--answers",
    "file",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Take answers from a file, a line each: door_width = 0.74 m.",
)
@with_flags
def start(folder: Path, about: str | None, file: Path | None, *, yes: bool, **flags: str | None) -> None:
    """Begin a project: a few everyday questions, then a small description that can be checked at once.

    DIR is the folder to begin in; made where it is missing.
    """

    def verb() -> ExitCode:
        from hutwright.cli.start import begin

        return begin(folder, about, flags, quietly=yes, file=file)

    answered(verb)
