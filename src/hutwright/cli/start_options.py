"""The flags of ``hutwright start``, made of the questions themselves: each text stands once."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Annotated, Any

import typer

from hutwright.description.questions import ABOUTS, QUESTIONS, Question


def with_flags(verb: Callable[..., None]) -> Callable[..., None]:
    """The verb with a flag for every question in place of its ``**flags``.

    Parameters
    ----------
    verb : Callable
        Takes the answers as keywords, None for what was not given.

    Returns
    -------
    Callable
        The same, with a signature that typer can read.
    """
    signature = inspect.signature(verb, eval_str=True)
    own = [each for each in signature.parameters.values() if each.kind is not inspect.Parameter.VAR_KEYWORD]
    flags = [_parameter(question) for question in QUESTIONS]
    verb.__signature__ = signature.replace(parameters=[*own, *flags])  # type: ignore[attr-defined]
    verb.__annotations__ = {each.name: each.annotation for each in [*own, *flags]}
    return verb


def about_help() -> str:
    """Help for the flag that says what bothers the builder."""
    return "What bothers you: " + ", ".join(f"{choice.value} ({choice.words})" for choice in ABOUTS) + "."


def _parameter(question: Question) -> inspect.Parameter:
    flag = f"--{question.key.replace('_', '-')}"
    metavar = question.dimension.name.upper().replace(" ", "-") if question.dimension is not None else "WORDS"
    choices = (
        f" One of: {', '.join(choice.value for choice in question.choices)}." if question.choices else ""
    )
    option: Any = typer.Option(flag, help=question.text + choices, metavar=metavar, show_default=False)
    return inspect.Parameter(
        question.key, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=Annotated[str | None, option]
    )
