"""The levers that the questions about the drive share."""

from __future__ import annotations

from functools import lru_cache

from hutwright import units
from hutwright.catalogue.bridges import BRIDGES
from hutwright.catalogue.cores import larger
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.model.circuit import BRIDGE, DRIVE
from hutwright.model.drive import NoLoad, Rating
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.model.watched import apart
from hutwright.plant.circuit import feed
from hutwright.plant.motion import shares

# Speed times force is roughly constant within a family of drives; standing: practice. Gears offered, as
# multiples of the force: a choice of this project.
STRONGER = (1.5, 2.5, 4.0)
QUICKER = (0.67, 0.4)
GUSTS = (10.0, 7.0, 4.0)  # in which a door may be left alone: a choice of this project [m/s]
LESS_SLOW = 0.25  # steps of the last stretch's duty that are offered: a choice of this project [-]
KEPT = 64  # choices that are remembered: a choice of this project [-]
BRIDGE_PATH = ("electronics", "bridge")
WORKING = ("site", "wind", "working")
LAST = ("controller", "speed", "last")
# What the catalogue says of a kind; a value of the file's own would outlive the change.
BRIDGE_LIMITS = ("current_limit", "peak_limit")
OF_BRIDGE = (
    *BRIDGE_LIMITS,
    "offset",
    "resistance",
    "junction_limit",
    "lowest_supply",
    "quiescent",
    "cooling",
)


def geared(project: Project, gears: tuple[float, ...]) -> Pick | None:
    """The choice of a stronger, slower (or quicker, weaker) drive of the same family; None without a drive.

    Parameters
    ----------
    project : Project
        The project.
    gears : tuple of float
        Multiples of the present force, the nearest first. [-]
    """
    return (
        None
        if project.drive is None
        else _geared(apart(project.drive.rating), apart(project.drive.no_load), gears)
    )


@lru_cache(maxsize=KEPT)
def _geared(rating: Rating, free: NoLoad, gears: tuple[float, ...]) -> Pick:
    options = []
    for gear in gears:
        force = units.write_as(round(rating.force * gear, 1), units.FORCE, "N")
        speed, running_free = (
            units.write_as(round(each / gear, 5), units.SPEED, "mm/s") for each in (rating.speed, free.speed)
        )
        changes: dict[Keys, object] = {
            ("drive", "rating", "force"): force,
            ("drive", "rating", "speed"): speed,
            ("drive", "no_load", "speed"): running_free,
            ("drive", "stall", "force"): None,
            ("drive", "holding"): None,
        }
        options.append(Option(f"take a drive of the same family that gives {force} at {speed}", changes))
    words = "a stronger, slower drive of the family" if gears[0] > 1.0 else "a quicker, weaker drive of it"
    return Pick(words=words, options=tuple(options), effort=Effort.BUY_LARGE)


def second_channel(project: Project) -> Pick | None:
    """The choice of letting a second channel share the motor's current; None where there is none."""
    bridge = project.electronics.bridge if project.electronics is not None else None
    if bridge is None or bridge.paralleled > 1 or BRIDGES[bridge.kind].channels < 2:
        return None
    changes: dict[Keys, object] = {(*BRIDGE_PATH, "paralleled"): 2}
    changes |= {(*BRIDGE_PATH, name): None for name in BRIDGE_LIMITS}
    words = "join the bridge's two channels, paired as its data sheet says"
    return Pick(words="both channels for one motor", options=(Option(words, changes),), effort=Effort.REWIRE)


def better_bridge(project: Project) -> Pick | None:
    """The choice of a bridge that loses less; None where there is none."""
    bridge = project.electronics.bridge if project.electronics is not None else None
    if bridge is None:
        return None
    now = BRIDGES[bridge.kind]
    better = sorted(
        (
            kind
            for kind in BRIDGES.values()
            if kind.name != bridge.kind and kind.offset.nominal <= now.offset.nominal
        ),
        key=lambda kind: kind.offset.nominal + kind.resistance.nominal,
    )
    on_it = [name for name, each in project.regulators.items() if each.fed_by == BRIDGE]
    also = f", and a board of its own for {' and '.join(on_it)}" if on_it else ""
    options = tuple(
        Option(
            f"fit a bridge of the kind '{kind.name}'{also if not kind.carries_regulator else ''}",
            {
                (*BRIDGE_PATH, "kind"): kind.name,
                (*BRIDGE_PATH, "paralleled"): kind.channels,
                **{(*BRIDGE_PATH, name): None for name in OF_BRIDGE},
            },
        )
        for kind in better
    )
    return Pick(words="another bridge", options=options, effort=Effort.BUY_SMALL) if options else None


def motor_cables(project: Project) -> tuple[str, ...]:
    """Names of the cables between supply and drive, those before the bridge first."""
    fed = feed(project, BRIDGE)
    leads = tuple(name for name, cable in project.cables.items() if cable.to == DRIVE)
    return (*(fed.cables if fed is not None else ()), *leads)


def thicker(project: Project, cable: str) -> Dial:
    """The lever of a better conductor, with the cores that can be bought."""
    return Dial(
        path=("cables", cable, "resistance_per_length"),
        dimension=units.RESISTANCE_PER_LENGTH,
        lowest=1e-6,
        highest=1.0,
        words=f"lower the resistance of the {cable} cable's conductors to",
        effort=Effort.BUY_SMALL,
        buyable=_cores(project, cable),
    )


def _cores(project: Project, cable: str) -> tuple[Option, ...]:
    described, path = project.cables[cable], ("cables", cable)
    return tuple(
        Option(
            f"lay {name} in place of {described.core} as the {cable} cable",
            {(*path, "core"): name, (*path, "resistance_per_length"): None, (*path, "capacity"): None},
        )
        for name in larger(described.core)
    )


def calmer(project: Project) -> Pick | None:
    """The choice of leaving the door alone in more wind; None where it is left alone in any."""
    less = [gust for gust in GUSTS if gust < project.site.wind.working]
    options = tuple(
        Option(f"leave the door as it is in gusts above {gust:g} m/s", {WORKING: f"{gust:g} m/s"})
        for gust in less
    )
    if not options:
        return None
    return Pick(words="a door that waits for calmer weather", options=options, effort=Effort.SETTING)


def quicker_last(project: Project) -> Pick | None:
    """The choice of a last stretch that is less slow; None where it is as quick as the rest."""
    speed = shares(project)
    options = []
    duty = speed.last + LESS_SLOW
    while duty < speed.normal + LESS_SLOW and speed.last < speed.normal:
        share = min(duty, speed.normal)
        options.append(
            Option(
                f"run the last stretch before shut at a duty of {100.0 * share:.3g} %",
                {LAST: round(share, 4)},
            )
        )
        duty += LESS_SLOW
    if not options:
        return None
    return Pick(words="a last stretch that is less slow", options=tuple(options), effort=Effort.SETTING)


def together(project: Project) -> Pick | None:
    """The choice of a better bridge with one thing more: a quicker last stretch, or a stronger drive."""
    bridge = better_bridge(project)
    if bridge is None:
        return None
    last, gear = quicker_last(project), geared(project, STRONGER)
    more = (*(last.options if last is not None else ()), *(gear.options[1:2] if gear is not None else ()))
    best = bridge.options[0]
    options = tuple(
        Option(f"{best.words}; and {each.words}", {**best.changes, **each.changes}) for each in more
    )
    return Pick(words="another bridge with one thing more", options=options, effort=Effort.BUY_SMALL)


def worst_cable(project: Project) -> Dial | None:
    """The lever of the cable that takes most of the motor's voltage; None without any."""
    names = motor_cables(project)
    if not names:
        return None
    cables = project.cables
    return thicker(
        project, max(names, key=lambda name: cables[name].length * cables[name].resistance_per_length)
    )
