"""Every scenario of a rehearsal, family by family."""

from __future__ import annotations

from collections.abc import Iterable

from hutwright import units
from hutwright.bench.scenario import Scenario
from hutwright.bench.scenarios import commands, drive, ends, free, machine, obstacles, sensor, supply
from hutwright.errors import RequestError, shortened

SCENARIOS: tuple[Scenario, ...] = (
    *free.SCENARIOS,
    *obstacles.SCENARIOS,
    *commands.SCENARIOS,
    *machine.SCENARIOS,
    *supply.SCENARIOS,
    *ends.SCENARIOS,
    *sensor.SCENARIOS,
    *drive.SCENARIOS,
)


def chosen(names: Iterable[str]) -> tuple[Scenario, ...]:
    """The scenarios of those keys, or of those families, in reading order; all where none is named.

    Parameters
    ----------
    names : iterable of str
        Keys such as "obstacle.stiff_300", or what stands before the dot.

    Raises
    ------
    RequestError
        Where nothing has such a key.
    """
    wanted = list(names)
    known = [scenario.key for scenario in SCENARIOS]
    families = list(dict.fromkeys(key.partition(".")[0] for key in known))
    for name in wanted:
        if name not in known and name not in families:
            near = units.nearest(name, [*known, *families])
            remedy = f'did you mean "{near}"?' if near else "`hutwright rehearse DIR --list` prints the keys"
            raise RequestError(f"no scenario is called {shortened(name)}; {remedy}")
    if not wanted:
        return SCENARIOS
    return tuple(
        scenario
        for scenario in SCENARIOS
        if scenario.key in wanted or scenario.key.partition(".")[0] in wanted
    )
