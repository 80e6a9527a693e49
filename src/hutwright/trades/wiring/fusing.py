"""What several questions of the fuses ask, and the levers they share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hutwright import units
from hutwright.catalogue.cores import CORES, larger
from hutwright.catalogue.fuses import FUSES, FuseKind
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.errors import RequestError
from hutwright.laws.ampacity import ambient_factor
from hutwright.laws.fuse_time import Gate
from hutwright.model.project import Project
from hutwright.model.supplies import Fuse
from hutwright.plant.protection import ShortCircuit, guarded, running_current, short_circuit

CONVENTIONAL = 1.45  # IEC 60364-4-43, I_2 <= 1.45 I_z; standing: recalled
NEW_FUSE = "blade, ISO 8820-3 type C"  # offered where there is none: made for direct current
OWN_DROP = 0.05  # least that a small fuse takes at its rating, 0.05 to 0.2 V; standing: practice [V]
MOST_PER_KIND = 4  # ratings of one kind that a choice offers: a choice of this project


def firm_gates(fuse: Fuse) -> tuple[Gate, ...]:
    """Its printed points that are not from memory; none where its kind is not made in that rating."""
    try:
        return FUSES[fuse.kind].firm_gates(fuse.rating)
    except RequestError:
        return ()


def all_gates(fuse: Fuse) -> tuple[Gate, ...]:
    """All of its printed points; none where its kind is not made in that rating."""
    try:
        return FUSES[fuse.kind].gates(fuse.rating)
    except RequestError:
        return ()


def carries(project: Project, cable: str) -> float:
    """Current [A] that a cable carries for ever on the warmest day."""
    return ambient_factor(project.site.air.warmest) * project.cables[cable].capacity


def asks_for(kind: FuseKind, rating: float) -> float:
    """Current [A] that a cable must carry for ever behind a fuse."""
    return rating * max(1.0, kind.conventional_multiple / CONVENTIONAL)


@dataclass(frozen=True, slots=True)
class Duty:
    """What is asked of a fuse before some cables.

    Attributes
    ----------
    running : float
        Current that it carries for good. [A]
    carries : float
        Current that the weakest cable carries for ever. [A]
    shorts : tuple
        Short circuits that it may have to break.
    """

    running: float
    carries: float
    shorts: tuple[ShortCircuit, ...]

    def least_rating(self, kind: FuseKind) -> float:
        """Least rating [A] of a kind that carries the running current for good."""
        return self.running / kind.continuous_share

    def breaks(self, kind: FuseKind, rating: float) -> bool:
        """Whether a fuse of that kind and rating can break the short circuit."""
        most = max((each.behind_fuse(OWN_DROP / rating) for each in self.shorts), default=0.0)
        voltage = max((each.voltage for each in self.shorts), default=0.0)
        return kind.breaking_capacity(rating) >= most and kind.voltage >= voltage

    def fitting(self, kind: FuseKind) -> tuple[float, ...]:
        """Ratings [A] on sale that run, guard the cables and break the short circuit, rising."""
        return tuple(
            rating
            for rating in kind.ratings
            if rating >= self.least_rating(kind)
            and asks_for(kind, rating) <= self.carries
            and self.breaks(kind, rating)
        )


def duty(project: Project, cables: tuple[str, ...]) -> Duty:
    """What is asked of a fuse before some cables.

    Parameters
    ----------
    project : Project
        The project.
    cables : tuple of str
        Names of the cables, at least one.
    """
    shorts = (short_circuit(project, name, project.site.air.coldest) for name in cables)
    return Duty(
        running=running_current(project, cables),
        carries=min(carries(project, name) for name in cables),
        shorts=tuple(each for each in shorts if each is not None),
    )


def other_rating(project: Project, name: str, *, rising: bool) -> Pick | None:
    """The choice of another rating of the same kind, the nearest first; None where none fits."""
    fuse = project.fuses[name]
    kind, cables = FUSES[fuse.kind], guarded(project, name)
    fits = duty(project, cables).fitting(kind)
    if rising:
        ratings = [rating for rating in fits if rating > fuse.rating]
    else:
        ratings = [rating for rating in reversed(fits) if rating < fuse.rating]
    options = tuple(_replaced(name, fuse.kind, rating) for rating in ratings)
    return (
        Pick(words=f"another rating of {name}", options=options, effort=Effort.BUY_SMALL) if options else None
    )


def other_kind(project: Project, name: str) -> Pick | None:
    """The choice of another kind of fuse that can break the short circuit; None where none fits."""
    fuse, cables = project.fuses[name], guarded(project, name)
    options, asked = [], duty(project, cables)
    for kind in FUSES.values():
        if kind.name != fuse.kind:
            nearest = sorted(asked.fitting(kind), key=lambda rating: abs(rating - fuse.rating))[
                :MOST_PER_KIND
            ]
            options += [_replaced(name, kind.name, rating) for rating in nearest]
    return (
        Pick(words=f"another kind of {name}", options=tuple(options), effort=Effort.BUY_SMALL)
        if options
        else None
    )


def _replaced(name: str, kind: str, rating: float) -> Option:
    path = ("fuses", name)
    return Option(
        f"put a fuse of {rating:g} A ({kind}) in as {name}",
        {(*path, "kind"): kind, (*path, "rating"): f"{rating:g} A"},
    )


def new_fuse(project: Project, cable: str, cables: tuple[str, ...]) -> Pick | None:
    """The choice of a fuse at the start of a cable that has none; None where no rating suits its cables."""
    name, number = f"{cable[:30]}_fuse", 2
    while name in project.fuses:
        name, number = f"{cable[:30]}_fuse_{number}", number + 1
    ratings = duty(project, cables).fitting(FUSES[NEW_FUSE])
    options = tuple(
        Option(
            f"put a fuse of {rating:g} A ({NEW_FUSE}) at the start of the {cable} cable",
            {
                ("fuses", name, "kind"): NEW_FUSE,
                ("fuses", name, "rating"): f"{rating:g} A",
                ("cables", cable, "fuse"): name,
            },
        )
        for rating in ratings
    )
    return Pick(words="a fuse at its start", options=options, effort=Effort.BUY_SMALL) if options else None


def stouter(project: Project, cable: str) -> Dial:
    """The lever of a core that carries more for ever."""
    described = project.cables[cable]
    options = tuple(
        Option(f"lay {core} in place of {described.core} as the {cable} cable", _laid(cable, core))
        for core in larger(described.core)
    )
    return Dial(
        path=("cables", cable, "capacity"),
        dimension=units.CURRENT,
        lowest=0.1,
        highest=200.0,
        words=f"lay a {cable} cable that carries for ever, at 30 °C,",
        effort=Effort.REWIRE,
        buyable=options,
    )


def stouter_together(project: Project, cables: Iterable[str]) -> Pick | None:
    """The choice of one thicker core for all of some cables; None for a single cable, which has a dial."""
    names = tuple(cables)
    if len(names) < 2:
        return None
    thinnest = min(names, key=lambda name: CORES[project.cables[name].core].area)
    options = []
    for core in larger(project.cables[thinnest].core):
        thin = [name for name in names if CORES[project.cables[name].core].area < CORES[core].area]
        changes = {path: value for name in thin for path, value in _laid(name, core).items()}
        options.append(Option(f"lay {core} as {' and '.join(thin)}", changes))
    return Pick(words="thicker cables", options=tuple(options), effort=Effort.REWIRE) if options else None


def _laid(cable: str, core: str) -> dict[tuple[str, ...], object]:
    """The changes that lay another core, with that core's own resistance and capacity."""
    path = ("cables", cable)
    return {(*path, "core"): core, (*path, "resistance_per_length"): None, (*path, "capacity"): None}
