"""The words of the C headers as enumerations; a test holds every one to its value in C."""

from __future__ import annotations

from enum import Enum, IntEnum, IntFlag


def spoken(member: Enum) -> str:
    """The name of a word of the code, or of another enumeration, as people say it: "laid up".

    Parameters
    ----------
    member : Enum
        Which; of a flag, one bit.
    """
    return str(member.name).lower().replace("_", " ")


class Mode(IntEnum):
    """What the controller is doing: ``door_mode``."""

    SHUT = 0
    OPENING = 1
    OPEN = 2
    CLOSING = 3
    REVERSING = 4
    STOPPED = 5
    FAULT = 6
    LAID_UP = 7


class Eye(IntEnum):
    """What a present sensor, a beam or a pressure edge says: ``door_eye``."""

    NONE = 0
    CLEAR = 1
    SEES = 2
    FAILED = 3


class Ends(IntEnum):
    """How the controller knows that the leaf has arrived: ``door_ends``."""

    SWITCHES = 0
    INSIDE = 1
    STALL = 2


class Sense(IntEnum):
    """Which lead the current sensor sees: ``door_sense``."""

    MOTOR = 0
    SUPPLY = 1


class Word(IntEnum):
    """A command on the line: ``door_word``."""

    NOTHING = 0
    OPEN = 1
    CLOSE = 2
    STOP = 3
    CLEAR = 4
    LAY_UP = 5
    WAKE = 6


class LinkLost(IntEnum):
    """What a lost remote link does: ``door_link_lost``."""

    STAY = 0
    STOP = 1
    CLOSE = 2


class Why(IntEnum):
    """Why the controller did what it did last: ``door_why``."""

    NOTHING = 0
    POWER_UP = 1
    BUTTON = 2
    RELAY = 3
    LINE = 4
    SENSOR = 5
    AUTO_CLOSE = 6
    LINK_LOST = 7
    STOP = 8
    SUPPLY = 9
    VETO = 10
    RESIDUAL = 11
    RISE = 12
    BACKSTOP = 13
    EDGE = 14
    LIMIT = 15
    FAULT = 16
    REFUSED = 17
    BACKED_OFF = 18


class Fault(IntEnum):
    """What keeps the drive off until a person clears it: ``door_fault``."""

    WELL = 0
    BAD_SETTINGS = 1
    BOTH_LIMITS = 2
    LIMIT_STUCK = 3
    SENSOR_RANGE = 4
    SENSOR_STUCK = 5
    NO_CURRENT = 6
    CURRENT_WITHOUT_DUTY = 7
    RUN_TOO_LONG = 8
    TOO_MANY_REVERSALS = 9
    SLIPPED = 10


class Counter(IntEnum):
    """What is counted for ever: ``door_counter``, its last value left out."""

    POWER_UPS = 0
    STARTS = 1
    COMPLETED = 2
    RESIDUAL = 3
    RISE = 4
    BACKSTOP = 5
    EDGE = 6
    VETO = 7
    SUPPLY = 8
    STOPS = 9
    REFUSED = 10
    LINK_LOST = 11
    SLIPS = 12
    FAULTS = 13
    OUTSIDE_TRAINED = 14


class Refusal(IntEnum):
    """Why settings are refused: ``door_refusal``."""

    GOOD = 0
    VERSION = 1
    CHECKSUM = 2
    SENSE = 3
    ENDS = 4
    DUTY = 5
    RAMP = 6
    DEAD_TIME = 7
    LAST = 8
    RUN_CAP = 9
    BACKSTOP = 10
    DETECTOR = 11
    PROFILE = 12
    REGRESSION = 13
    SUPPLY = 14
    PLACE = 15
    ZERO = 16
    REVERSAL = 17
    COMMAND = 18
    WINDOW = 19


class Commands(IntFlag):
    """Ways to command that are fitted: ``DOOR_BY_…``."""

    BUTTON = 1
    RELAY = 2
    LINE = 4
    SENSOR = 8


class Eyes(IntFlag):
    """Eyes that are fitted: ``DOOR_HAS_…``."""

    PRESENT = 1
    BEAM = 2
    EDGE = 4


class Linkage(IntEnum):
    """How the rod's length follows the leaf: ``sim_linkage``."""

    ROD_TURNING = 0
    ROD_SLIDING = 1
    DIRECT = 2


class EventKind(IntEnum):
    """What happens to the simulated door: ``sim_kind``."""

    WORD = 0
    BUTTON = 1
    RELAY = 2
    SENSOR = 3
    LINE = 4
    PRESENT = 5
    BEAM = 6
    EDGE = 7
    OBSTACLE = 8
    PUSH = 9
    GUST = 10
    SUPPLY = 11
    POWER = 12
    LIMIT_SHUT = 13
    LIMIT_OPEN = 14
    SENSOR_FAULT = 15
    BRIDGE_STUCK = 16
    SLIP = 17
    ICE = 18
    DRAG = 19
    TEMPERATURE = 20


class When(IntEnum):
    """When it happens: ``sim_when``."""

    AT_TIME = 0
    PASSING_OPENING = 1
    PASSING_CLOSING = 2


class Ended(IntEnum):
    """Why a run ended before its time: ``sim_result.ended_early``."""

    NOT_EARLY = 0
    SETTLED = 1
    CANCELLED = 2
    SENSELESS = 3


class Broken(IntFlag):
    """Promises that a command broke: ``SIM_BROKE_…``."""

    BOTH_SIDES = 1
    VETO = 2
    RUN_CAP = 4
    STOP = 8
    DEAD_TIME = 16
    FAULT = 32
