"""The verb ``sky`` of the command line: look, show, draw, and end early where somebody wants that."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from hutwright import app as verbs
from hutwright.cli.answering import ExitCode, complain, say, screen_width, stoppable, waiting
from hutwright.outputs.json_text import json_text
from hutwright.outputs.phrasing import several
from hutwright.outputs.sky_look_text import sky_look_text
from hutwright.outputs.sky_look_values import sky_look_values
from hutwright.studies.sky_look import Look


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant.
    windows : int
        How many roof windows are placed at most. [-]
    out : pathlib.Path or None
        Where pictures go.
    as_json : bool
        Whether JSON is printed.
    confirm : bool
        Whether the full wave is asked as well.
    """

    folder: Path
    variant: str | None
    windows: int
    out: Path | None
    as_json: bool
    confirm: bool = False


def look_up(asked: Asked) -> ExitCode:
    """Look at the sky over a hut and show what was found."""
    with stoppable() as stop, ThreadPoolExecutor(os.cpu_count()) as workers:
        with waiting("looking at the sky") as count:
            found = verbs.sky(
                asked.folder,
                asked.variant,
                windows=asked.windows,
                worth=asked.out is not None,
                confirm=asked.confirm,
                executor=workers,
                progress=count,
                cancel=stop,
            )
        if asked.out is not None and not stop.is_set():
            _draw(found, asked.out)
    say(_told(asked, found))
    if stop.is_set():
        complain("stopped: what was found by then is shown; better windows may be left")
        return ExitCode.INTERRUPTED
    return ExitCode.SHORT if found.short else ExitCode.HOLDS


def _draw(found: Look, folder: Path) -> None:
    from hutwright.outputs.sky_plots import plot_sky

    with waiting("drawing pictures"):
        written = plot_sky(found, folder)
    complain(f"{several(len(written), 'picture', 'pictures')} in {folder}")


def _told(asked: Asked, found: Look) -> str:
    if asked.as_json:
        return json_text(sky_look_values(found))
    return sky_look_text(found, width=screen_width())
