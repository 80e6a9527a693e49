"""The verb ``rehearse`` of the command line: play, show, and end early where somebody wants that."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from threading import Event

from hutwright import app as verbs
from hutwright.cli.answering import ExitCode, complain, say, screen_width, stoppable, waiting
from hutwright.outputs.json_text import json_text
from hutwright.outputs.phrasing import several
from hutwright.outputs.rehearsal import rehearsal_text, scenarios_text
from hutwright.outputs.rehearsal_values import rehearsal_values
from hutwright.studies.rehearse import Rehearsed
from hutwright.studies.trials import Trials


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    scenarios : tuple of str
        Keys of scenarios or families; all where none is named.
    variant : str or None
        Name of a variant.
    runs : int
        How often with unsure values drawn anew. [-]
    seed : int
        What they are drawn by. [-]
    plots : pathlib.Path or None
        Where pictures go.
    settings : pathlib.Path or None
        File of the controller's settings; the described ones where none is named.
    svg : bool
        Whether the pictures are SVG.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    scenarios: tuple[str, ...]
    variant: str | None
    runs: int
    seed: int
    plots: Path | None
    settings: Path | None
    svg: bool
    as_json: bool


def list_scenarios(asked: Asked) -> ExitCode:
    """Print the names of the scenarios."""
    found = verbs.scenarios_of(asked.folder, asked.scenarios, asked.variant)
    say(scenarios_text(found.scenarios, found.arising, width=screen_width()))
    return ExitCode.HOLDS


def play(asked: Asked) -> ExitCode:
    """Play the scenarios and show what came of them."""
    with stoppable() as stop, ThreadPoolExecutor(os.cpu_count()) as workers:
        with waiting("rehearsing") as count:
            found = verbs.rehearse(
                asked.folder,
                asked.scenarios,
                asked.variant,
                settings=asked.settings,
                executor=workers,
                progress=count,
                cancel=stop,
            )
        often = _often(asked, found, workers, stop)
        _draw(asked, found, stop)
    say(_told(asked, found, often))
    if stop.is_set():
        complain(_done(asked, found, often))
        return ExitCode.INTERRUPTED
    return ExitCode.SHORT if found.short else ExitCode.HOLDS


def _often(asked: Asked, found: Rehearsed, workers: ThreadPoolExecutor, stop: Event) -> Trials | None:
    if not asked.runs or stop.is_set():
        return None
    with waiting("drawing anew") as count:
        return verbs.rehearse_often(
            found, asked.runs, seed=asked.seed, executor=workers, progress=count, cancel=stop
        )


def _draw(asked: Asked, found: Rehearsed, stop: Event) -> None:
    """Pictures of the scenarios that were named; else of those with a contact, and those not met."""
    if asked.plots is None or stop.is_set():
        return
    from hutwright.outputs.plots import Form, plot_all

    wanted = [
        each for each in found.rehearsal.performances if asked.scenarios or each.worst.touched or not each.met
    ]
    with waiting("drawing pictures"):
        written = plot_all(wanted, asked.plots, Form.SVG if asked.svg else Form.PNG)
    complain(f"{several(len(written), 'picture', 'pictures')} in {asked.plots}")


def _told(asked: Asked, found: Rehearsed, often: Trials | None) -> str:
    if asked.as_json:
        return json_text(rehearsal_values(found, often))
    return rehearsal_text(found, often, width=screen_width())


def _done(asked: Asked, found: Rehearsed, often: Trials | None) -> str:
    played = len(found.rehearsal.performances)
    of = played + len(found.rehearsal.left_out)
    told = f"stopped: {played} of {of} scenarios were played"
    if asked.runs:
        told += (
            f", {0 if often is None else often.runs} of {asked.runs} runs with values drawn anew were made"
        )
    return told + "; levers that were not tried by then are not listed"
