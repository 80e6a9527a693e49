"""The verb ``calibrate`` of the command line: say how long training takes, learn, show, write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hutwright.cli.answering import ExitCode, complain, say, screen_width, stoppable, waiting
from hutwright.description.folder import load
from hutwright.evidence.force_trials import read_force_trials
from hutwright.evidence.trace import Trace
from hutwright.evidence.traces import read_traces
from hutwright.outputs.calibration import calibration_text, training_text
from hutwright.outputs.calibration_values import calibration_values, training_values
from hutwright.outputs.json_text import json_text
from hutwright.studies.calibrate import Calibration, calibrate, training_times


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    traces : tuple of pathlib.Path
        Files and folders of recorded moves with nothing in the way; none: only the training is planned.
    obstructed : tuple of pathlib.Path
        The same with something in the way.
    force_trials : pathlib.Path or None
        File of trials with a household scale.
    variant : str or None
        Name of a variant.
    out : pathlib.Path or None
        Where the report goes.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    traces: tuple[Path, ...]
    obstructed: tuple[Path, ...]
    force_trials: Path | None
    variant: str | None
    out: Path | None
    as_json: bool


def set_reversal(asked: Asked) -> ExitCode:
    """Set the reversal from recorded moves, and show what came of it."""
    described = load(asked.folder, asked.variant)
    if not asked.traces:
        times = training_times(described.project)
        say(
            json_text(training_values(times)) if asked.as_json else training_text(times, width=screen_width())
        )
        return ExitCode.HOLDS
    with stoppable() as stop:
        with waiting("reading"):
            traces, left_out = recorded(asked.traces, whole=True)
            obstructed, damaged = recorded(asked.obstructed, whole=False)
            trials = () if asked.force_trials is None else read_force_trials(asked.force_trials)
        with waiting("calibrating") as count:
            found = calibrate(described, traces, obstructed, trials=trials, progress=count, cancel=stop)
        found = replace(found, left_out=(*left_out, *damaged, *found.left_out))
        if asked.out is not None:
            _write(found, asked.out)
    say(_told(asked, found))
    if stop.is_set():
        complain("stopped: levers that were not tried by then are not listed")
        return ExitCode.INTERRUPTED
    return ExitCode.SHORT if found.refused else ExitCode.HOLDS


def recorded(paths: Sequence[Path], *, whole: bool) -> tuple[tuple[Trace, ...], tuple[str, ...]]:
    """Recorded moves, and a sentence on each that was left out.

    Parameters
    ----------
    paths : sequence of pathlib.Path
        Files and folders; none for no moves.
    whole : bool
        Whether moves that were cut short are left out.
    """
    if not paths:
        return (), ()
    found = read_traces(paths, whole=whole)
    return found.traces, tuple(each.sentence() for each in found.left)


def _write(found: Calibration, folder: Path) -> None:
    from hutwright.outputs.calibration_page import write_calibration

    with waiting("writing the report"):
        written = write_calibration(found, folder)
    kept = f"; changed by somebody, and left: {', '.join(written.kept)}" if written.kept else ""
    complain(f"the report is in {folder}{kept}")


def _told(asked: Asked, found: Calibration) -> str:
    if asked.as_json:
        return json_text(calibration_values(found))
    return calibration_text(found, width=screen_width())
