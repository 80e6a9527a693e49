"""What a luggage scale and a tape tell of the door."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from hutwright import units
from hutwright.catalogue.instruments import LUGGAGE_SCALE, PROTRACTOR, RULE, TAPE
from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.observing import leaf_mass, load_and_friction
from hutwright.laws.propagation import Doubt
from hutwright.model.door import Door, DoorKind
from hutwright.model.project import Project
from hutwright.studies.observing.observation import Blank, Floats, Observation, Readings, Target

LEVEL = (DoorKind.TOP_HINGED, DoorKind.BOTTOM_HINGED)
ASKEW = 0.02  # a pull that is not quite square to the leaf: standard deviation as a share [-]
UNEVEN = 0.05  # centre of gravity off the leaf's middle, as a share of its height, either way: ours to choose
SETTLED = 0.10  # of a seal's force from push to push, standard deviation: ours to choose
CAREFUL = (
    "Take the rod off the leaf first, and hold the leaf: it falls. Keep hands out of the gap at the hinge."
)

Law = Callable[[Readings], Floats]
Fixed = Mapping[str, float]
Doubts = Mapping[str, Doubt]
NONE: Fixed = MappingProxyType({})
NO_DOUBTS: Doubts = MappingProxyType({})


def _pull(key: str, words: str) -> Blank:
    return Blank(key=key, words=words, instrument=LUGGAGE_SCALE)


def _door(project: Project, *kinds: DoorKind) -> Door | None:
    door = project.door
    return door if door is not None and door.kind in kinds else None


def _mass(door: Door, law: Law, fixed: Fixed = NONE, doubts: Doubts = NO_DOUBTS) -> Target:
    return Target(
        path=("door", "leaf", "mass"),
        words=f"mass of the leaf without its fittings, which count {door.leaf.fittings:.2g} kg",
        dimension=units.MASS,
        law=law,
        fixed=fixed,
        doubts=doubts,
        least=0.01,
    )


def _hinge_friction(law: Law, fixed: Fixed, doubts: Doubts) -> Target:
    return Target(
        path=("door", "hinge", "friction"),
        words="friction moment of all hinges",
        dimension=units.TORQUE,
        law=law,
        fixed=fixed,
        doubts=doubts,
    )


def _track_friction(law: Law, fixed: Fixed = NONE, doubts: Doubts = NO_DOUBTS) -> Target:
    return Target(
        path=("door", "track", "friction"),
        words="friction of the track as a share of the leaf's weight",
        dimension=units.RATIO,
        law=law,
        fixed=fixed,
        doubts=doubts,
    )


def _leaf_targets(project: Project) -> tuple[Target, ...]:
    door = _door(project, *LEVEL)
    if door is None:
        return ()
    reach = door.leaf.height / 2.0

    def loads(read: Readings) -> tuple[Floats, Floats]:
        square = 1.0 + read["askew"]
        half = load_and_friction(read["half_up"] * square, read["half_down"] * square)
        opened = load_and_friction(read["open_up"] * square, read["open_down"] * square)
        return np.stack([half[0], opened[0]]), np.stack([half[1], opened[1]])

    def mass(read: Readings) -> Floats:
        load, _ = loads(read)
        angles = np.stack([read["half_angle"], read["open_angle"]])
        slope = np.sin(angles)
        each = leaf_mass(load, read["lever"], read["reach"], angles)
        return np.asarray((each * slope**2).sum(axis=0) / (slope**2).sum(axis=0) - door.leaf.fittings)

    def friction(read: Readings) -> Floats:
        return np.asarray(loads(read)[1].mean(axis=0) * read["lever"])

    fixed = {"askew": 0.0, "reach": reach}
    doubts = {"askew": Doubt(spread=ASKEW), "reach": Doubt(within=UNEVEN * reach)}
    return _mass(door, mass, fixed, doubts), _hinge_friction(friction, fixed, doubts)


def _hinge_targets(project: Project) -> tuple[Target, ...]:
    if _door(project, DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED) is None:
        return ()

    def friction(read: Readings) -> Floats:
        square = 1.0 + read["askew"]
        return np.asarray(0.5 * (read["half_opening"] + read["half_closing"]) * square * read["lever"])

    return (_hinge_friction(friction, {"askew": 0.0}, {"askew": Doubt(spread=ASKEW)}),)


def _track_targets(project: Project) -> tuple[Target, ...]:
    door = _door(project, DoorKind.SLIDING)
    if door is None:
        return ()
    weight = (door.leaf.mass + door.leaf.fittings) * FREE_FALL

    def friction(read: Readings) -> Floats:
        return np.asarray(0.5 * (read["open_pull"] + read["close_pull"]) / read["weight"])

    return (_track_friction(friction, {"weight": weight}, {"weight": Doubt(within=0.1 * weight)}),)


def _lift_targets(project: Project) -> tuple[Target, ...]:
    door = _door(project, DoorKind.LIFT)
    if door is None:
        return ()

    def mass(read: Readings) -> Floats:
        load, _ = load_and_friction(read["lift_up"], read["lift_down"])
        return np.asarray(load / FREE_FALL - door.leaf.fittings + door.counterweight)

    def friction(read: Readings) -> Floats:
        load, rubbing = load_and_friction(read["lift_up"], read["lift_down"])
        return np.asarray(rubbing / (load + door.counterweight * FREE_FALL))

    return _mass(door, mass), _track_friction(friction)


def _seal_targets(project: Project) -> tuple[Target, ...]:
    if project.door is None:
        return ()
    return (
        Target(
            path=("door", "seal", "force"),
            words="force of the seal at the edge, leaf shut",
            dimension=units.FORCE,
            law=lambda read: np.asarray((read["press"] - read["before"]) * (1.0 + read["settled"])),
            fixed={"settled": 0.0},
            doubts={"settled": Doubt(spread=SETTLED)},
        ),
    )


def _mount_targets(project: Project) -> tuple[Target, ...]:
    if project.linkage is None:
        return ()
    return (
        Target(
            path=("linkage", "mount_stiffness"),
            words="stiffness of brackets, pins and timber along the rod",
            dimension=units.STIFFNESS,
            law=lambda read: np.where(read["moved"] > 0.0, read["pull"] / read["moved"], np.nan),
            least=1.0,
        ),
    )


LEAF_SCALE = Observation(
    key="leaf_scale",
    title="A luggage scale at the edge of the leaf: its mass, and what the hinges rub",
    minutes=10,
    caution=CAREFUL,
    steps=(
        "Take the rod off, and hook the scale to the edge that is farthest from the hinge.",
        "Half open: pull square to the leaf, slowly, so that it just rises; read. Let it sink slowly; read.",
        "Do the same nearly open. Read the leaf's angles from upright with a phone laid on it.",
    ),
    blanks=(
        Blank(key="lever", words="from the hinge to where the scale pulls", instrument=TAPE),
        _pull("half_up", "half open, while it rises"),
        _pull("half_down", "half open, while it sinks"),
        Blank(key="half_angle", words="half open, angle from upright", instrument=PROTRACTOR),
        _pull("open_up", "nearly open, while it rises"),
        _pull("open_down", "nearly open, while it sinks"),
        Blank(key="open_angle", words="nearly open, angle from upright", instrument=PROTRACTOR),
    ),
    targets=_leaf_targets,
)

HINGE_SCALE = Observation(
    key="hinge_scale",
    title="A luggage scale at the edge of an upright-hinged leaf: what the hinges rub",
    minutes=5,
    caution=CAREFUL,
    steps=(
        "Take the rod off, and hook the scale to the edge that is farthest from the hinge.",
        "Half open: pull square to the leaf, slowly, towards open; read. Then towards shut; read.",
    ),
    blanks=(
        Blank(key="lever", words="from the hinge to where the scale pulls", instrument=TAPE),
        _pull("half_opening", "half open, while it opens"),
        _pull("half_closing", "half open, while it closes"),
    ),
    targets=_hinge_targets,
)

TRACK_SCALE = Observation(
    key="track_scale",
    title="A luggage scale along the track of a sliding leaf: what it rubs",
    minutes=5,
    caution=CAREFUL,
    steps=(
        "Take the drive off, and hook the scale to the leaf, in line with the track.",
        "Pull slowly towards open in the middle of the way; read. Then towards shut; read.",
    ),
    blanks=(_pull("open_pull", "while it opens"), _pull("close_pull", "while it closes")),
    targets=_track_targets,
)

LIFT_SCALE = Observation(
    key="lift_scale",
    title="A luggage scale above a lifting leaf: its mass, and what the track rubs",
    minutes=5,
    caution=CAREFUL,
    steps=(
        "Take the drive off, put a block under the leaf, and hook the scale above it.",
        "Lift it slowly; read. Let it sink slowly; read.",
    ),
    blanks=(_pull("lift_up", "while it rises"), _pull("lift_down", "while it sinks")),
    targets=_lift_targets,
)

SEAL_SCALE = Observation(
    key="seal_scale",
    title="A luggage scale against the seal: the force that the last way takes",
    minutes=5,
    caution=CAREFUL,
    steps=(
        "Take the rod off. Run a string from the leaf's edge into the hut, so that the scale pulls it shut.",
        "Read just before the seal touches, and then as the leaf is quite shut.",
    ),
    blanks=(
        _pull("before", "just before the seal touches"),
        _pull("press", "as the leaf is quite shut"),
    ),
    targets=_seal_targets,
)

MOUNT_PULL = Observation(
    key="mount_pull",
    title="A pull of about 10 kg at the drive's bracket: how stiff it is",
    minutes=10,
    caution="Keep your face out of the line of the string: it whips back where something gives way.",
    steps=(
        "Fix a rule beside the bracket, on something that the bracket does not move.",
        "Pull with the scale along the rod, with about 10 kg, and read how far the bracket goes.",
        "Let go and see that it comes back; do it three times and take the middle.",
    ),
    blanks=(
        _pull("pull", "pull along the rod"),
        Blank(key="moved", words="how far the bracket went", instrument=RULE),
    ),
    targets=_mount_targets,
)

OBSERVATIONS = (LEAF_SCALE, HINGE_SCALE, TRACK_SCALE, LIFT_SCALE, SEAL_SCALE, MOUNT_PULL)
