"""Energy of the closing leaf and of the rotor behind it."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.laws.kinetic import LOW_ENERGY
from hutwright.model.project import Project
from hutwright.sources import EN_16005_LOW_ENERGY, KINETIC_ENERGY
from hutwright.trades.guard.closing_speed import Run, most_energetic
from hutwright.trades.guard.meeting import NEEDS, length_text
from hutwright.trades.guard.softening import DUTY_STEP, LEAST_DUTY

LIGHTEST = 0.5  # kg; a lighter leaf of that size is none: a choice of this project
WORTH_LIGHTENING = 0.25  # share of the energy that is the leaf's: a choice of this project [-]
MASS_STEP = 0.1  # kg; a choice of this project


def ask(project: Project) -> tuple[Check, ...]:
    """The greatest energy of leaf and rotor over the closing travel against that of a low-energy door.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One.
    """
    steps = _working(most_energetic(project))
    return (
        Check(
            value=steps[-1].result.value,
            limit=LOW_ENERGY,
            dimension=units.ENERGY,
            sense=Sense.AT_MOST,
            method=KINETIC_ENERGY,
            limit_from=EN_16005_LOW_ENERGY,
            working=steps,
            levers=_levers(project, heavy=steps[0].result.value > WORTH_LIGHTENING * steps[-1].result.value),
            meaning="The limit is made for the leaf of a pedestrian door; the rotor is counted with it here, "
            "because a drive that is stopped at its edge gives that energy to what stops it.",
        ),
    )


def _working(run: Run) -> tuple[Step, Step, Step]:
    speed, rod_speed = run.edge_speed, run.rod_speed
    leaf = 0.5 * run.leaf.edge_mass * speed**2
    rotor = 0.5 * run.leaf.rotor_mass * rod_speed**2
    return (
        Step(
            symbol="E_leaf",
            formula="0.5 * m_edge * v ** 2",
            numbers={
                "m_edge": Number(run.leaf.edge_mass, units.MASS),
                "v": Number(speed, units.SPEED),
            },
            result=Number(leaf, units.ENERGY),
            words=f"of the leaf, with the edge {length_text(run.edge_way)} from shut, {run.weather}",
        ),
        Step(
            symbol="E_rotor",
            formula="0.5 * m_rotor * v_rod ** 2",
            numbers={
                "m_rotor": Number(run.leaf.rotor_mass, units.MASS),
                "v_rod": Number(rod_speed, units.SPEED),
            },
            result=Number(rotor, units.ENERGY),
            words="of the motor's rotor; m_rotor is the mass that it seems to have at the rod",
        ),
        Step(
            symbol="E",
            formula="E_leaf + E_rotor",
            numbers={"E_leaf": Number(leaf, units.ENERGY), "E_rotor": Number(rotor, units.ENERGY)},
            result=Number(leaf + rotor, units.ENERGY),
            words="together",
        ),
    )


def _levers(project: Project, *, heavy: bool) -> tuple[Dial, ...]:
    """Less speed; a lighter leaf only where the leaf has enough of the energy for that to matter."""
    levers = []
    if project.controller is not None:
        speed = project.controller.speed
        low = max(LEAST_DUTY, speed.last) if speed.last < speed.normal else LEAST_DUTY
        if low < speed.normal:
            levers.append(
                Dial(
                    path=("controller", "speed", "normal"),
                    dimension=units.RATIO,
                    lowest=low,
                    highest=speed.normal,
                    words="run the leaf at no more of full duty than",
                    effort=Effort.SETTING,
                    step=DUTY_STEP,
                )
            )
    if heavy and project.door is not None and project.door.leaf.mass > LIGHTEST:
        levers.append(
            Dial(
                path=("door", "leaf", "mass"),
                dimension=units.MASS,
                lowest=LIGHTEST,
                highest=project.door.leaf.mass,
                words="build the leaf of no more than",
                effort=Effort.REBUILD,
                step=MASS_STEP,
            )
        )
    return tuple(levers)


QUESTION = Question(
    key="guard.kinetic_energy",
    title="Energy of the closing leaf and of the rotor behind it",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
