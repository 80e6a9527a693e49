"""What a bucket, a watch and a meter tell of the drive and its supply."""

from __future__ import annotations

import numpy as np

from hutwright import units
from hutwright.catalogue.instruments import (
    AMMETER,
    BUCKET,
    KITCHEN_SCALE,
    OHMMETER,
    PACE,
    PACES,
    STOPWATCH,
    TAPE,
    THERMOMETER,
    VOLTMETER,
)
from hutwright.laws.copper import winding_factor
from hutwright.laws.observing import current_at_listing, drop_resistance, water_weight
from hutwright.model.project import Project
from hutwright.studies.observing.observation import Blank, Floats, Observation, Readings, Target

ROOM, ROOM_UNSURE = 288.15, 10.0  # of a shed where nobody read it: 5 to 25 degC; ours to choose [K]
POWERED = (
    "A drive crushes: keep fingers off the rod, feed it through its fuse, and have somebody at the switch."
)
TEMPERATURE = Blank(
    key="temperature",
    words="temperature of the drive",
    instrument=THERMOMETER,
    usual=ROOM,
    unsure=ROOM_UNSURE,
)
CURRENT = Blank(key="current", words="current", instrument=AMMETER)
VOLTAGE = Blank(key="voltage", words="voltage at the drive's own terminals meanwhile", instrument=VOLTMETER)
WAY = Blank(key="way", words="how far the rod went", instrument=TAPE)
SECONDS = Blank(key="time", words="how long it took", instrument=STOPWATCH)


def _speed(read: Readings) -> Floats:
    return np.where(read["time"] > 0.0, read["way"] / read["time"], np.nan)


def _free_targets(project: Project) -> tuple[Target, ...]:
    drive = project.drive
    if drive is None:
        return ()
    listed = drive.rating.voltage

    def speed(read: Readings) -> Floats:
        return np.asarray(_speed(read) * listed / read["voltage"])

    return (
        Target(
            path=("drive", "no_load", "speed"),
            words="speed running free, at the listing's voltage",
            dimension=units.SPEED,
            law=speed,
            least=1e-6,
        ),
        Target(
            path=("drive", "no_load", "current"),
            words="current running free",
            dimension=units.CURRENT,
            law=lambda read: read["current"],
        ),
    )


def _loaded_targets(project: Project) -> tuple[Target, ...]:
    drive = project.drive
    if drive is None:
        return ()
    listed = drive.rating.voltage

    def speed(read: Readings) -> Floats:
        resistance = drive.motor.resistance or listed / drive.stall.current
        behind = read["voltage"] - resistance * read["current"]
        return np.where(behind > 0.0, _speed(read) * (listed - resistance * read["current"]) / behind, np.nan)

    return (
        Target(
            path=("drive", "rating", "force"),
            words="weight that it lifted",
            dimension=units.FORCE,
            law=lambda read: water_weight(read["water"], read["tare"]),
            least=1e-3,
        ),
        Target(
            path=("drive", "rating", "speed"),
            words="speed with that weight, at the listing's voltage",
            dimension=units.SPEED,
            law=speed,
            least=1e-6,
        ),
        Target(
            path=("drive", "rating", "current"),
            words="current with that weight",
            dimension=units.CURRENT,
            law=lambda read: read["current"],
            least=1e-3,
        ),
    )


def _stall_targets(project: Project) -> tuple[Target, ...]:
    drive = project.drive
    if drive is None:
        return ()
    listed = np.array(drive.rating.voltage)
    return (
        Target(
            path=("drive", "stall", "current"),
            words="current held fast, at the listing's voltage and 20 degC",
            dimension=units.CURRENT,
            law=lambda read: current_at_listing(
                read["current"], read["voltage"], listed, read["temperature"]
            ),
            least=1e-3,
        ),
    )


def _winding_targets(project: Project) -> tuple[Target, ...]:
    if project.drive is None:
        return ()

    def resistance(read: Readings) -> Floats:
        mean = (read["first"] + read["second"] + read["third"] + read["fourth"]) / 4.0
        return np.asarray((mean - read["leads"]) / winding_factor(read["temperature"]))

    return (
        Target(
            path=("drive", "motor", "resistance"),
            words="resistance of winding and brushes at 20 degC",
            dimension=units.RESISTANCE,
            law=resistance,
            least=1e-3,
        ),
    )


def _drop_targets(project: Project) -> tuple[Target, ...]:
    return tuple(
        Target(
            path=("supplies", name, "resistance"),
            words=f"inner resistance of {name}",
            dimension=units.RESISTANCE,
            law=lambda read: drop_resistance(read["idle"], read["loaded"], read["current"]),
            least=0.0,
        )
        for name in list(project.supplies)[:1]
    )


def _paced(name: str) -> Observation:
    def targets(project: Project) -> tuple[Target, ...]:
        if name not in project.cables:
            return ()
        return (
            Target(
                path=("cables", name, "length"),
                words=f"length of the cable {name}, one way",
                dimension=units.LENGTH,
                law=lambda read: np.asarray(read["paces"] * read["pace"]),
                least=0.01,
            ),
        )

    return Observation(
        key=f"paces_{name}",
        title=f"Paces along the cable {name}: how long it is",
        minutes=5,
        steps=(
            "Walk ten paces beside a tape, as you always walk; a tenth of that is your pace.",
            "Walk along the way of the cable and count; add what goes up and down walls, in paces.",
        ),
        blanks=(
            Blank(key="paces", words="paces along the cable, one way", instrument=PACES),
            Blank(key="pace", words="one pace", instrument=PACE),
        ),
        targets=targets,
    )


DRIVE_FREE = Observation(
    key="drive_free",
    title="The drive without load: a watch and an ammeter",
    minutes=10,
    caution=POWERED,
    steps=(
        "Take the rod off the leaf, and mark where its end stands.",
        "Let it run, not to its end, with the ammeter in one lead; read current and voltage in mid way.",
        "Stop it, and read how far it went and how long it took.",
    ),
    blanks=(WAY, SECONDS, CURRENT, VOLTAGE),
    targets=_free_targets,
)

DRIVE_BUCKET = Observation(
    key="drive_bucket",
    title="A bucket of water on the drive: what it lifts, how quickly, with what current",
    minutes=20,
    caution=POWERED + " Nobody stands under the bucket; put a crate beneath it.",
    steps=(
        "Fix the drive upright over an edge, and hang a bucket from its rod.",
        "Fill in water until it lifts it a good deal slower than the empty one, but well.",
        "Lift it, not to the end; read way, time, current and voltage, and the water on the bucket's marks.",
    ),
    blanks=(
        Blank(key="water", words="water in the bucket", instrument=BUCKET),
        Blank(key="tare", words="empty bucket with its rope", instrument=KITCHEN_SCALE),
        WAY,
        SECONDS,
        CURRENT,
        VOLTAGE,
    ),
    targets=_loaded_targets,
)

DRIVE_STALL = Observation(
    key="drive_stall",
    title="The drive held fast for one second: its stall current",
    minutes=10,
    caution=POWERED + " One second, no more, and never against a hand: it presses with all it has.",
    steps=(
        "Let the rod press against a beam that does not give.",
        "Switch on for one second with the ammeter in one lead; read the current, and the voltage at the "
        "drive meanwhile.",
        "Let it cool for five minutes before anything else.",
    ),
    blanks=(CURRENT, VOLTAGE, TEMPERATURE),
    targets=_stall_targets,
)

WINDING = Observation(
    key="winding",
    title="An ohmmeter at the drive: the winding, which tells its stall current",
    minutes=10,
    steps=(
        "Unplug the drive. Hold the meter's tips together and read its leads.",
        "Read between the drive's two wires at four places of the rod, a millimetre apart.",
    ),
    blanks=(
        Blank(key="leads", words="tips together", instrument=OHMMETER),
        Blank(key="first", words="first place", instrument=OHMMETER),
        Blank(key="second", words="second place", instrument=OHMMETER),
        Blank(key="third", words="third place", instrument=OHMMETER),
        Blank(key="fourth", words="fourth place", instrument=OHMMETER),
        TEMPERATURE,
    ),
    targets=_winding_targets,
)

SUPPLY_DROP = Observation(
    key="supply_drop",
    title="A voltmeter at the supply without and with a load: its inner resistance",
    minutes=5,
    caution="Do not short the poles. A battery that gasses can explode: no sparks beside it.",
    steps=(
        "Put the voltmeter on the supply's own poles and read it without load.",
        "Switch on a load of some amperes, such as the drive or a lamp; after one second read voltage and "
        "current.",
    ),
    blanks=(
        Blank(key="idle", words="voltage without load", instrument=VOLTMETER),
        Blank(key="loaded", words="voltage with the load", instrument=VOLTMETER),
        Blank(key="current", words="current of the load", instrument=AMMETER),
    ),
    targets=_drop_targets,
)

OBSERVATIONS = (DRIVE_FREE, DRIVE_BUCKET, DRIVE_STALL, WINDING, SUPPLY_DROP)


def cable_observations(project: Project) -> tuple[Observation, ...]:
    """One observation for each described cable."""
    return tuple(_paced(name) for name in project.cables)
