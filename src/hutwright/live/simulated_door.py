"""The described hut as a simulated board: the firmware's own C, with the described door's currents on it."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from hutwright.bench.electrics import sensing, supply_voltage
from hutwright.bench.plant import rod
from hutwright.bench.settings import core_settings, ends_of, eyes_of
from hutwright.description.described import Described
from hutwright.errors import RequestError
from hutwright.laws.water_permittivity import FREEZING
from hutwright.live.simulated_board import HostBoard, Leaf
from hutwright.model.project import Project
from hutwright.native.board_plan import CONTACTS, BoardPlan
from hutwright.native.records import PLACE_OPEN, Record
from hutwright.native.words import Commands, Ends, Eyes
from hutwright.plant.circuit import motor_loop
from hutwright.plant.conditions import nominal
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import move
from hutwright.plant.motor import line
from hutwright.plant.travel import travel
from hutwright.studies.firmware_plan import firmware_plan

SHARES = 101  # places at which currents are looked up: a choice of this project
REST_MS, PRESS_MS = 2000, 300  # between two moves; a press, shorter than what clears a fault
LEFT_AT = 0.8  # share of the travel where it was left: a first move is slow, and need not be long
SUPPLY_ROOM, COUNTS = 1.5, 1024  # how much more than the supply a plain board can show; of its converter
NOISE = 0.02  # of a sensor that is not described: a choice of this project [A]


def stroke_of(project: Project) -> float | None:
    """The rod's way from shut to open [m]; None where it has none."""
    whole = rod(project).travel(travel(project).full)
    return whole if whole > 0.0 else None


def described_leaf(project: Project) -> Leaf:
    """The described door on a calm day of 20 degC, as what hangs on a simulated board.

    Parameters
    ----------
    project : Project
        The project.

    Raises
    ------
    RequestError
        Where the drive does not move it even then.
    """
    calm, over = nominal(project), travel(project)
    drive = line(project, calm)
    went = move(project, calm, opening=True)
    if not np.isfinite(went.total):
        raise RequestError(
            "--simulated: the described drive does not open the described door on a calm day; look at "
            "`hutwright check`, trade drive"
        )
    places = np.linspace(0.0, 1.0, SHARES)
    currents = {}
    for way in (True, False):
        found = np.maximum(drive.current(rod_force(project, calm, opening=way)), 0.0)
        currents[way] = tuple(np.interp(places, over.places / over.full, found).tolist())
    ends, sensor, loop = ends_of(project), sensing(project), motor_loop(project, calm.temperature)
    settings = core_settings(project)
    return Leaf(
        travel=went.total * 1e3,
        per_volt=float(settings["place_gain_q8"]) / 256.0 * 1e3 / PLACE_OPEN,
        lost=(float(settings["drop_mV"]) / 1e3, float(settings["resistance_mohm"]) / 1e3),
        opening=currents[True],
        closing=currents[False],
        at_end=0.0 if ends is Ends.INSIDE else drive.stall_current,
        noise=NOISE if sensor is None else sensor.noise,
        supply=supply_voltage(project),
        source=drive.series_resistance - (0.0 if loop is None else loop.bridge + loop.lead),
        temperature=calm.temperature - FREEZING,
    )


def board_of(described: Described) -> BoardPlan:
    """The board as it is described, else a plain one with the same switches and eyes.

    Parameters
    ----------
    described : Described
        The description.
    """
    try:
        return firmware_plan(described).board
    except RequestError:
        eyes = eyes_of(described.project)
        return BoardPlan(
            limits=ends_of(described.project) is Ends.SWITCHES,
            present=Eyes.PRESENT in eyes,
            beam=Eyes.BEAM in eyes,
            edge=Eyes.EDGE in eyes,
            supply_per_count=SUPPLY_ROOM * supply_voltage(described.project) / COUNTS,
        )


class SimulatedDoor:
    """A simulated board with somebody beside it who opens and shuts the door by turns.

    Parameters
    ----------
    board : HostBoard
        The board.
    contact : str
        What that somebody uses: BUTTON or RELAY, of `board_plan.CONTACTS`.

    Attributes
    ----------
    waits : bool
        Whether that somebody still waits before pressing anything.
    """

    def __init__(self, board: HostBoard, contact: str) -> None:
        self.board = board
        self._bit, self._is_button = 1 << CONTACTS.index(contact), contact == "BUTTON"
        self._rested, self.waits = 0, False

    def tick(self) -> None:
        """Live through one millisecond."""
        board = self.board
        self._rested = self._rested + 1 if board.at_rest and not self.waits else 0
        if self._is_button:
            board.pressed = self._bit if self._rested >= REST_MS - PRESS_MS else 0
            self._rested = 0 if self._rested >= REST_MS else self._rested
        elif self._rested >= REST_MS:
            board.pressed, self._rested = board.pressed ^ self._bit, 0
        board.tick()

    def hear(self, data: bytes) -> None:
        """Take bytes from the line."""
        self.board.hear(data)

    def said(self) -> bytes:
        """Give what has been said since the last call."""
        return self.board.said()


def simulated_door(
    described: Described, settings: Record, folder: Path, compiler: Path, leaf: Leaf | None = None
) -> SimulatedDoor:
    """A described door, powered up.

    Parameters
    ----------
    described : Described
        The description.
    settings : record of SETTINGS
        What its store holds.
    folder : pathlib.Path
        An empty one, to compile in.
    compiler : pathlib.Path
        Of C.
    leaf : Leaf or None
        What hangs on it; the described one where none is given.

    Raises
    ------
    RequestError
        Where nobody could open it at the hut.
    """
    fitted = Commands(int(settings["commands"]))
    contact = "BUTTON" if Commands.BUTTON in fitted else "RELAY" if Commands.RELAY in fitted else ""
    if not contact:
        raise RequestError(
            "--simulated: neither button nor relay contact is among controller.commands, so nobody can move "
            'the simulated door; write "button" there'
        )
    hanging = leaf or described_leaf(described.project)
    board = HostBoard(folder, settings, compiler, board_of(described), hanging)
    board.place = LEFT_AT
    return SimulatedDoor(board, contact)
