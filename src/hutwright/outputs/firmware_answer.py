"""What was made of a firmware, as text and as plain values for JSON."""

from __future__ import annotations

from typing import Any

from hutwright.native.records import SETTINGS
from hutwright.outputs.contract import FORMAT
from hutwright.outputs.firmware import HEX, NO_COMPILER, Made
from hutwright.outputs.phrasing import several, wrapped
from hutwright.outputs.rehearsal import cautions_of
from hutwright.studies.firmware_plan import CHANNELS, FIXED, FirmwarePlan

TOTAL_FLASH, TOTAL_RAM = 32768, 2048  # of an ATmega328P, its data sheet [bytes]


def firmware_text(made: Made, *, loaded: bool, width: int = 100) -> str:
    """What was made, in a few lines.

    Parameters
    ----------
    made : Made
        What was written.
    loaded : bool
        Whether it is on a board now.
    width : int
        Columns of the screen. [-]
    """
    written, image = made.written, made.firmware.image
    name = made.plan.described.project.name
    files = several(len(written.files), "file", "files")
    lines = wrapped(f"{name}: firmware in {written.folder}, {files}", width, rest="  ")
    if image is None:
        lines += wrapped(NO_COMPILER, width, "  ")
    else:
        told = f"{HEX}: {image.flash_bytes} of {TOTAL_FLASH} bytes of flash, "
        lines += wrapped(f"{told}{image.ram_bytes} of {TOTAL_RAM} bytes of static memory", width, "  ")
    if written.kept:
        told = f"kept as somebody changed it, also in the image: {', '.join(written.kept)}"
        lines += wrapped(told, width, "  ", "    ")
    if written.removed:
        lines += wrapped(f"taken away, no longer of use: {', '.join(written.removed)}", width, "  ", "    ")
    state = (
        f"Loaded, program and settings; the {SETTINGS.itemsize} bytes of the settings were read back: equal. "
        "Nothing moves until it is asked to. "
        if loaded
        else "Nothing has been loaded. "
    )
    lines += [
        "",
        *wrapped(
            f"{state}Next: WIRING.md, then TABLE_TEST.md with the drive on a table, its fuse in.", width
        ),
    ]
    lines += ["", "Cautions", "--------"]
    for caution in cautions_of(made.plan.described):
        lines += wrapped(caution, width, "  - ")
    return "\n".join(lines) + "\n"


def firmware_values(made: Made, *, loaded: bool) -> dict[str, Any]:
    """The same as plain values.

    Parameters
    ----------
    made : Made
        What was written.
    loaded : bool
        Whether it is on a board now.
    """
    plan, written, image = made.plan, made.written, made.firmware.image
    return {
        "format": FORMAT,
        "project": plan.described.project.name,
        "variant": plan.described.variant or None,
        "folder": str(written.folder),
        "files": list(written.files),
        "kept": list(written.kept),
        "removed": list(written.removed),
        "image": None
        if image is None
        else {"file": HEX, "flash_bytes": image.flash_bytes, "ram_bytes": image.ram_bytes},
        "pins": _pins(plan),
        "settings_checksum": int(plan.settings["checksum"]),
        "loaded": loaded,
        "cautions": list(cautions_of(plan.described)),
    }


def _pins(plan: FirmwarePlan) -> dict[str, str]:
    """Pin by line of the board, of what is wired."""
    display = "display."
    fixed = {name: pin for name, pin in FIXED.items() if plan.board.display or not name.startswith(display)}
    sensed = {at: f"PC{plan.channels[name]}" for at, name in CHANNELS.items()}
    lines = {
        name.lower(): f"P{port}{bit}" for name, (port, bit) in plan.board.pins.items() if name in plan.fitted
    }
    return fixed | sensed | lines
