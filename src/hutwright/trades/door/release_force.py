"""What a hand must give to open the door when the power is gone."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.model.door import ReleaseKind
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.manual import hand_force
from hutwright.sources import EN_16005_LOW_ENERGY
from hutwright.trades.door.moving import BALANCE, stated
from hutwright.trades.door.turning import counterweight, less_ice, lighter, when_wanted

# EN 16005, annex F, on loss of power; standing: second-hand [N]
TO_FREE = 67.0
TO_MOVE = 90.0
HARDEST = 500.0  # pull that is searched: a choice of this project [N]
FREE, BY_HAND = "free", "by_hand"
RELEASE = ("door", "release")


def ask(project: Project) -> tuple[Check, ...]:
    """The pull that frees the leaf, and the force at its edge that opens it, frozen on the coldest day.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for the pull where there is a release, and one for the hand.
    """
    door = project.door
    if door is None or project.linkage is None or project.drive is None:
        return ()
    released = door.release.kind is not ReleaseKind.NONE
    found = []
    if released:
        words = f"to free the {door.release.kind.value}, as described"
        pull = stated("F_free", door.release.force, units.FORCE, words)
        found.append(_check(project, FREE, pull, TO_FREE))
    frozen = Conditions(project.site.air.coldest, ice=True)
    force = hand_force(project, frozen, opening=True, released=released)
    if math.isinf(force):
        words = "no release is described, and the drive cannot be pushed back by hand"
    else:
        how = "freed from" if released else "pushing back"
        words = f"at the closing edge, over the whole travel, {how} the drive"
    found.append(_check(project, BY_HAND, stated("F_hand", force, units.FORCE, words), TO_MOVE))
    return tuple(found)


def _check(project: Project, subject: str, step: Step, most: float) -> Check:
    door = project.door
    assert door is not None
    levers: tuple[Dial | Pick | None, ...]
    if subject == FREE:
        levers = (_easier(door.release.force),)
    else:
        fitted = _release() if door.release.kind is ReleaseKind.NONE else None
        levers = (fitted, less_ice(project), counterweight(project), lighter(project))
    return Check(
        subject=subject,
        value=step.result.value,
        limit=most,
        dimension=units.FORCE,
        sense=Sense.AT_MOST,
        method=BALANCE,
        limit_from=EN_16005_LOW_ENERGY,
        working=(step,),
        levers=when_wanted(ask, project, subject, lambda: (*levers,)),
        meaning="With more, nobody frees what is caught in the door, or behind it, without power.",
    )


def _easier(force: float) -> Dial:
    return Dial(
        path=(*RELEASE, "force"),
        dimension=units.FORCE,
        lowest=0.0,
        highest=max(HARDEST, force),
        words="let the release come free with no more than",
        effort=Effort.BUY_SMALL,
        step=5.0,
    )


def _release() -> Pick:
    """The choice of a release, the simplest first."""
    options = tuple(
        Option(
            f"fit a {kind.value} that comes free with 40 N",
            {(*RELEASE, "kind"): kind.value, (*RELEASE, "force"): "40 N"},
        )
        for kind in (ReleaseKind.PIN, ReleaseKind.CLUTCH)
    )
    return Pick(words="a manual release", options=options, effort=Effort.BUY_SMALL)


QUESTION = Question(
    key="door.release_force",
    title="Opening the door by hand without power",
    concern=Concern.SAFETY,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
