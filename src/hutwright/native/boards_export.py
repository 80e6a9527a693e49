"""The firmware's source files as they are shipped: the ones that the rehearsal ran, and a board's own."""

from __future__ import annotations

from enum import Enum

from hutwright.native.board_plan import BoardPlan, config_text, store_image
from hutwright.native.build import HERE
from hutwright.native.records import Record


class Board(Enum):
    """The boards there are; the value is the folder of its layer."""

    AVR8 = "avr8"
    HOST = "host"


def files(board: Board) -> dict[str, bytes]:
    """The controller's core, what all boards share, and the board's own files, by path."""
    folders = {"core": HERE / "core"} | {
        f"boards/{each}": HERE / "boards" / each for each in ("parts", board.value)
    }
    return {
        f"{name}/{path.name}": path.read_bytes()
        for name, folder in folders.items()
        for path in sorted(folder.glob("*.[ch]"))
    }


def project(board: Board, plan: BoardPlan, settings: Record) -> dict[str, bytes]:
    """`files`, with ``board_config.h`` and ``store.bin``, the first content of the board's store."""
    return files(board) | {
        "board_config.h": config_text(plan).encode("ascii"),
        "store.bin": store_image(settings),
    }
