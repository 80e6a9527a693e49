"""How good the full wave is and which cells it takes, and where the integral wants to be looked at by it.

Both from runs of finer cells and from runs beside the integral: docs/handbook/full-wave.md.
"""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.layout.frame import hut_of
from hutwright.model.hut import Layer
from hutwright.model.project import Project
from hutwright.plant.sky.coverings import L1, build_up_layers
from hutwright.plant.sky.inside import Season, State, is_wet
from hutwright.plant.sky.readiness import is_metal
from hutwright.plant.sky.wave import FINE, SIDE


@dataclass(frozen=True, slots=True)
class WaveAccuracy:
    """Cells that the full wave takes for a hut [m], how far its levels may be off [dB], and in words."""

    side: float
    within_db: float
    words: str


# Each covers what finer cells changed, twice over: docs/handbook/full-wave.md, second table. What
# the hut really is (its permittivities, its floor, what stands in it) is not in them.
DRY_WALLS = WaveAccuracy(SIDE, 0.8, "dry timber, 20 mm cells: within 0.8 dB of finer cells")
SOAKED_WALLS = WaveAccuracy(FINE, 1.0, "soaked timber, 10 mm cells: within 1 dB of finer cells")
METAL_SHEETS = WaveAccuracy(SIDE, 2.5, "walls of metal, 20 mm cells: within 2.5 dB of finer cells")


def wave_accuracy(project: Project, state: State) -> WaveAccuracy:
    """Cells and accuracy for the hut in a state.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    """
    if is_metal(_walls(project)):
        return METAL_SHEETS
    return SOAKED_WALLS if is_wet(project, state.season) and _soak(project) else DRY_WALLS


def doubts(project: Project) -> tuple[str, ...]:
    """What about a hut the integral does not have, or has only roughly, in words.

    Parameters
    ----------
    project : Project
        The project.
    """
    hut, found = hut_of(project), []
    if is_metal(_walls(project)):
        found.append("waves go to and fro between walls of metal")
    elif _soak(project):
        found.append("soaked walls in rain" if not is_wet(project, Season.DESCRIBED) else "soaked walls")
    if is_metal(project.build_ups.get(hut.roof.build_up, ())) and hut.roof.overhang > 0.0:
        found.append("a roof of metal hangs over the walls")
    return tuple(found)


def _walls(project: Project) -> tuple[Layer, ...]:
    return project.build_ups.get(hut_of(project).walls.build_up, ())


def _soak(project: Project) -> bool:
    """Whether water changes anything about the walls."""
    dry, wet = (build_up_layers(_walls(project), L1, wet=each) for each in (False, True))
    return dry != wet
