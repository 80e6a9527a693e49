"""Whether each fuse opens before its cables get too warm, and which cables have no fuse at all."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.cores import CORES
from hutwright.catalogue.fuses import FUSES
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.laws.ampacity import PVC_LIMIT, REFERENCE_AMBIENT
from hutwright.model.project import Project
from hutwright.plant.protection import (
    OVERLOAD_SHARE,
    ShortCircuit,
    cables_behind,
    guarded,
    short_circuit,
    unguarded_starts,
)
from hutwright.sources import FUSE_CABLE_COORDINATION, IEC_60364_5_52_AMBIENT, OHM
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.trades.wiring.fusing import (
    CONVENTIONAL,
    asks_for,
    carries,
    duty,
    new_fuse,
    stouter,
    stouter_together,
)
from hutwright.units import NUMBER


def ask(project: Project) -> tuple[Check, ...]:
    """Each fuse against the weakest cable behind it, and each cable that leaves a supply without a fuse.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each fuse that stands before a cable, and for each unguarded start.
    """
    fused = (_fused(project, name) for name in project.fuses if guarded(project, name))
    bare = (_bare(project, name) for name in unguarded_starts(project))
    return (*fused, *(check for check in bare if check is not None))


def _capacity(project: Project, cable: str) -> Step:
    """What a cable carries for ever on the warmest day."""
    numbers = {
        "I_30": amperes(project.cables[cable].capacity),
        "T_limit": Number(PVC_LIMIT, units.TEMPERATURE),
        "T_air": Number(project.site.air.warmest, units.TEMPERATURE),
        "T_30": Number(REFERENCE_AMBIENT, units.TEMPERATURE),
    }
    return Step(
        symbol="I_z",
        formula="I_30 * sqrt(max(0, T_limit - T_air) / (T_limit - T_30))",
        numbers=numbers,
        result=amperes(carries(project, cable)),
        words=f"what the {cable} cable, the weakest, carries for ever on the warmest day: the limit",
    )


def _fused(project: Project, name: str) -> Check:
    fuse, cables = project.fuses[name], guarded(project, name)
    kind = FUSES[fuse.kind]
    weakest = min(cables, key=lambda cable: carries(project, cable))
    value = asks_for(kind, fuse.rating)
    asked = Step(
        symbol="I_asked",
        formula="I_n * max(1, m_2 / m_z)",
        numbers={
            "I_n": amperes(fuse.rating),
            "m_2": Number(kind.conventional_multiple, NUMBER),
            "m_z": Number(CONVENTIONAL, NUMBER),
        },
        result=amperes(value),
        words=f"what a cable must carry: {name} opens for sure at {kind.conventional_multiple:g} times its "
        f"rating, and a cable stands {CONVENTIONAL:g} times its own for so long",
    )
    smaller = Dial(
        path=("fuses", name, "rating"),
        dimension=units.CURRENT,
        lowest=max(kind.ratings[0], duty(project, cables).least_rating(kind)),
        highest=kind.ratings[-1],
        words=f"put {name} in with a rating of",
        effort=Effort.BUY_SMALL,
        sizes=kind.ratings,
    )
    together = stouter_together(project, cables)
    return Check(
        subject=name,
        value=value,
        limit=carries(project, weakest),
        dimension=units.CURRENT,
        sense=Sense.AT_MOST,
        method=IEC_60364_5_52_AMBIENT,
        limit_from=FUSE_CABLE_COORDINATION,
        working=(_capacity(project, weakest), asked),
        levers=(smaller, stouter(project, weakest), *((together,) if together is not None else ())),
        meaning="A fuse above this lets a cable get hot enough to start a fire before it opens.",
    )


def _bare(project: Project, name: str) -> Check | None:
    cables, coldest = cables_behind(project, name), project.site.air.coldest
    shorts = {
        cable: short for cable in cables if (short := short_circuit(project, cable, coldest)) is not None
    }
    if not shorts:
        return None
    worst = min(shorts, key=lambda cable: carries(project, cable) - shorts[cable].current)
    short = shorts[worst]
    pick, together = new_fuse(project, name, cables), stouter_together(project, cables)
    return Check(
        subject=f"{name}_cable" if name in project.fuses else name,
        value=short.current,
        limit=carries(project, worst),
        dimension=units.CURRENT,
        sense=Sense.AT_MOST,
        method=OHM,
        limit_from=CORES[project.cables[worst].core].capacity_source,
        working=(_capacity(project, worst), short_step(short, worst, "on the coldest day")),
        levers=tuple(each for each in (pick, stouter(project, worst), together) if each is not None),
        meaning=f"The {name} cable leaves {project.cables[name].from_} without a fuse: in a short circuit "
        "nothing but the supply itself limits the current.",
    )


def short_step(short: ShortCircuit, cable: str, when: str) -> Step:
    """The current of a short circuit at the far end of a cable."""
    numbers = {
        "U_supply": volts(short.voltage),
        "R_supply": ohms(short.source),
        "R_cables": ohms(short.cables),
    }
    formula, words = (
        "U_supply / (R_supply + R_cables)",
        f"in a short circuit at the end of the {cable} cable {when}",
    )
    if short.most < short.voltage / (short.source + short.cables):
        numbers["I_most"] = amperes(short.most)
        formula = f"min({formula}, I_most)"
        words += f", where the power supply gives {OVERLOAD_SHARE:g} times its rating at most"
    return Step(
        symbol="I_short", formula=formula, numbers=numbers, result=amperes(short.current), words=words
    )


QUESTION = Question(
    key="wiring.fuse_cable",
    title="Fuse against what its cables carry",
    concern=Concern.SAFETY,
    needs=(("supplies",), ("cables",)),
    ask=ask,
)
