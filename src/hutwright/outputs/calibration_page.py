"""A calibration as a folder: a page with its pictures, the values, and the settings that are offered."""

from __future__ import annotations

from html import escape
from pathlib import Path

from hutwright.outputs.calibration import calibration_text, claim_text, verdict_text
from hutwright.outputs.calibration_plots import calibration_pictures
from hutwright.outputs.calibration_values import calibration_values
from hutwright.outputs.firmware import settings_lines
from hutwright.outputs.firmware_folder import Written, write_folder
from hutwright.outputs.json_text import json_text
from hutwright.studies.calibrate import Calibration

PAGE, VALUES, LINES = "calibration.html", "calibration.json", "settings.lines"
CAPTIONS = {
    "moves.png": "All moves, as the controller hears them: behind its median and filter, over the place.",
    "profile.png": "What goes beyond the expected current. The band is that of clean moves; the threshold "
    "lies above what a whole move keeps up for as long as the detector waits.",
    "maxima.png": "The greatest of each move, judged by a profile learnt from other moves, on paper on which "
    "the fitted law is a straight line. Dotted: the law does not fit, and is not used.",
    "tradeoff.png": "What other thresholds would cost: fewer needless reversals against more force.",
    "more_cycles.png": "What more clean cycles would buy, were they like those recorded.",
}
STYLE = (
    "body{font:16px/1.5 sans-serif;color:#333;max-width:60em;margin:2em auto;padding:0 1em}"
    "img{max-width:100%}figure{margin:2em 0}figcaption{font-size:90%}pre{overflow-x:auto;font-size:80%}"
    ".answer{border-left:4px solid #0f4c4a;padding-left:1em}"
)


def calibration_files(found: Calibration) -> dict[str, bytes]:
    """The files of a calibration by name.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    files = calibration_pictures(found)
    files[PAGE] = _page(found).encode("utf-8")
    files[VALUES] = json_text(calibration_values(found)).encode()
    if not found.refused:
        files[LINES] = settings_lines(found.settings.tobytes())
    return files


def write_calibration(found: Calibration, folder: Path) -> Written:
    """Put a calibration into a folder.

    Parameters
    ----------
    found : Calibration
        What was found.
    folder : pathlib.Path
        The folder; made where it is missing.

    Returns
    -------
    Written
        What was written, kept and taken away.

    Raises
    ------
    RequestError
        Where something of other origin is in the way, or the folder cannot be written.
    """
    return write_folder(folder, calibration_files(found))


def _page(found: Calibration) -> str:
    title = escape(f"{found.described.project.name}: calibration of the reversal")
    figures = "\n".join(
        f'<figure><img src="{name}" alt="{name}"><figcaption>{escape(caption)}</figcaption></figure>'
        for name, caption in CAPTIONS.items()
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head><meta charset="utf-8"><title>{title}</title>\n'
        f"<style>{STYLE}</style></head>\n<body>\n<h1>{title}</h1>\n"
        f'<p class="answer">{escape(verdict_text(found))}</p>\n'
        f"<p>Needless reversals: {escape(claim_text(found))}.</p>\n{figures}\n"
        f"<h2>In full</h2>\n<pre>{escape(calibration_text(found))}</pre>\n</body>\n</html>\n"
    )
