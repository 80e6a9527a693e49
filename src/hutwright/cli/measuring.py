"""The verb ``measure``: what to read, what it tells, and writing that down where it is agreed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from hutwright import app as verbs
from hutwright.cli.agreeing import description_text, write_agreed
from hutwright.cli.answering import ExitCode, complain, say, screen_width, waiting
from hutwright.cli.asking import Ask, asked_until_understood, on_a_terminal
from hutwright.description.described import Described
from hutwright.description.folder import load
from hutwright.description.writing import write_atomic
from hutwright.errors import RequestError, shortened, system_words
from hutwright.evidence.rows import appended
from hutwright.evidence.side_file import Findings
from hutwright.evidence.site_sheet import read_sheet
from hutwright.outputs.json_text import json_text
from hutwright.outputs.measuring import (
    how_text,
    observations_text,
    observed_text,
    observed_values,
    sheet_text,
    suggestion_values,
    suggestions_text,
)
from hutwright.studies.next_reading import suggestions
from hutwright.studies.observing.all import observation_of, observations
from hutwright.studies.observing.observation import Observation, RowTarget
from hutwright.studies.observing.reading import is_left, plain_reading
from hutwright.studies.observing.working_out import Observed, changes, work_out
from hutwright.studies.offering import Offer, offer

YES = ("y", "yes")


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    key : str
        The observation; "" for none.
    readings : tuple of str
        Readings, each as blank=value.
    next : bool
        Whether it is asked what to measure next.
    sheet : pathlib.Path or None
        A filled-in sheet.
    blank : bool
        Whether an empty sheet is wanted.
    write : bool
        Whether the description is changed without asking.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    key: str
    readings: tuple[str, ...]
    next: bool
    sheet: Path | None
    blank: bool
    write: bool
    as_json: bool


def measure(asked: Asked, ask: Ask = input) -> ExitCode:
    """Answer what was asked for; without anything, list what can be measured.

    Parameters
    ----------
    asked : Asked
        What was asked for.
    ask : Callable
        From a prompt to what was typed.
    """
    if sum((bool(asked.key), asked.next, asked.sheet is not None, asked.blank)) > 1:
        raise RequestError(
            "read several wishes at once; wanted one of an observation's key, --next, --sheet or --print; "
            "ask one after the other"
        )
    described = load(asked.folder)
    if asked.next:
        return _next(asked)
    if asked.blank:
        say(sheet_text(described.project, observations(described.project)))
        return ExitCode.HOLDS
    if asked.sheet is not None:
        found, left_out = _of_sheet(described, asked.sheet)
        return _told(asked, described, found, left_out, ask)
    if not asked.key:
        say(observations_text(described.project, observations(described.project), width=screen_width()))
        return ExitCode.HOLDS
    observation = observation_of(described.project, asked.key)
    answers = _given(observation, asked.readings)
    if not answers:
        say(how_text(observation, described.project, width=screen_width()))
        if not on_a_terminal() or asked.as_json:
            return ExitCode.HOLDS
        answers = ask_readings(observation, ask)
        if not answers:
            return ExitCode.HOLDS
    found = [work_out(observation, described.project, answers, moment=_moment())]
    return _told(asked, described, found, [], ask)


def _moment() -> str:
    return datetime.now().astimezone().isoformat(timespec="seconds")


def _next(asked: Asked) -> ExitCode:
    with waiting("weighing what is unsure"):
        assessment = verbs.check(asked.folder)
        found = suggestions(assessment)
    project = assessment.described.project
    say(
        json_text(suggestion_values(project, found))
        if asked.as_json
        else suggestions_text(project, found, width=screen_width())
    )
    return ExitCode.HOLDS


def _given(observation: Observation, readings: Sequence[str]) -> dict[str, str]:
    """Readings of the command line by blank."""
    found: dict[str, str] = {}
    for each in readings:
        key, sign, text = each.partition("=")
        if not sign or not key.strip():
            raise RequestError(
                f"read {shortened(each)}; wanted a reading such as "
                f"{observation.blanks[0].key}=..., in quotes where it holds a blank; write it so"
            )
        if key.strip() in found:
            raise RequestError(f"read {key.strip()} twice; wanted each reading once; leave one out")
        found[key.strip()] = text
    return found


def ask_readings(observation: Observation, ask: Ask) -> dict[str, str]:
    """Ask for each reading; the end of the input leaves the rest out.

    Parameters
    ----------
    observation : Observation
        Which.
    ask : Callable
        From a prompt to what was typed.
    """
    found: dict[str, str] = {}
    for blank in observation.blanks:
        prompt = f"{blank.key}, {blank.words}: "
        answer = asked_until_understood(prompt, ask, partial(plain_reading, blank), is_left)
        if answer is not None:
            found[blank.key] = answer[0]
    return found


def _of_sheet(described: Described, path: Path) -> tuple[list[Observed], list[str]]:
    """What a sheet tells, and sentences on what could not be worked out."""
    found: list[Observed] = []
    left_out: list[str] = []
    moment = _moment()
    for key, filled in read_sheet(path).items():
        first = min(each.line for each in filled.values())
        answers = {blank: each.text for blank, each in filled.items()}
        try:
            observation = observation_of(described.project, key)
            found.append(work_out(observation, described.project, answers, moment=moment))
        except RequestError as error:
            left_out.append(f"{path.name}, line {first}: {error}")
    if not found and not left_out:
        raise RequestError(
            f"read no reading in {path.name}; wanted one behind a sign at least, such as "
            "leaf_scale.lever = 560 mm; fill it in"
        )
    return found, left_out


def _told(
    asked: Asked, described: Described, found: Sequence[Observed], left_out: Sequence[str], ask: Ask
) -> ExitCode:
    """Tell, and write where that is agreed."""
    text = description_text(asked.folder)
    day = datetime.now().astimezone().strftime("%Y-%m-%d")
    wanted: dict[str, object] = {}
    for each in found:
        wanted |= changes(each, day)
    with waiting("comparing"):
        offered = offer(described, text, wanted)
    ready = not offered.fault and (bool(offered.lines) or any(each.rows for each in found))
    if asked.write and ready:
        _write(asked.folder, text, offered, found)
    written = asked.write and ready
    say(
        json_text(observed_values(found, offered, left_out, written=written))
        if asked.as_json
        else observed_text(found, offered, left_out, written=written, width=screen_width())
    )
    if ready and not written and not asked.as_json and on_a_terminal() and _agreed(ask):
        _write(asked.folder, text, offered, found)
        say("Written.\n")
    if offered.fault and asked.write:
        complain("hut.toml stays as it is")
    return ExitCode.HOLDS if ready and not left_out else ExitCode.SHORT


def _agreed(ask: Ask) -> bool:
    try:
        return ask("Write it down? [y/N] ").strip().casefold() in YES
    except EOFError:
        return False


def _write(folder: Path, before: str, offered: Offer, found: Sequence[Observed]) -> None:
    """Write all of it; nothing where a table has no place for its rows."""
    tables = [
        (folder / each.table.file, _with_rows(folder / each.table.file, each.table, each.rows))
        for each in found
        if each.table is not None and each.rows
    ]
    if offered.lines:
        write_agreed(folder, before, offered.text)
    for path, text in tables:
        write_atomic(path, text)


def _with_rows(path: Path, table: RowTarget, rows: Sequence[str]) -> str:
    """A table beside the description with more rows at its end."""
    try:
        text = path.read_bytes().decode("utf-8") if path.exists() else ""
    except (OSError, UnicodeDecodeError) as error:
        raise RequestError(
            f"{path} cannot be read: the system said {system_words(error)}; wanted the table as it is, to "
            "add to it; look at it, or move it away"
        ) from error
    findings = Findings(path.name)
    names = table.columns.split(",")
    more = [dict(zip(names, row.split(","), strict=True)) for row in rows]
    whole = appended(text, more, table.may_have, findings)
    findings.raise_any()
    return whole
