"""All observations that a description has a place for."""

from __future__ import annotations

from hutwright import units
from hutwright.errors import RequestError, shortened
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.studies.observing import door, drive, machine, site
from hutwright.studies.observing.observation import Observation, RowTarget


def observations(project: Project) -> tuple[Observation, ...]:
    """The observations that tell something of a project, in the order of the sheet.

    Parameters
    ----------
    project : Project
        The project.
    """
    every = (
        *door.OBSERVATIONS,
        *drive.OBSERVATIONS,
        *drive.cable_observations(project),
        *site.OBSERVATIONS,
        *machine.OBSERVATIONS,
    )
    return tuple(each for each in every if each.targets(project))


def observation_of(project: Project, key: str) -> Observation:
    """The observation of that name.

    Raises
    ------
    RequestError
        Where there is none, or the description has no place for what it tells.
    """
    known = {each.key: each for each in observations(project)}
    if key in known:
        return known[key]
    near = units.nearest(key, list(known))
    offer = f'did you mean "{near}"?' if near else "`hutwright measure DIR` lists them"
    raise RequestError(
        f"read the observation {shortened(key)}; wanted one that this description has a place for; {offer}"
    )


def telling(project: Project, path: Keys) -> tuple[Observation, ...]:
    """The observations that tell one value, the quickest first.

    Parameters
    ----------
    project : Project
        The project.
    path : tuple
        Its address.
    """
    found = [
        each
        for each in observations(project)
        if any(not isinstance(target, RowTarget) and target.path == path for target in each.targets(project))
    ]
    return tuple(sorted(found, key=lambda each: each.minutes))
