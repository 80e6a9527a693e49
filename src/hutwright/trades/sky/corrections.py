"""How old the roof antenna's corrections are at the machine at the worst, against how old they may be."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.sources import CORRECTIONS_ON_THEIR_WAY, Source, Standing

OLDEST = Source("the description itself", "roof_antenna.corrections.oldest", Standing.READ)
LONGEST = 600.0  # s; a gap that is longer is an outage, which no setting mends: ours to choose


def ask(project: Project) -> tuple[Check, ...]:
    """The age of the corrections at the end of the longest stretch without any.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where their way is not described.
    """
    antenna = project.roof_antenna
    if antenna is None or antenna.corrections is None:
        return ()
    way = antenna.corrections
    age = way.every + way.delay + way.gap
    step = Step(
        symbol="t_age",
        formula="t_every + t_delay + t_gap",
        numbers={
            "t_every": Number(way.every, units.TIME),
            "t_delay": Number(way.delay, units.TIME),
            "t_gap": Number(way.gap, units.TIME),
        },
        result=Number(age, units.TIME),
        words=f"by {antenna.link.value}, just before the first one after the longest gap arrives",
    )
    return (
        Check(
            value=age,
            limit=way.oldest,
            dimension=units.TIME,
            sense=Sense.AT_MOST,
            method=CORRECTIONS_ON_THEIR_WAY,
            limit_from=OLDEST,
            working=(step,),
            levers=(_shorter_gap(),),
            meaning="With older corrections the machine knows its place to metres only, and does not start, "
            "however many satellites it hears. The gap is what was seen; a wet day or a full network may "
            "make a longer one.",
        ),
    )


def _shorter_gap() -> Dial:
    return Dial(
        path=("roof_antenna", "corrections", "gap"),
        dimension=units.TIME,
        lowest=0.0,
        highest=LONGEST,
        words="move or raise the link's antennas until no gap is longer than",
        effort=Effort.REWIRE,
        step=1.0,
    )


QUESTION = Question(
    key="sky.corrections",
    title="Age of the corrections at the machine",
    concern=Concern.FUNCTION,
    needs=(("machine", "receiver"), ("roof_antenna",), ("roof_antenna", "corrections")),
    ask=ask,
)
