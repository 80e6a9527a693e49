"""The described hut as a simulated board: the firmware's own C, with the rehearsal's own door hung on it."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from hutwright.bench.electrics import supply_voltage
from hutwright.bench.plant import rod, sim_door
from hutwright.bench.settings import ends_of, eyes_of
from hutwright.description.described import Described
from hutwright.errors import RequestError
from hutwright.laws.water_permittivity import FREEZING
from hutwright.live.simulated_board import Felt, HostBoard
from hutwright.model.project import Project
from hutwright.native._door import ffi, lib
from hutwright.native.board_plan import CONTACTS, BoardPlan
from hutwright.native.records import Record
from hutwright.native.words import Commands, Ends, Eyes
from hutwright.plant.conditions import nominal
from hutwright.plant.motion import move
from hutwright.plant.travel import travel
from hutwright.studies.firmware_plan import firmware_plan
from hutwright.studies.rehearse import supply_ends

REST_MS, PRESS_MS = 2000, 300  # between two moves; a press, shorter than what clears a fault
WHOLE_MS = 1000  # the board's own rounds at rest, telemetry and the sensor's zero, go into it
ANEW_MS = 1000  # of rest, until the next move's weather comes: a choice of this project
LEFT_AT = 0.8  # share of the travel where it was left: a first move is slow, and need not be long
SUPPLY_ROOM, COUNTS = 1.5, 1024  # how much more than the supply a plain board can show; of its converter
SPRING = (10.0, 25.0)  # a mild week; a choice of this project [degC]


def stroke_of(project: Project) -> float | None:
    """The rod's way from shut to open [m]; None where it has none."""
    whole = rod(project).travel(travel(project).full)
    return whole if whole > 0.0 else None


class DescribedDoor:
    """The described door as a rehearsal plays it: rotor and leaf as two bodies, supply, sensor, in calm air.

    Before each move, after a while of rest, the weather and the supply are drawn anew, so that what is
    recorded has something to tell: no two moves are the same.

    Parameters
    ----------
    described : Described
        The description.
    air : tuple of float
        Lowest and highest temperature. [degC]
    seed : int
        What weather, supply and noise are drawn by. [-]

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described, or the drive does not open the door.
    """

    def __init__(self, described: Described, air: tuple[float, float], seed: int = 1) -> None:
        project = described.project
        calm = nominal(project)
        if not np.isfinite(move(project, calm, opening=True).total):
            raise RequestError(
                "--simulated: the described drive does not open the described door on a calm day; look at "
                "`hutwright check`, trade drive"
            )
        self._project, self._air, self._volts = project, air, supply_ends(described)
        self._draw = np.random.default_rng(seed)
        self._live = ffi.new("uint64_t[]", lib.sim_live_bytes() // 8 + 1)
        self._inputs = ffi.new("door_inputs *")
        self._full = travel(project).full
        self._rested = 0
        self._begin(LEFT_AT * self._full)

    @property
    def place(self) -> float:
        """0 shut, 1 open [-]."""
        return float(lib.sim_live_q(self._live)) / self._full

    def _begin(self, q: float) -> None:
        """Another day."""
        celsius = self._draw.uniform(*self._air)
        # The upper half of the supply's range: below that the controller may refuse to start.
        volts = None
        if self._volts is not None:
            volts = float(self._draw.uniform(0.5 * sum(self._volts), self._volts[1]))
        weather = nominal(self._project)._replace(temperature=celsius + FREEZING)
        self._record = np.ascontiguousarray(sim_door(self._project, weather, voltage=volts).reshape(1))
        self._door = ffi.cast("sim_door *", self._record.ctypes.data)
        seed = int(self._draw.integers(1, 2**32))
        if not lib.sim_live_begin(self._door, min(max(q, 0.0), self._full), seed, self._live):
            raise RequestError(
                "--simulated: the described door cannot be simulated: a mass, a stiffness or a resistance is "
                "nothing; look at `hutwright check`"
            )

    def wait(self) -> None:
        """Let the day last: its rest begins now."""
        self._rested = 0

    def live(self, duty: float, *, enabled: bool) -> Felt:
        """Live through one millisecond; as of `Hung`."""
        self._rested = 0 if enabled else self._rested + 1
        if self._rested == ANEW_MS:
            self._begin(float(lib.sim_live_q(self._live)))
        lib.sim_live_tick(self._door, duty, enabled, self._live, self._inputs)
        read = self._inputs
        return Felt(
            read.current_mA / 1e3,
            read.supply_mV / 1e3,
            read.temperature_dC / 10.0,
            bool(read.limit_shut),
            bool(read.limit_open),
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
        Whether that somebody still waits before pressing anything: for whoever watches.
    """

    def __init__(self, board: HostBoard, contact: str) -> None:
        self.board = board
        self._bit, self._is_button = 1 << CONTACTS.index(contact), contact == "BUTTON"
        self._rested, self._ticks, self._held, self.waits = 0, 0, True, True

    def tick(self) -> None:
        """Live through one millisecond."""
        board = self.board
        self._ticks += 1
        if self._held:  # to a whole second, so that what comes does not hang on how long it was waited for
            self._held = self.waits or self._ticks % WHOLE_MS != 0
            if isinstance(board.hung, DescribedDoor):
                board.hung.wait()
        self._rested = self._rested + 1 if board.at_rest and not self._held else 0
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
    described: Described,
    settings: Record,
    folder: Path,
    compiler: Path,
    air: tuple[float, float] = SPRING,
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
    air : tuple of float
        Lowest and highest temperature that a move is made at. [degC]

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
    board = HostBoard(folder, settings, compiler, board_of(described), DescribedDoor(described, air))
    return SimulatedDoor(board, contact)
