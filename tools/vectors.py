"""Writes the controller's test vectors: inputs and outputs, tick by tick, to be replayed anywhere.

Run as ``python -m tools.vectors``, from the top of the source, after a deliberate change of the controller.
A file holds a line on what it is, the sealed settings as bytes in hexadecimal, the names of the columns, and
a row for every stretch of ticks with the same inputs and outputs; an empty cell is as in the row before.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hutwright.native import records
from hutwright.native.words import Ends, Eye, LinkLost, Mode, Sense, Word
from tests.native.core.leaf import Leaf

FOLDER = Path(__file__).resolve().parent.parent / "tests" / "native" / "vectors"
INPUTS = tuple(records.INPUTS.names or ())
OUTPUTS = tuple(records.OUTPUTS.names or ())
# A converter's step, and how long a reading stays the same: real ones do neither change every millisecond.
STEP_MA, HOLD_MS = 74, 9
QUICK: dict[str, Any] = {"place_gain_q8": 65535, "ramp_ms": 40, "blind_ms": 60, "zero_ms": 40}


@dataclass(frozen=True)
class Vectors:
    """One file.

    Attributes
    ----------
    about : str
        What happens in it.
    settings : bytes
        The sealed settings as they lie in memory.
    rows : list
        For each stretch: how many ticks, the inputs, the outputs.
    """

    about: str
    settings: bytes
    rows: list[tuple[int, tuple[int, ...], tuple[int, ...]]]

    @property
    def ticks(self) -> int:
        """All stretches together [ms]."""
        return sum(number for number, *_ in self.rows)

    def text(self) -> str:
        """The file's text."""
        lines = [f"# {self.about}", f"settings,{self.settings.hex()}", ",".join(("ticks", *INPUTS, *OUTPUTS))]
        before: Sequence[int | None] = [None] * (len(INPUTS) + len(OUTPUTS))
        for number, inputs, outputs in self.rows:
            now = (*inputs, *outputs)
            cells = ["" if value == last else str(value) for value, last in zip(now, before, strict=True)]
            lines.append(",".join((str(number), *cells)))
            before = now
        return "\n".join(lines) + "\n"


def read(text: str) -> Vectors:
    """A file's text, read."""
    about, chosen, names, *lines = text.splitlines()
    if tuple(names.split(",")) != ("ticks", *INPUTS, *OUTPUTS):
        raise ValueError(f"columns: wanted ticks, {', '.join((*INPUTS, *OUTPUTS))}; got {names}")
    rows, now = [], [0] * (len(INPUTS) + len(OUTPUTS))
    for line in lines:
        number, *cells = line.split(",")
        now = [int(cell) if cell else last for cell, last in zip(cells, now, strict=True)]
        rows.append((int(number), tuple(now[: len(INPUTS)]), tuple(now[len(INPUTS) :])))
    return Vectors(about.removeprefix("# "), bytes.fromhex(chosen.removeprefix("settings,")), rows)


@dataclass
class Tape:
    """What a recorded leaf has been through.

    Attributes
    ----------
    rows : list
        For each stretch: how many ticks, the inputs, the outputs.
    """

    rows: list[tuple[int, tuple[int, ...], tuple[int, ...]]] = field(default_factory=list)

    def add(self, inputs: tuple[int, ...], outputs: tuple[int, ...]) -> None:
        """One tick more."""
        if self.rows and self.rows[-1][1:] == (inputs, outputs):
            self.rows[-1] = (self.rows[-1][0] + 1, inputs, outputs)
        else:
            self.rows.append((1, inputs, outputs))


def _noise(chance: random.Random) -> Iterator[int]:
    while True:
        step = STEP_MA * chance.choice((-1, 0, 0, 1))
        for _ in range(HOLD_MS):
            yield step


class Recorded(Leaf):
    """A quick leaf whose every tick is kept."""

    def __init__(self, place: float = 0.0, **changes: Any) -> None:
        super().__init__(place, **(QUICK | changes))
        self.speed = QUICK["place_gain_q8"] / 41648.0
        self.tape = Tape()
        self._ripple = _noise(random.Random(5))

    def tick(self, word: int = Word.NOTHING) -> Any:
        """One millisecond, kept."""
        out = super().tick(word)
        self.tape.add(tuple(map(int, self.inputs.tolist())), tuple(map(int, out.tolist())))
        return out


# ---- what happens ------------------------------------------------------------------------------------


def there_and_back() -> Recorded:
    """Two limit switches: slow first opening, closing, opening, turned round."""
    leaf = Recorded()
    leaf.run(80).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    leaf.run(80).say(Word.CLOSE).run(250)
    leaf.say(Word.OPEN).run(150)
    leaf.say(Word.CLOSE)
    leaf.until(Mode.SHUT)
    return leaf.run(60)


def own_switches_in_the_cold() -> Recorded:
    """Switches inside the drive, sensor in the supply lead, cold and low supply outside the trained range."""
    steps = [2600 - 37 * at if at % 3 else 1500 for at in range(32)]
    detector = {"profile_mA": steps, "start_mA": [900, 800, 650, 500, 300, 200, 100, 50], "trip_mA": 1900,
                "rise_mA": 1700, "per_kelvin_uA": -2500, "per_volt_mA": 130}  # fmt: skip
    leaf = Recorded(ends=Ends.INSIDE, sense=Sense.SUPPLY, opening=detector, closing=detector)
    leaf.inputs["temperature_dC"], leaf.inputs["supply_mV"] = -123, 10876
    leaf.adds(-41)
    leaf.run(80).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    leaf.run(80).say(Word.CLOSE)
    leaf.until(Mode.SHUT, Mode.OPEN)
    leaf.run(80).say(Word.OPEN)
    leaf.until(Mode.OPEN, Mode.STOPPED)
    return leaf.run(30)


def obstructed() -> Recorded:
    """Obstructed while closing and while opening, until a person must clear it."""
    leaf = Recorded(1.0, most_reversals=2)
    leaf.run(80).say(Word.OPEN).run(5)
    leaf.decide["first_move"] = 0
    leaf.run(60).say(Word.CLOSE).run(200)
    leaf.blocked = (leaf.place, 1.0)
    leaf.until(Mode.REVERSING)
    leaf.until(Mode.OPEN)
    leaf.blocked = (0.0, 1.0)
    leaf.run(80).say(Word.CLOSE)
    leaf.until(Mode.SHUT)
    leaf.run(80).say(Word.OPEN).run(200)
    leaf.blocked = (0.0, leaf.place)
    leaf.until(Mode.STOPPED)
    leaf.run(80).say(Word.OPEN).run(150)
    leaf.inputs["present"] = Eye.SEES
    leaf.blocked = (0.0, leaf.place)
    leaf.until(Mode.FAULT)
    return leaf.press(1050)


def pressed_edge() -> Recorded:
    """An edge pressed while closing: briefly, for long, in the dead time; failing; and while opening."""
    leaf = Recorded(1.0, most_reversals=9)
    leaf.run(80).say(Word.OPEN).run(5)
    leaf.decide["first_move"] = 0
    leaf.inputs["supply_mV"], leaf.inputs["temperature_dC"] = 12340, 87
    for closing_ms, pressed_ms, says in ((200, 1, Eye.SEES), (330, 90, Eye.SEES), (12, 60, Eye.SEES),
                                         (260, 40, Eye.FAILED)):  # fmt: skip
        leaf.run(60).say(Word.CLOSE).run(closing_ms)
        leaf.inputs["edge"] = says
        leaf.run(pressed_ms)
        leaf.inputs["edge"] = Eye.CLEAR
        leaf.until(Mode.OPEN)
    leaf.run(60).say(Word.CLOSE)
    leaf.until(Mode.SHUT)
    leaf.run(60).say(Word.OPEN).run(150)
    leaf.inputs["edge"] = Eye.SEES
    leaf.run(40).say(Word.CLOSE)
    leaf.until(Mode.OPEN)
    leaf.run(30).say(Word.CLOSE).run(10)
    leaf.inputs["edge"] = Eye.CLEAR
    leaf.say(Word.CLOSE).run(200)
    leaf.inputs["edge"] = leaf.inputs["present"] = Eye.SEES
    leaf.run(5)
    leaf.inputs["edge"] = leaf.inputs["present"] = Eye.CLEAR
    leaf.until(Mode.OPEN)
    return leaf.run(30)


def all_ways_to_command() -> Recorded:
    """Button with bounce, relay, sensor, a lost link, closing by itself, the winter."""
    leaf = Recorded(1.0, auto_close_s=1, link_lost_ms=200, link_lost=LinkLost.STOP)
    for level in (1, 0, 1):
        leaf.inputs["button"] = level
        leaf.run(9)
    leaf.press(40).run(60)
    leaf.inputs["relay"] = 1
    leaf.run(60)
    leaf.inputs["relay"] = 0
    leaf.run(150)
    leaf.inputs["sensor"] = 1
    leaf.run(30)
    leaf.inputs["line_alive"] = 1
    leaf.tick()
    leaf.inputs["line_alive"], leaf.inputs["sensor"] = 0, 0
    leaf.run(230)
    leaf.press(30).run(60)
    leaf.until(Mode.OPEN, Mode.SHUT)
    leaf.run(1100)
    leaf.say(Word.STOP).run(40)
    leaf.say(Word.LAY_UP).run(30)
    leaf.say(Word.OPEN).run(10)
    return leaf.say(Word.WAKE).run(20)


def things_go_wrong() -> Recorded:
    """Wild readings, a low supply, both limits, an offset, current that nobody ordered; each cleared."""
    leaf = Recorded(place=1.0, place_gain_q8=9000)
    leaf.speed = 0.2
    leaf.run(80).say(Word.OPEN).run(80)
    leaf.say(Word.CLOSE).run(80)
    leaf.shows(32767).tick()
    leaf.current = int
    leaf.run(30)
    leaf.inputs["supply_mV"] = 9300
    leaf.run(60)
    leaf.inputs["supply_mV"] = 12000
    leaf.run(90)
    leaf.limits = {"shut": 1, "open": 1}
    leaf.run(3)
    leaf.limits = {}
    leaf.say(Word.OPEN).say(Word.CLEAR).run(90)
    for strange in (-32768, 320, 3000):
        leaf.shows(strange).run(130)
        leaf.current = int
        leaf.run(30).say(Word.CLEAR).run(90)
    leaf.moving = False
    leaf.say(Word.CLOSE)
    leaf.until(Mode.FAULT)
    return leaf.run(10)


def a_storm() -> Recorded:
    """Anything at any time, with the greatest and least readings there are."""
    chance = random.Random(20)
    leaf = Recorded(
        0.3, sense=Sense.SUPPLY, resistance_mohm=60000, most_reversals=9, opening={"profile_mA": 40000}
    )
    leaf.run(80)
    for _ in range(60):
        leaf.inputs["supply_mV"] = chance.choice((0, 9000, 12000, 12000, 12000, 65535))
        leaf.inputs["temperature_dC"] = chance.choice((-32768, 200, 200, 32767))
        leaf.inputs["place_permille"] = chance.choice((0, 500, 1000, 40000, 65535, 65535))
        leaf.inputs["present"] = chance.choice((0, 1, 1, 1, 2, 3))
        leaf.inputs["edge"] = chance.choice((1, 1, 1, 2, 3))
        leaf.inputs["button"] = chance.choice((0, 0, 0, 1))
        leaf.adds(chance.choice((0, 0, 0, 300, 5000, 22000, -9000)))
        leaf.say(chance.choice([*Word, Word.OPEN, Word.CLOSE, Word.CLEAR, Word.WAKE])).run(
            chance.choice((3, 20, 60))
        )
    return leaf


SEQUENCES: tuple[Callable[[], Recorded], ...] = (
    there_and_back, own_switches_in_the_cold, obstructed, pressed_edge, all_ways_to_command,
    things_go_wrong, a_storm,
)  # fmt: skip


def record(sequence: Callable[[], Recorded]) -> Vectors:
    """One sequence, gone through."""
    leaf = sequence()
    about = (sequence.__doc__ or "").strip()
    return Vectors(about, leaf.controller.settings.tobytes(), leaf.tape.rows)


def main() -> None:
    """Write them all."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for sequence in SEQUENCES:
        vectors = record(sequence)
        path = FOLDER / f"{sequence.__name__}.csv"
        path.write_text(vectors.text(), encoding="utf-8")
        print(f"{path.name}: {vectors.ticks} ticks, {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
