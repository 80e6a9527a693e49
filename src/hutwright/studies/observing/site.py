"""What can be seen and remembered of the site, and heard by knocking at a wall."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees

from hutwright import units
from hutwright.catalogue.instruments import FISTS, SNOW_STICK
from hutwright.catalogue.snow import SNOW_KINDS
from hutwright.description.draft import LAYERS
from hutwright.description.question import Choice
from hutwright.description.questions import question_of
from hutwright.laws.observing import hand_elevation, snow_pressure
from hutwright.laws.propagation import Doubt
from hutwright.model.project import Project
from hutwright.studies.observing.observation import Blank, Observation, Target, WordTarget

DIRECTIONS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
TERRAINS = {  # EN 1991-1-4:2005, table 4.1, in everyday words; standing: second-hand
    "sea": "0",
    "open water": "I",
    "fields": "II",
    "trees and houses": "III",
    "town": "IV",
}


def _skyline(answers: Mapping[str, str]) -> object:
    pairs = []
    for number, name in enumerate(DIRECTIONS):
        height = degrees(float(hand_elevation(float(answers[name.lower()]))))
        pairs.append([f"{45 * number} deg", f"{height:.0f} deg"])
    return pairs


def _skyline_targets(_: Project) -> tuple[WordTarget, ...]:
    return (
        WordTarget(
            path=("site", "skyline"),
            words="what stands around, in eight directions",
            value=_skyline,
            needs=tuple(name.lower() for name in DIRECTIONS),
            noted=False,
        ),
    )


def _terrain_targets(_: Project) -> tuple[WordTarget, ...]:
    return (
        WordTarget(
            path=("site", "wind", "terrain"),
            words="how rough the ground upwind is",
            value=lambda answers: TERRAINS[answers["upwind"]],
            needs=("upwind",),
        ),
    )


def _snow_targets(kind: str) -> tuple[Target, ...]:
    weight = SNOW_KINDS[kind].unit_weight
    return (
        Target(
            path=("site", "snow", "ground"),
            words=f"load of {kind} snow that lay on the ground",
            dimension=units.PRESSURE,
            law=lambda read: snow_pressure(read["depth"], read["unit_weight"]),
            fixed={"unit_weight": weight.nominal},
            doubts={"unit_weight": Doubt(within=weight.high - weight.nominal)},
        ),
    )


def _snow(kind: str) -> Observation:
    words = {
        "fresh": "fresh and dry, of one day",
        "settled": "some days old",
        "old": "weeks old",
        "wet": "wet and heavy",
    }[kind]
    return Observation(
        key=f"snow_{kind}",
        title=f"The deepest snow remembered, {words}: its load on the ground",
        minutes=1,
        caution="A remembered winter is not the hardest of fifty years: where the code's map says more, that "
        "counts.",
        steps=("Remember, or ask a neighbour, how deep it lay at its deepest on open ground.",),
        blanks=(Blank(key="depth", words="how deep it lay", instrument=SNOW_STICK),),
        targets=lambda _: _snow_targets(kind),
    )


def _wall_targets(project: Project) -> tuple[WordTarget, ...]:
    if project.hut is None:
        return ()
    return (
        WordTarget(
            path=("build_ups", project.hut.walls.build_up),
            words="layers of the walls",
            value=lambda answers: list(LAYERS[answers["sound"]]),
            needs=("sound",),
            noted=False,
        ),
        WordTarget(
            path=("hut", "walls", "moisture"),
            words="how wet the walls are",
            value=lambda answers: answers["moisture"],
            needs=("moisture",),
        ),
    )


SKYLINE_HANDS = Observation(
    key="skyline_hands",
    title="Fists at arm's length in eight directions: what stands in the way of satellites",
    minutes=10,
    steps=(
        "Stand where the hut is, your eye as high as the machine's antenna if you can.",
        "Stretch an arm, lower edge of the fist on the horizon, and put fist on fist up to the top of what "
        "stands there. Count; a finger is a fifth of a fist.",
        "Write 0 where nothing stands.",
    ),
    blanks=tuple(
        Blank(key=name.lower(), words=f"fists towards {name}", instrument=FISTS) for name in DIRECTIONS
    ),
    targets=_skyline_targets,
)

TERRAIN_LOOK = Observation(
    key="terrain_look",
    title="A look upwind: how rough the ground is",
    minutes=2,
    steps=("Look where the worst storms come from, as far as you can see, up to a kilometre.",),
    blanks=(
        Blank(
            key="upwind",
            words="what lies there",
            choices=(
                Choice(value="sea", words="the open sea"),
                Choice(value="open water", words="a lake, or flat ground without anything on it"),
                Choice(value="fields", words="fields and meadows with a hedge or house here and there"),
                Choice(value="trees and houses", words="scattered trees and houses, a village, a wood"),
                Choice(value="town", words="a town, houses wall to wall"),
            ),
        ),
    ),
    targets=_terrain_targets,
)

WALL_KNOCK = Observation(
    key="wall_knock",
    title="Knocking at a wall and looking at its edge: what radio waves meet",
    minutes=5,
    steps=(
        "Knock: wood sounds dull, sheet metal rings.",
        "Look at an edge or a screw hole for a shining foil between the boards.",
        "Feel the boards after rain: dark and cold is wet.",
    ),
    blanks=(
        Blank(
            key="sound",
            words="what it is",
            choices=question_of("walls").choices,
        ),
        Blank(
            key="moisture",
            words="how wet it is",
            choices=(Choice(value="dry", words="dry"), Choice(value="wet", words="wet")),
        ),
    ),
    targets=_wall_targets,
)

OBSERVATIONS = (SKYLINE_HANDS, TERRAIN_LOOK, *(_snow(kind) for kind in SNOW_KINDS), WALL_KNOCK)
