"""What lies beside a description: readings of the sky, starts that came or did not, files of orbits."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from hutwright.errors import RequestError, shortened, system_words
from hutwright.evidence.orbits.reading import read_all_orbits
from hutwright.evidence.sky_readings import Incident, SkyReading, read_incidents, read_sky
from hutwright.model.orbits import Orbits

SKY, INCIDENTS, ORBITS = "sky.csv", "incidents.csv", "orbits"


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """What was found; a file that is not there is None.

    Attributes
    ----------
    readings : tuple or None
        Rows of `sky.csv`.
    incidents : tuple or None
        Rows of `incidents.csv`.
    orbits : Orbits or None
        What the files in `orbits` know together.
    """

    readings: tuple[SkyReading, ...] | None
    incidents: tuple[Incident, ...] | None
    orbits: Orbits | None


def read_beside(folder: Path, zone: tzinfo, openings: Collection[str], now: float) -> Beside:
    """Read what lies beside a description.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    zone : tzinfo
        Time zone of times that name none.
    openings : Collection
        Names of the described openings in the roof.
    now : float
        GPS time since 1980-01-06; an almanac's week is taken to lie near the last reading or incident, or
        near now where there is none. [s]

    Raises
    ------
    EvidenceError
        With the faults of a file.
    RequestError
        Where the files of orbits are too many or cannot be listed.
    """
    sky, incidents = folder / SKY, folder / INCIDENTS
    seen = read_sky(sky, SKY, zone, openings) if sky.exists() else None
    starts = read_incidents(incidents, INCIDENTS, zone, openings) if incidents.exists() else None
    epochs = [each.epoch for each in seen or () if each.epoch is not None]
    epochs += [each.epoch for each in starts or ()]
    files = _files(folder / ORBITS)
    orbits = read_all_orbits(files, max(epochs, default=now)) if files else None
    return Beside(readings=seen, incidents=starts, orbits=orbits)


def _files(folder: Path) -> list[tuple[Path, str]]:
    """Every file in a folder with its name in faults; hidden ones are left out."""
    if not folder.is_dir():
        return []
    try:
        found = sorted(each for each in folder.iterdir() if each.is_file() and each.name[:1] != ".")
    except OSError as error:
        told = system_words(error)
        raise RequestError(
            f"{shortened(str(folder))} cannot be listed: the system said {told}; make it readable"
        ) from error
    return [(each, f"{ORBITS}/{each.name}") for each in found]
