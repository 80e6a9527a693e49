"""The verb ``identify`` of the command line: what recorded moves tell of drive and supply, and writing it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from hutwright.cli.agreeing import description_text, write_agreed
from hutwright.cli.answering import ExitCode, complain, say, screen_width, waiting
from hutwright.cli.calibrate import recorded
from hutwright.description.folder import DESCRIPTION, load
from hutwright.errors import RequestError
from hutwright.outputs.identification import identification_text, identification_values
from hutwright.outputs.json_text import json_text
from hutwright.studies.identify import identify
from hutwright.studies.identify_beside import offer


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    traces : tuple of pathlib.Path
        Files and folders of moves both ways.
    starts : tuple of pathlib.Path
        Files and folders of moves whose starts were recorded quickly.
    write : bool
        Whether the description is changed.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    traces: tuple[Path, ...]
    starts: tuple[Path, ...]
    write: bool
    as_json: bool


def tell(asked: Asked) -> ExitCode:
    """Tell what moves say, and write it down where that is wanted."""
    described = load(asked.folder)
    if not asked.traces and not asked.starts:
        raise RequestError(
            "read no recorded move; wanted an opening and a closing, or quickly recorded starts with "
            "--inrush; docs/traces.md says how to record them"
        )
    text = description_text(asked.folder)
    with waiting("reading"):
        traces, left_out = recorded(asked.traces, whole=True)
        starts, damaged = recorded(asked.starts, whole=True)
    with waiting("comparing"):
        found = identify(described.project, traces, starts=starts)
        found = replace(found, left_out=(*left_out, *damaged, *found.left_out))
        offered = offer(described, text, found)
    written = asked.write and offered.ready and bool(offered.lines)
    if written:
        write_agreed(asked.folder, text, offered.text)
    say(
        json_text(identification_values(offered, written=written))
        if asked.as_json
        else identification_text(offered, written=written, width=screen_width())
    )
    if asked.write and not written:
        complain(f"{asked.folder / DESCRIPTION} stays as it is")
    return ExitCode.HOLDS if offered.ready else ExitCode.SHORT
