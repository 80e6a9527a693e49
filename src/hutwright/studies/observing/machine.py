"""What the machine's own screen tells."""

from __future__ import annotations

from collections.abc import Mapping

from hutwright.catalogue.instruments import COUNT
from hutwright.evidence.beside import SKY
from hutwright.evidence.sky_readings import ALL, DOOR, ROOF_OFF, SKY_COLUMNS
from hutwright.model.project import Project
from hutwright.studies.observing.observation import Blank, Observation, RowTarget

STATES = {"shut": ALL, "opened": f"{ALL} + {DOOR}", "roof_off": ROOF_OFF}


def _rows(answers: Mapping[str, str], moment: str) -> tuple[str, ...]:
    return tuple(f"{moment},{STATES[key]},{answers[key]}" for key in STATES if key in answers)


def _targets(project: Project) -> tuple[RowTarget, ...]:
    if project.machine is None or project.hut is None:
        return ()
    return (
        RowTarget(
            file=SKY,
            words="satellites counted, which the sky's checks are held to",
            columns="time,open,satellites",
            may_have=SKY_COLUMNS,
            rows=_rows,
        ),
    )


COUNTS = Observation(
    key="counts",
    title="The machine's own screen: how many satellites it counts",
    minutes=15,
    steps=(
        "Park the machine as always and shut the door; wait two minutes; read its count of satellites.",
        "Do the same with the door open, and with the roof off where it can be taken off.",
    ),
    caution="Take the machine's key out before you reach into the hut. A roof is lifted by two.",
    blanks=(
        Blank(key="shut", words="door shut", instrument=COUNT, left=True),
        Blank(key="opened", words="door open", instrument=COUNT, left=True),
        Blank(key="roof_off", words="roof off", instrument=COUNT, left=True),
    ),
    targets=_targets,
)

OBSERVATIONS = (COUNTS,)
