"""A board that is watched: its moves recorded and compared, its ring fetched, its silences survived."""

from __future__ import annotations

import re
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from threading import Event
from typing import Any, Protocol

from hutwright import units
from hutwright.description.writing import write_atomic
from hutwright.evidence.logbook import Logbook, Move
from hutwright.evidence.trace import Way
from hutwright.laws.water_permittivity import FREEZING
from hutwright.live.drift import Drift, Standing
from hutwright.live.lines import Begun, Reply, Splitter, Telemetry, read_spoken
from hutwright.live.moves import Recorded, Recorder, trace_text
from hutwright.live.ring import RingFetch, read_ring_line
from hutwright.live.since import Since
from hutwright.native.records import Record, has_profile
from hutwright.native.words import Fault, Why, spoken

STEP = 0.02  # between two looks at the port: a choice of this project [s]
SILENCE = 3.0  # a board at rest speaks once a second: a choice of this project [s]
NEWS = 6  # sentences that are kept for the screen: a choice of this project
TRACES, BOOK = "traces", "watch.sqlite"  # in the project's folder
_NAME = re.compile(r"watched-(\d{6,})-(?:opening|closing)\.csv")


class Port(Protocol):
    """What is wanted of a port: `SerialPort` is one."""

    path: str
    why: str

    @property
    def is_open(self) -> bool:
        """Whether it is open, as far as is known."""
        ...

    def try_open(self, now: float) -> bool:
        """Open it where it is shut; whether it was opened in this call."""
        ...

    def read(self) -> bytes:
        """What has come since."""
        ...

    def send(self, line: bytes) -> bool:
        """Send a line now; whether it went out."""
        ...

    def close(self) -> None:
        """Let it go."""
        ...


class Kind(Enum):
    """Of what there is news."""

    MOVE = "move"
    DRIFT = "drift"
    FAULT = "fault"
    PORT = "port"
    RING = "ring"
    NOTE = "note"
    CLAIM = "claim"


@dataclass(frozen=True, slots=True)
class News:
    """Something that has happened.

    Attributes
    ----------
    kind : Kind
        Of what kind.
    text : str
        A sentence.
    values : dict
        The same for a program; every number carries its unit in its name.
    """

    kind: Kind
    text: str
    values: dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Compared:
    """What moves are compared with.

    Attributes
    ----------
    settings : record of SETTINGS
        The board's.
    stroke : float or None
        The rod's way from shut to open. [m]
    """

    settings: Record
    stroke: float | None

    def trip(self, way: Way) -> float:
        """Residual that means an obstruction [A].

        Parameters
        ----------
        way : Way
            Which way.
        """
        return float(self.settings[way.value]["trip_mA"]) / 1000.0

    def outside(self, move: Move) -> list[str]:
        """What of a move was never trained.

        Parameters
        ----------
        move : Move
            The move.

        Returns
        -------
        list of str
            One sentence for temperature, one for supply; none where both were trained.
        """
        settings, told = self.settings, []
        celsius = move.temperature - FREEZING
        low, high = (int(settings[f"trained_{end}_dC"]) / 10.0 for end in ("low", "high"))
        if not low <= celsius <= high:
            told.append(f"{celsius:.0f} degC; trained {low:.0f} to {high:.0f} degC")
        low, high = (int(settings[f"trained_{end}_mV"]) / 1000.0 for end in ("low", "high"))
        if not low <= move.least_supply <= high:
            told.append(f"{move.least_supply:.1f} V; trained {low:.1f} to {high:.1f} V")
        return told


class Watcher:
    """What is made of a board's lines.

    Parameters
    ----------
    compared : Compared
        What its moves are compared with.
    folder : pathlib.Path
        The project's: traces go into its folder of traces.
    book : Logbook
        The log book.
    tell : Callable
        Is told what happens.
    fetch : RingFetch or None
        Where the board's ring is wanted.
    """

    def __init__(
        self,
        compared: Compared,
        folder: Path,
        book: Logbook,
        tell: Callable[[News], None],
        fetch: RingFetch | None = None,
    ) -> None:
        self.compared, self.book, self.fetch = compared, book, fetch
        self._folder, self._tell = folder, tell
        self._splitter, self._drift = Splitter(), Drift()
        self.since = Since(self._checksum)
        for move in book.moves():
            self.since.take(move)
            if move.settings == self._checksum and (standing := self._drift.take(move)) is not None:
                self._drift.news(move.way, standing)
        blind = float(compared.settings["blind_ms"]) / 1000.0
        self.recorder = Recorder(_last_cycle(folder, book), blind=blind)
        self.last: Telemetry | None = None
        self.shown: list[Telemetry] = []  # the move that is on, else the last one
        self.last_heard = float("-inf")
        self.moves, self.port = 0, "not yet open"
        self.news: deque[str] = deque(maxlen=NEWS)
        self._new_records = 0
        self.since.offer()  # what was offered before is not said again
        raw = compared.settings.tobytes()
        book.record_settings(time.time(), self._checksum, raw)

    @property
    def is_trained(self) -> bool:
        """Whether the settings hold a profile that was learnt."""
        return has_profile(self.compared.settings)

    @property
    def _checksum(self) -> int:
        return int(self.compared.settings["checksum"])

    def tell(self, news: News) -> None:
        """Tell what has happened, on the screen too.

        Parameters
        ----------
        news : News
            What.
        """
        self.news.append(news.text)
        self._tell(news)

    def _say(self, kind: Kind, text: str, **values: Any) -> None:
        self.tell(News(kind, text, values))

    def port_came(self, path: str) -> None:
        """The port is open.

        Parameters
        ----------
        path : str
            Its name.
        """
        self.port = "open"
        self._splitter = Splitter()
        if self.fetch is not None:
            self.fetch.begin_again()
        self._say(Kind.PORT, f"the port {path} is open", open=True)

    def port_went(self, why: str) -> None:
        """The port is lost; it is tried again for as long as the watch goes on.

        Parameters
        ----------
        why : str
            What is wrong.
        """
        self.port, self.last = "lost; trying again", None
        cut = "; the move that was on is not recorded" if self.recorder.lost() else ""
        self._say(Kind.PORT, f"{why}; trying again{cut}", open=False)

    def bytes_came(self, data: bytes, now: float) -> bytes:
        """Take what came; what is to be answered.

        Parameters
        ----------
        data : bytes
            From the port.
        now : float
            By a steady clock. [s]
        """
        answer = b""
        for line in self._splitter.feed(data):
            said = read_spoken(line)
            if isinstance(said, Telemetry):
                self.last_heard = now
                self._telemetry(said)
            elif isinstance(said, Begun):
                self._begun(said)
            elif isinstance(said, Reply) and self.fetch is not None:
                answer += self.fetch.answered(said, now)
            elif said is None:
                self._ring(line)
        return answer

    def _begun(self, said: Begun) -> None:
        cut = "; the move that was on is not recorded" if self.recorder.lost() else ""
        refused = f"; it refuses its settings, reason {said.refusal}" if said.refusal else ""
        self._say(Kind.NOTE, f"the board has begun{refused}{cut}", refusal=said.refusal)
        if self.fetch is not None:
            self.fetch.begin_again()

    def _telemetry(self, said: Telemetry) -> None:
        before, self.last = self.last, said
        if said.fault is not Fault.WELL and (before is None or before.fault is not said.fault):
            self.book.record_fault(time.time(), int(said.fault), spoken(said.fault))
            self._say(Kind.FAULT, f"fault: {spoken(said.fault)}", fault=spoken(said.fault))
        recorded = self.recorder.hear(said)
        self.shown = self.recorder.running or self.shown
        if recorded is not None:
            self._ended(recorded)

    def _ended(self, recorded: Recorded) -> None:
        trace = recorded.trace
        name = f"{TRACES}/watched-{trace.cycle:06d}-{trace.way.value}.csv"
        move = recorded.move(at=time.time(), settings=self._checksum, file=name)
        when = time.strftime("%Y-%m-%d %H:%M:%S", time.gmtime(move.at))
        missing = "" if move.whole else "; lines of it are missing"
        remark = f"recorded by hutwright watch, {when} UTC; settings {self._checksum:04X}{missing}"
        (self._folder / TRACES).mkdir(exist_ok=True)
        write_atomic(self._folder / name, trace_text(recorded, stroke=self.compared.stroke, remark=remark))
        self.book.record(move)
        self.moves += 1
        standing = self._drift.take(move)
        outside = self.compared.outside(move)
        self._say(
            Kind.MOVE, _told(move, self.compared.trip(move.way), outside, standing), **_values(move, outside)
        )
        if standing is not None:
            for sentence in self._drift.news(move.way, standing):
                self._say(Kind.DRIFT, sentence, way=move.way.value, mean_score=round(standing.mean, 3))
        self._count(move)

    def _count(self, move: Move) -> None:
        """Refresh the claim after a cycle, and offer to calibrate again."""
        before = self.since.claim
        self.since.take(move)
        claim = self.since.claim
        if self.is_trained and claim != before:
            self._say(
                Kind.CLAIM,
                claim.words,
                cycles=claim.cycles,
                turned_back=claim.reversed,
                at_most_of_1000=round(1000 * claim.at_most, 1),
            )
        offer = self.since.offer()
        if offer is not None:
            self._say(Kind.CLAIM, offer, clean_cycles=self.since.clean)

    def _ring(self, line: bytes) -> None:
        found = read_ring_line(line)
        if found is None or self.fetch is None or self.fetch.done:
            return
        if found.record is not None and self.book.record_ring(time.time(), found.record):
            self._new_records += 1
        if self.fetch.heard():
            new = self._new_records
            self._say(
                Kind.RING, f"the board's ring is fetched; {new} of its records are new", new_records=new
            )

    def is_silent(self, now: float) -> bool:
        """Whether the board should have spoken long ago.

        Parameters
        ----------
        now : float
            By a steady clock. [s]
        """
        return now - self.last_heard > SILENCE


def _last_cycle(folder: Path, book: Logbook) -> int:
    """Of log book and traces the greater: no trace is overwritten where one of them was moved away."""
    found = [_NAME.fullmatch(each.name) for each in (folder / TRACES).glob("watched-*.csv")]
    return max([book.last_cycle(), *(int(each[1]) for each in found if each is not None)])


def _told(move: Move, trip: float, outside: list[str], standing: Standing | None) -> str:
    end = "arrived" if move.reached else f"did not arrive ({spoken(Why(move.why))})"
    text = (
        f"cycle {move.cycle} {move.way.value}: {end} after {move.duration:.1f} s; peak residual "
        f"{move.peak_residual:.2f} A of {trip:.2f} A that trip; least supply {move.least_supply:.1f} V; "
        f"{move.temperature - FREEZING:.0f} degC"
    )
    if not move.whole:
        text += "; lines of it are missing"
    if outside:
        text += f"; outside of the trained range: {', '.join(outside)}"
    if standing is not None and standing.left:
        text += f"; drift is judged after {standing.left} more"
    return text


def _values(move: Move, outside: list[str]) -> dict[str, Any]:
    return {
        "cycle": move.cycle,
        "way": move.way.value,
        "duration_s": round(move.duration, 3),
        "mean_current_A": round(move.mean_current, 3),
        "peak_residual_A": round(move.peak_residual, 3),
        "peak_place_share": None if move.peak_place is None else round(move.peak_place, 3),
        "least_supply_V": round(move.least_supply, 3),
        "temperature_C": round(move.temperature - FREEZING, 1),
        "arrived": move.reached,
        "whole": move.whole,
        "outside_trained": outside,
        "file": move.file,
    }


def watching(
    watcher: Watcher,
    port: Port,
    *,
    show: Callable[[float], None],
    over: Callable[[], bool],
    stop: Event,
) -> None:
    """Watch until it is told to stop.

    Parameters
    ----------
    watcher : Watcher
        What is made of the lines.
    port : Port
        Where the board is.
    show : Callable
        Is called after each look at the port, with the steady clock's time. [s]
    over : Callable
        Whether enough was seen.
    stop : threading.Event
        Ends it.
    """
    was_open = False
    try:
        while not stop.wait(STEP) and not over():
            now = time.monotonic()
            if port.try_open(now):
                watcher.port_came(port.path)
            data = port.read()
            answer = watcher.bytes_came(data, now) if data else b""
            if watcher.fetch is not None and port.is_open:
                answer = answer or watcher.fetch.tick(now)
            if answer:
                port.send(answer)
            if not port.is_open and (was_open or port.why):
                if was_open or watcher.port == "not yet open":
                    watcher.port_went(port.why)
                port.why = ""
            was_open = port.is_open
            show(now)
    finally:
        port.close()


def trained_words(settings: Record) -> str:
    """What the settings were trained for, in words; that they were not, where they are the described ones.

    Parameters
    ----------
    settings : record of SETTINGS
        The settings.
    """
    if not has_profile(settings):
        return (
            "these settings were never trained: the trip is the described one, and a peak residual is the "
            "whole current; record cycles, calibrate with them, and give the new settings with --settings"
        )
    degrees = [int(settings[f"trained_{end}_dC"]) / 10.0 + FREEZING for end in ("low", "high")]
    volts = [int(settings[f"trained_{end}_mV"]) / 1000.0 for end in ("low", "high")]
    return (
        f"trained at {units.show_range(degrees[0], degrees[1], units.TEMPERATURE)} and "
        f"{units.show_range(volts[0], volts[1], units.VOLTAGE)}"
    )
