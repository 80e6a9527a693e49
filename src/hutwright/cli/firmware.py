"""The verb ``firmware`` of the command line: write the folder, say what is in it, load it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hutwright.cli.answering import ExitCode, complain, say, screen_width, waiting
from hutwright.description.folder import load
from hutwright.live.loading import Port, load_program, loader
from hutwright.live.settings_line import send_settings
from hutwright.outputs.firmware import LINES, image_to_load, write_firmware
from hutwright.outputs.firmware_answer import firmware_text, firmware_values
from hutwright.outputs.json_text import json_text
from hutwright.studies.firmware_plan import firmware_plan


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant.
    out : pathlib.Path
        Where the firmware goes.
    port : Port or None
        Where the board is that it is loaded to; None where it is not.
    as_json : bool
        Whether JSON is printed.
    """

    folder: Path
    variant: str | None
    out: Path
    port: Port | None
    as_json: bool


def make(asked: Asked) -> ExitCode:
    """Write a firmware, and load it where a port is named."""
    if asked.port is not None:
        loader()  # before anything is written: without it what was asked for cannot be done
    with waiting("building"):
        made = write_firmware(firmware_plan(load(asked.folder, asked.variant)), asked.out)
    if asked.port is not None:
        image = image_to_load(made)
        with waiting("loading") as count:
            load_program(image, asked.port)
            send_settings(asked.port.name, made.firmware.files[LINES], count)
    loaded = asked.port is not None
    if asked.as_json:
        say(json_text(firmware_values(made, loaded=loaded)))
    else:
        say(firmware_text(made, loaded=loaded, width=screen_width()))
    if made.written.kept:
        complain(
            f"{', '.join(made.written.kept)}: changed by somebody since hutwright wrote it, and left as it is"
        )
        return ExitCode.SHORT
    return ExitCode.HOLDS
