"""Room round the leaf over its travel: to the hut that it closes, and to the ground before it."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Step
from hutwright.layout.solid import Approach
from hutwright.model.project import Project
from hutwright.plant.swept import NOWHERE, leaf_to_ground, leaf_to_hut
from hutwright.trades.door.dead_centre import less_far
from hutwright.trades.door.moving import GEOMETRY, practice, stated, where
from hutwright.trades.door.turning import when_wanted

LEAST = -0.001  # it lies on its seat at 0, and a millimetre is planed off: a choice of this project [m]
LIMIT = practice("a leaf may rub by 1 mm, which is planed off")
ROUNDING = 1e-9  # distances within a nanometre agree [m]
MOVED = 0.1  # how far the hinge is looked for: a choice of this project [m]
MEANINGS = {
    "hut": "Below this the leaf jams in its frame, or its edge is pressed into the wall, before it is open.",
    "ground": "Below this the leaf scrapes on base, threshold or lane, or stops on it.",
}


def ask(project: Project) -> tuple[Check, ...]:
    """Least distance of the leaf from both; 0 where it lies on its seat.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for the hut where it is described, one for the ground where there is any.
    """
    if project.door is None or project.linkage is None:
        return ()
    found = [] if project.hut is None else [_check(project, "hut", leaf_to_hut(project))]
    ground = leaf_to_ground(project)
    if ground.name != NOWHERE:
        found.append(_check(project, "ground", ground))
    return tuple(found)


def _check(project: Project, subject: str, near: Approach) -> Check:
    distance = 0.0 if abs(near.distance) < ROUNDING else near.distance
    words = f"from the {near.name}, {where(project, near.travel)}; 0 is lying on it, below zero is inside it"
    step: Step = stated("d", distance, units.LENGTH, words)
    return Check(
        subject=subject,
        value=distance,
        limit=LEAST,
        dimension=units.LENGTH,
        sense=Sense.AT_LEAST,
        method=GEOMETRY,
        limit_from=LIMIT,
        working=(step,),
        levers=when_wanted(
            ask,
            project,
            subject,
            lambda: (
                less_far(project),
                *_hinge(project),
                _leaning_less(project),
                _lower_ground(project, subject),
            ),
        ),
        meaning=MEANINGS[subject],
    )


def _hinge(project: Project) -> tuple[Dial, ...]:
    """The levers of a hinge line elsewhere."""
    door = project.door
    if door is None or door.hinge is None or not door.kind.hinged:
        return ()
    found = []
    for axis in ("x", "y", "z"):
        now = getattr(door.hinge, axis)
        if now is not None:
            found.append(
                Dial(
                    path=("door", "hinge", axis),
                    dimension=units.LENGTH,
                    lowest=now - MOVED,
                    highest=now + MOVED,
                    words=f"set the hinge line to {axis} =",
                    effort=Effort.REBUILD,
                    step=0.001,
                )
            )
    return tuple(found)


def _leaning_less(project: Project) -> Dial | None:
    """The lever of a track that leans less; None without a track that leans."""
    door = project.door
    if door is None or door.track is None or door.track.tilt == 0.0:
        return None
    tilt = door.track.tilt
    return Dial(
        path=("door", "track", "tilt"),
        dimension=units.ANGLE,
        lowest=min(0.0, tilt),
        highest=max(0.0, tilt),
        words="let the track lean by no more than",
        effort=Effort.REBUILD,
    )


def _lower_ground(project: Project, subject: str) -> Dial | None:
    """The lever of ground that lies lower before the door; None where no threshold is described."""
    dock = project.dock
    if subject != "ground" or dock is None or dock.threshold is None:
        return None
    return Dial(
        path=("dock", "threshold", "height"),
        dimension=units.LENGTH,
        lowest=dock.threshold.height,
        highest=dock.threshold.height + MOVED,
        words="dig the ground before the door down to a step of",
        effort=Effort.REBUILD,
        step=PLOUGHED,
    )


PLOUGHED = 0.005  # ground is levelled to 5 mm: a choice of this project [m]

QUESTION = Question(
    key="door.leaf_clearance",
    title="Room round the leaf over its travel",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",)),
    ask=ask,
)
