"""Whether the door stays where it is when the power comes back."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.model.controller import PowerReturn
from hutwright.model.project import Project
from hutwright.trades.door.moving import practice, stated
from hutwright.units import NUMBER

AFTER = ("controller", "after_power_return")
NEVER = practice("a door never moves by itself when the power comes back")
DESCRIBED = practice("counted as described in the controller's settings")


def ask(project: Project) -> tuple[Check, ...]:
    """Moves that the door makes unasked as the power comes back, against none.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where no controller is described.
    """
    if project.controller is None:
        return ()
    after = project.controller.after_power_return
    moves = 0.0 if after is PowerReturn.STAY else 1.0
    does = {PowerReturn.STAY: "stays where it is", PowerReturn.CLOSE: "closes", PowerReturn.OPEN: "opens"}
    stay = Option(
        "flash the controller so that the door waits for a command", {AFTER: PowerReturn.STAY.value}
    )
    return (
        Check(
            value=moves,
            limit=0.0,
            dimension=NUMBER,
            sense=Sense.AT_MOST,
            method=DESCRIBED,
            limit_from=NEVER,
            working=(stated("n", moves, NUMBER, f"as the power comes back the door {does[after]}"),),
            levers=(Pick(words="what happens then", options=(stay,), effort=Effort.SETTING),),
            meaning="Whoever frees a hand with the power off must not be caught again when it is back.",
        ),
    )


QUESTION = Question(
    key="door.power_return",
    title="Moves of the door as the power comes back",
    concern=Concern.SAFETY,
    needs=(("controller",),),
    ask=ask,
)
