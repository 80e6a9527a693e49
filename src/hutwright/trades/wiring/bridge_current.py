"""The drive's rated current against what the bridge carries for good."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import WhenWanted
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.bridge_choice import choices, limits_source
from hutwright.trades.wiring.feeding import amperes

LISTING = Source("the drive as described", "rated current", Standing.READ)


def ask(project: Project) -> tuple[Check, ...]:
    """Rated current against the bridge's current for good, its channels together.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a drive or a bridge.
    """
    bridge = project.electronics.bridge if project.electronics is not None else None
    if bridge is None or project.drive is None:
        return ()
    rated = project.drive.rating.current
    step = Step(
        symbol="I_bridge",
        formula="I_rated",
        numbers={"I_rated": amperes(rated)},
        result=amperes(rated),
        words=f"at full load, through {bridge.paralleled} of the bridge's channels",
    )
    return (
        Check(
            value=rated,
            limit=bridge.current_limit,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=LISTING,
            limit_from=limits_source(bridge),
            working=(step,),
            levers=WhenWanted(lambda: choices(project, bridge)),
            meaning="Above this the bridge switches off or ages fast, however well it is cooled.",
        ),
    )


QUESTION = Question(
    key="wiring.bridge_current",
    title="Running current against the bridge's",
    concern=Concern.FUNCTION,
    needs=(("drive",), ("electronics", "bridge")),
    ask=ask,
)
