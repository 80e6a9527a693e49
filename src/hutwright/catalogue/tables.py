"""The tables of the catalogue by name, for a description that chooses rows out of them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.bridges import BRIDGES
from hutwright.catalogue.cores import CORES
from hutwright.catalogue.fuses import FUSES
from hutwright.catalogue.materials import MATERIALS
from hutwright.catalogue.regulators import REGULATORS
from hutwright.catalogue.sensors import SENSORS
from hutwright.catalogue.supplies import SUPPLIES

BROWN_OUT_OFF = "off"

TABLES: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "boards": BOARDS,
        "bridges": BRIDGES,
        "brown_outs": dict.fromkeys(
            (*(level for board in BOARDS.values() for level in board.brown_outs), BROWN_OUT_OFF)
        ),
        "cores": CORES,
        "fuses": FUSES,
        "materials": MATERIALS,
        "regulators": REGULATORS,
        "sensors": SENSORS,
        "supplies": SUPPLIES,
    }
)


def names(table: str) -> tuple[str, ...]:
    """The names of a table's rows, in the table's own order."""
    return tuple(TABLES[table])
