"""What a board is told before it is built: its pins, its scales, and the settings it begins with.

Nothing is measured or decided here; a plan becomes the text of ``board_config.h``, and sealed settings become
the first content of the board's store.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from hutwright.native import records
from hutwright.native._door import ffi, lib
from hutwright.native.engine import refusal
from hutwright.native.records import Record
from hutwright.native.words import Refusal

# The store's map, as in ``boards/parts/store.h``. [bytes]
STORE_BYTES = 1024
SLOT_BYTES = 282

# Pins of the 8-bit board: port and bit. The PWM, the serial line and the two-wire bus are tied to theirs.
PINS = {
    "ENABLE_A": ("D", 4), "ENABLE_B": ("D", 5), "MAY_LEAVE": ("B", 5), "LIMIT_SHUT": ("D", 6),
    "LIMIT_OPEN": ("D", 7), "BUTTON": ("B", 0), "RELAY": ("D", 2), "SENSOR": ("D", 3), "BEAM": ("B", 3),
    "EDGE": ("B", 4), "PING": ("C", 3), "ECHO": ("C", 2),
}  # fmt: skip
# Bits of port_contacts(), in order.
CONTACTS = ("LIMIT_SHUT", "LIMIT_OPEN", "BUTTON", "RELAY", "SENSOR", "BEAM", "EDGE")
# Sound goes there and back: at 340 m/s, a unit of 64 us is 10.9 mm of distance.
ECHO_UNIT = 64e-6
SOUND = 340.0
TIED = {("B", 1), ("B", 2), ("C", 4), ("C", 5), ("D", 0), ("D", 1)}


@dataclass(frozen=True, kw_only=True, slots=True)
class BoardPlan:
    """One board as it is wired.

    Attributes
    ----------
    paralleled : bool
        Whether both channels of the bridge drive the one motor.
    limits : bool
        Whether limit switches come to the board.
    present : bool
        Whether a pulse-echo present sensor is fitted.
    beam : bool
        Whether a beam is fitted.
    edge : bool
        Whether a pressure edge is fitted.
    display : bool
        Whether a character display is on the two-wire bus.
    display_address : int
        Its address there, of 7 bits.
    near : float
        Nearer than this, something stands in the doorway. [m]
    current_per_count : float
        Of the current sensor and the converter together. [A]
    current_zero : int
        What the converter shows at no current. [counts]
    supply_per_count : float
        Of the supply's divider and the converter together. [V]
    temperature_per_count : float
        Of the temperature sensor. [K]
    temperature_zero : int
        What it shows at 0 degC. [counts]
    open_contacts : tuple of str
        Contacts that open where the others close, of `CONTACTS`; broken wire then counts as made.
    pins : dict
        Where each line is: port and bit.
    """

    paralleled: bool = False
    limits: bool = True
    present: bool = True
    beam: bool = False
    edge: bool = False
    display: bool = True
    display_address: int = 0x27
    near: float = 0.6
    current_per_count: float = 5.0 / 1024 / 0.1
    current_zero: int = 512
    supply_per_count: float = 5.0 / 1024 * 4.0
    temperature_per_count: float = 5.0 / 1024 / 0.01
    temperature_zero: int = 102
    open_contacts: tuple[str, ...] = ()
    pins: dict[str, tuple[str, int]] = field(default_factory=lambda: dict(PINS))

    def __post_init__(self) -> None:
        """Refuse what cannot be wired."""
        if set(self.pins) != set(PINS):
            raise ValueError(f"pins: wanted {', '.join(PINS)}; got {', '.join(self.pins)}")
        taken = list(self.pins.values())
        for name, pin in self.pins.items():
            if pin[0] not in "BCD" or not 0 <= pin[1] <= 7 or pin in TIED or taken.count(pin) > 1:
                raise ValueError(f"pins: {name} on {pin[0]}{pin[1]}: not there, tied, or used twice")
        if set(self.open_contacts) - set(CONTACTS):
            raise ValueError(f"open_contacts: wanted some of {', '.join(CONTACTS)}; got {self.open_contacts}")
        for name in ("current_per_count", "supply_per_count", "temperature_per_count"):
            if not 0.0 < _q8(name, getattr(self, name)) < 65536:
                raise ValueError(f"{name}: {getattr(self, name):g} is beyond what the board can scale")
        units = self.near_units
        if not 3 <= units <= 230:
            raise ValueError(f"near: wanted 0.03 m to 2.5 m; got {self.near:g} m")

    @property
    def near_units(self) -> int:
        """Echo time of `near`, in units of 64 us."""
        return round(2.0 * self.near / SOUND / ECHO_UNIT)


def _q8(name: str, per_count: float) -> int:
    """In mA, mV or tenths of a degree, in 1/256."""
    return round(per_count * (10.0 if name.startswith("temperature") else 1000.0) * 256.0)


def config_text(plan: BoardPlan) -> str:
    """The text of ``board_config.h`` for that plan."""
    wanted = {
        "BEAM": plan.beam, "EDGE": plan.edge, "LIMIT_SHUT": plan.limits, "LIMIT_OPEN": plan.limits,
    }  # fmt: skip
    low = sum(
        1 << bit
        for bit, name in enumerate(CONTACTS)
        if wanted.get(name, True) and name not in plan.open_contacts
    )
    group = "BCD".index(plan.pins["ECHO"][0])
    lines = {
        "CLOCK_HZ": "16000000UL", "PWM_TOP": "400u", "BAUD": "57600UL",
        "PARALLELED": int(plan.paralleled), "HAS_LIMITS": int(plan.limits), "HAS_BEAM": int(plan.beam),
        "HAS_EDGE": int(plan.edge), "PRESENT": int(plan.present), "DISPLAY": int(plan.display),
        "DISPLAY_ADDRESS": f"{plan.display_address}u",
        "CURRENT_CHANNEL": "0u", "SUPPLY_CHANNEL": "1u", "TEMPERATURE_CHANNEL": "6u",
        "REFERENCE": "64u /* the analogue supply */",
        "CURRENT_ZERO_counts": f"{plan.current_zero}u",
        "CURRENT_mA_q8": f"{_q8('current', plan.current_per_count)}u",
        "SUPPLY_mV_q8": f"{_q8('supply', plan.supply_per_count)}u",
        "TEMPERATURE_ZERO_counts": f"{plan.temperature_zero}u",
        "TEMPERATURE_dC_q8": f"{_q8('temperature', plan.temperature_per_count)}u",
        "PRESENT_NEAR_units": f"{plan.near_units}u",
        "MADE_IS_LOW": f"{low}u /* bits of port_contacts() that are made where the pin is low */",
    }  # fmt: skip
    for name, (port, bit) in plan.pins.items():
        lines[name if name.startswith("ENABLE") else f"{name}_PIN"] = f"{port}, {bit}"
    lines["ECHO_VECTOR"] = f"PCINT{group}_vect"
    lines["ECHO_MASK"], lines["ECHO_GROUP"] = f"PCMSK{group}", f"PCIE{group}"
    return "\n".join(
        [
            "/* Written from the description of the hut: change that, not this. */",
            "#ifndef HUTWRIGHT_BOARD_CONFIG_H",
            "#define HUTWRIGHT_BOARD_CONFIG_H",
            "",
            *(f"#define BOARD_{name} {value}" for name, value in lines.items()),
            "",
            "#endif",
            "",
        ]
    )


def crc(data: bytes) -> int:
    """The checksum that lines, records and settings have in common."""
    made: int = lib.door_crc(ffi.from_buffer("uint8_t[]", data), len(data))
    return made


def store_image(settings: Record) -> bytes:
    """The store's first content: those settings in slot 0, everything else blank.

    Raises
    ------
    ValueError
        The controller would refuse the settings.
    """
    why = refusal(settings)
    if why != Refusal.GOOD:
        raise ValueError(f"settings: the controller refuses them: {why.name}")
    slot = records.checked(settings, records.SETTINGS, "settings").tobytes() + (1).to_bytes(2, "little")
    slot += crc(slot).to_bytes(2, "little")
    return slot + b"\xff" * (STORE_BYTES - len(slot))


def line_in(word: str, sequence: int, rest: str = "") -> bytes:
    """A line for the board, with its checksum.

    Parameters
    ----------
    word : str
        What is said: one of ``boards/parts/line.h``.
    sequence : int
        Its number, counted round at 65536. [-]
    rest : str
        What follows it.

    Returns
    -------
    bytes
        The line.
    """
    text = f"{word} {sequence % 65536}{' ' + rest if rest else ''}".encode("ascii")
    return text + f"*{crc(text):04X}\n".encode("ascii")
