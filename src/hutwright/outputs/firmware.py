"""The firmware as a folder: the core's files, the board's, this hut's numbers, an image, what to read."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from hutwright.errors import RequestError, shortened
from hutwright.native import avr_build
from hutwright.native.board_plan import line_in, store_image
from hutwright.native.boards_export import Board, files
from hutwright.native.records import SETTINGS
from hutwright.outputs.firmware_config import board_config, settings_page
from hutwright.outputs.firmware_folder import Written, changed_in, write_folder
from hutwright.outputs.firmware_pages import read_me, table_test, wiring_table
from hutwright.studies.firmware_plan import FirmwarePlan

COMPILER = "avr-gcc"
COPIER = "avr-objcopy"
ELF, HEX, LINES = "firmware.elf", "firmware.hex", "settings.lines"
BUILT = (ELF, HEX)
PIECE = 20  # bytes of the settings in a line; a line has room for fewer than 64 signs
INCLUDES = ("-I.", "-Icore", "-Iboards/parts")
NO_COMPILER = (
    "No image was built, because avr-gcc is not on this computer: install Debian's gcc-avr, avr-libc and "
    "binutils-avr, then run `make` in this folder, or write the folder again."
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Image:
    """A built image.

    Attributes
    ----------
    elf : bytes
        The program with its names.
    hex : bytes
        The program as it is loaded, in Intel hex.
    flash_bytes : int
        Program and constants. [bytes]
    ram_bytes : int
        Static memory. [bytes]
    """

    elf: bytes
    hex: bytes
    flash_bytes: int
    ram_bytes: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Firmware:
    """All that belongs into the folder.

    Attributes
    ----------
    files : Mapping
        Content by path, with ``/`` between folders.
    image : Image or None
        What was built; None where there is no compiler.
    """

    files: Mapping[str, bytes]
    image: Image | None


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Made:
    """A firmware that was written.

    Attributes
    ----------
    plan : FirmwarePlan
        The board and its settings.
    firmware : Firmware
        The files and the image.
    written : Written
        What became of the folder.
    """

    plan: FirmwarePlan
    firmware: Firmware
    written: Written


def write_firmware(plan: FirmwarePlan, folder: Path) -> Made:
    """Write the firmware of a board; what somebody else put there, or changed, stays.

    Parameters
    ----------
    plan : FirmwarePlan
        The board and its settings.
    folder : pathlib.Path
        Where it goes.

    Raises
    ------
    RequestError
        Where the folder is somebody's own, or cannot be written, or the compiler has something to say.
    """
    mine = changed_in(folder, BUILT)
    theirs = {name: (folder / name).read_bytes() for name in mine if (folder / name).is_file()}
    found = firmware(plan, theirs)
    return Made(plan=plan, firmware=found, written=write_folder(folder, found.files, BUILT))


def firmware(plan: FirmwarePlan, changed: Mapping[str, bytes] | None = None) -> Firmware:
    """The files of a hut's firmware, built where there is a compiler.

    Parameters
    ----------
    plan : FirmwarePlan
        The board and its settings.
    changed : Mapping or None
        Files that somebody changed: the image is built with them, as the folder's own Makefile would.

    Raises
    ------
    RequestError
        Where the compiler has something to say.
    """
    found = sources(plan)
    image = build_image(found | {name: raw for name, raw in (changed or {}).items() if name in found})
    if image is not None:
        found |= {ELF: image.elf, HEX: image.hex}
    found["README.md"] = read_me(plan, image=_image_words(image)).encode("utf-8")
    return Firmware(files=dict(sorted(found.items())), image=image)


def image_to_load(made: Made) -> Path:
    """The image, where it may be loaded.

    Parameters
    ----------
    made : Made
        What was written.

    Raises
    ------
    RequestError
        Where none was built, or the folder holds something that hutwright did not write.
    """
    if made.firmware.image is None:
        raise RequestError(f"nothing was loaded: {NO_COMPILER}")
    if made.written.kept:
        raise RequestError(
            f"nothing was loaded: {', '.join(made.written.kept)} in {made.written.folder} was changed by "
            "somebody; wanted only what the rehearsal ran; write to another folder, or load it yourself "
            "with `make load`"
        )
    return made.written.folder / HEX


def sources(plan: FirmwarePlan) -> dict[str, bytes]:
    """The files without the image and what is said of it.

    Parameters
    ----------
    plan : FirmwarePlan
        The board and its settings.
    """
    found = files(Board.AVR8)
    store = store_image(plan.settings)
    written = {
        "board_config.h": board_config(plan),
        "SETTINGS.md": settings_page(plan),
        "WIRING.md": wiring_table(plan),
        "TABLE_TEST.md": table_test(plan),
        LINES: settings_lines(store[: SETTINGS.itemsize]).decode("ascii"),
        "Makefile": makefile(compiled(found)),
    }
    return found | {"store.bin": store} | {name: text.encode("utf-8") for name, text in written.items()}


def settings_lines(settings: bytes) -> bytes:
    """The lines that give a board its settings: a greeting, piece after piece, and the word to keep them.

    Parameters
    ----------
    settings : bytes
        The sealed settings, as the board lays them out.
    """
    lines = [line_in("hello", 1)]
    for at in range(0, len(settings), PIECE):
        rest = f"{at} {settings[at : at + PIECE].hex().upper()}"
        lines.append(line_in("set", len(lines) + 1, rest))
    lines.append(line_in("keep", len(lines) + 1))
    return b"".join(lines)


def compiled(found: Mapping[str, bytes]) -> list[str]:
    """The C files in the order in which `avr_build.build` takes them: by depth, then by name."""
    own = [path for path in found if path.endswith(".c")]
    return sorted(own, key=lambda path: (path.count("/"), PurePosixPath(path)))


def _image_words(image: Image | None) -> str:
    if image is None:
        return NO_COMPILER
    return (
        f"`{HEX}` was built from these files with the flags of the Makefile: {image.flash_bytes} bytes of "
        f"flash, {image.ram_bytes} bytes of static memory. `make` builds the same again."
    )


def makefile(own: list[str]) -> str:
    """A Makefile that builds the image with the very flags of `avr_build`.

    Parameters
    ----------
    own : list of str
        The C files, in order.
    """
    row = " \\\n  "
    return f"""# Builds the image from the files of this folder, with every warning an error.
CHIP = {avr_build.CHIP}
CC = {COMPILER}
CFLAGS = -mmcu=$(CHIP) -std=gnu11{row}{" ".join(avr_build.STRICT)}{row}{row.join(avr_build.SMALL)}
INCLUDES = {" ".join(INCLUDES)}
SOURCES ={row}{row.join(own)}
# The loader that most boards carry; for `store` a programmer at the board's programming pins.
AVRDUDE = avrdude
PROGRAMMER = stk500v1
SPEED = 115200
ERASING = $(if $(filter stk500v1,$(PROGRAMMER)),-D)

all: {HEX}

{ELF}: $(SOURCES) $(wildcard core/*.h boards/*/*.h) board_config.h Makefile
	$(CC) $(CFLAGS) $(INCLUDES) $(SOURCES) -o $@

{HEX}: {ELF}
	{COPIER} -O ihex -R .eeprom $< $@

size: {ELF}
	avr-size $<

load: {HEX}
	$(AVRDUDE) -p $(CHIP) -c $(PROGRAMMER) -P $(PORT) -b $(SPEED) $(ERASING) -U flash:w:{HEX}:i

store:
	$(AVRDUDE) -p $(CHIP) -c $(PROGRAMMER) -P $(PORT) -U eeprom:w:store.bin:r

clean:
	rm -f {ELF} {HEX}

.PHONY: all size load store clean
"""


def build_image(found: Mapping[str, bytes]) -> Image | None:
    """The image of some files; None where there is no compiler.

    Parameters
    ----------
    found : Mapping
        Content by path.

    Raises
    ------
    RequestError
        Where the compiler has something to say.
    """
    compiler, copier = shutil.which(COMPILER), shutil.which(COPIER)
    if compiler is None or copier is None:
        return None
    with tempfile.TemporaryDirectory(prefix="hutwright-") as made:
        folder = Path(made)
        for name, content in found.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        try:
            facts = avr_build.build(folder, Path(compiler))
            told = folder / HEX
            subprocess.run(
                [copier, "-O", "ihex", "-R", ".eeprom", str(facts.path), str(told)],
                check=True,
                capture_output=True,
            )
        except (RuntimeError, OSError, subprocess.CalledProcessError) as error:
            raise RequestError(
                f"the firmware was not built and nothing was written: {shortened(str(error), 400)}; wanted "
                "avr-gcc with avr-libc and no warning; install Debian's gcc-avr, avr-libc and binutils-avr "
                "afresh"
            ) from error
        return Image(
            elf=facts.path.read_bytes(),
            hex=told.read_bytes(),
            flash_bytes=facts.flash_bytes,
            ram_bytes=facts.ram_bytes,
        )
