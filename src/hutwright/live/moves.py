"""Moves of the door as they are put together from telemetry: each a trace, and what it comes to."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hutwright.errors import ModelError
from hutwright.evidence.logbook import Move
from hutwright.evidence.trace import LEAST_ROWS, Trace, Way
from hutwright.laws.water_permittivity import FREEZING
from hutwright.live.lines import Bits, Telemetry
from hutwright.native.words import Mode

LONGEST_GAP = 0.2  # between two lines in a move, ten of the board's; beyond it some are missing: a choice [s]
LONGEST_REST = 1.2  # to the first line after a move: at rest the board speaks once a second: a choice [s]
LATE = 0.6  # of the clock's round: a line that seems to come so late has come early, from a board begun anew
ROUND_MS = 65536
ENDS = {Way.OPENING: Mode.OPEN, Way.CLOSING: Mode.SHUT}


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Recorded:
    """A move that has ended.

    Attributes
    ----------
    trace : Trace
        All of it.
    limits : tuple of ndarray
        Whether the switch at open and the one at shut was made, row by row, the last row: whether the board
        counted the leaf as arrived there; shape (n,) each.
    peak_residual : float
        Greatest, after the deaf time. [A]
    peak_place : float or None
        Where that was; None where the place was not known. [-]
    rest_supply : float or None
        Before the drive came on. [V]
    whole : bool
        Whether no line of it is missing.
    why : int
        The board's reason after it: ``door_why``. [-]
    """

    trace: Trace
    limits: tuple[np.ndarray[tuple[int], np.dtype[np.bool_]], np.ndarray[tuple[int], np.dtype[np.bool_]]]
    peak_residual: float
    peak_place: float | None
    rest_supply: float | None
    whole: bool
    why: int

    def move(self, *, at: float, settings: int, file: str) -> Move:
        """What of it is kept in the log book.

        Parameters
        ----------
        at : float
            When it ended, seconds since 1970. [s]
        settings : int
            Checksum of the settings it was compared with. [-]
        file : str
            Its trace.
        """
        trace = self.trace
        assert trace.supply is not None
        assert trace.temperature is not None
        return Move(
            at=at,
            cycle=trace.cycle,
            way=trace.way,
            duration=trace.duration,
            mean_current=float(np.trapezoid(trace.current, trace.time) / trace.duration),
            peak_residual=self.peak_residual,
            peak_place=self.peak_place,
            rest_supply=self.rest_supply,
            least_supply=float(trace.supply.min()),
            temperature=trace.temperature,
            reached=bool(trace.reached),
            whole=self.whole,
            why=self.why,
            settings=settings,
            file=file,
        )


@dataclass(slots=True)
class _Running:
    """A move that is on."""

    way: Way
    cycle: int
    rest_supply: float | None
    whole: bool = True
    ms: int = 0
    times: list[int] = field(default_factory=list)
    heard: list[Telemetry] = field(default_factory=list)


def _way_of(heard: Telemetry) -> Way | None:
    if heard.duty > 0.0:
        return Way.OPENING
    return Way.CLOSING if heard.duty < 0.0 else None


class Recorder:
    """Puts moves together from one line of telemetry after the other.

    Parameters
    ----------
    cycle : int
        Number of the last cycle so far. [-]
    blind : float
        For how long after a start the board's detectors are deaf. [s]
    """

    def __init__(self, cycle: int, *, blind: float) -> None:
        self.cycle, self.blind = cycle, blind
        self._opened = False  # whether this cycle still wants its closing
        self._running: _Running | None = None
        self._rest_supply: float | None = None
        self._rested = False  # whether the door was seen at rest, so that a move is heard from its beginning

    @property
    def running(self) -> list[Telemetry]:
        """What has been heard of the move that is on; nothing at rest."""
        return [] if self._running is None else self._running.heard

    def lost(self) -> bool:
        """Forget a move that is on, since its rest cannot be heard; whether there was one."""
        was = self._running is not None
        self._running, self._rested, self._rest_supply = None, False, None
        return was

    def hear(self, heard: Telemetry) -> Recorded | None:
        """Take a line.

        Parameters
        ----------
        heard : Telemetry
            The line.

        Returns
        -------
        Recorded or None
            A move that ended with it.
        """
        way, ended = _way_of(heard), None
        if self._running is not None and way is not self._running.way:
            ended = self._finished(self._running, heard)
            self._running = None
        if way is None:
            self._rested = True
            if heard.mode not in {Mode.OPENING, Mode.CLOSING, Mode.REVERSING}:
                self._rest_supply = heard.supply
        elif self._rested:
            self._add(way, heard)
        return ended

    def _add(self, way: Way, heard: Telemetry) -> None:
        if self._running is None:
            self._running = _Running(way, self._next_cycle(way), self._rest_supply)
        running = self._running
        gap = 0
        if running.heard:
            gap = (heard.ms - running.heard[-1].ms) % ROUND_MS
            if gap == 0:
                return
            if gap > LATE * ROUND_MS:
                self.lost()
                return
            running.whole = running.whole and gap <= LONGEST_GAP * 1000
        running.ms += gap
        running.times.append(running.ms)
        running.heard.append(heard)

    def _next_cycle(self, way: Way) -> int:
        """A closing belongs to the opening before it; everything else begins a cycle."""
        if not (way is Way.CLOSING and self._opened):
            self.cycle += 1
        self._opened = way is Way.OPENING
        return self.cycle

    def _finished(self, running: _Running, after: Telemetry) -> Recorded | None:
        rows = running.heard
        if len(rows) < LEAST_ROWS:
            return None
        late = (after.ms - rows[-1].ms) % ROUND_MS > LONGEST_REST * 1000
        time = np.array(running.times) / 1000.0
        known = all(Bits.PLACE_KNOWN in each.bits for each in rows)
        place = np.array([each.place for each in rows])
        residual = np.array([each.residual for each in rows])
        judged = np.where(time >= self.blind, residual, -np.inf)
        peak = int(np.argmax(judged if np.isfinite(judged).any() else residual))
        try:
            trace = Trace(
                cycle=running.cycle,
                way=running.way,
                time=time,
                current=np.array([each.current for each in rows]),
                supply=np.array([each.supply for each in rows]),
                duty=np.abs([each.duty for each in rows]),
                place=place if known else None,
                reckoned=known,
                temperature=float(np.median([each.temperature for each in rows])) + FREEZING,
                reached=after.mode is ENDS[running.way],
                filtered=True,
                source="the board's telemetry",
            )
        except ModelError:
            return None
        return Recorded(
            trace=trace,
            limits=(
                _made(rows, Bits.LIMIT_OPEN, arrived=after.mode is Mode.OPEN),
                _made(rows, Bits.LIMIT_SHUT, arrived=after.mode is Mode.SHUT),
            ),
            peak_residual=float(residual[peak]),
            peak_place=float(place[peak]) if known else None,
            rest_supply=running.rest_supply,
            whole=running.whole and not late,
            why=int(after.why),
        )


def _made(rows: list[Telemetry], bit: Bits, *, arrived: bool) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """A limit, row by row; the last one says what the board made of it, whatever tells it of its ends."""
    made = np.array([bit in each.bits for each in rows])
    made[-1] = arrived
    return made


def trace_text(recorded: Recorded, *, stroke: float | None, remark: str) -> str:
    """A move as the text of a file that `hutwright calibrate` reads.

    Parameters
    ----------
    recorded : Recorded
        The move.
    stroke : float or None
        The rod's way from shut to open, for the column of places; without it there is none. [m]
    remark : str
        What stands on top.
    """
    trace = recorded.trace
    assert trace.supply is not None
    assert trace.duty is not None
    assert trace.temperature is not None
    placed = trace.place is not None and stroke is not None
    names = ["cycle", "direction", "t_s", "current_A", "supply_V", "duty"]
    names += ["reckoned_mm"] * placed + ["temperature_C", "limit_open", "limit_closed", "filtered"]
    lines = [f"# {remark}", ",".join(names)]
    end = f"{trace.temperature - FREEZING:.1f}"
    for row, time in enumerate(trace.time):
        cells = [str(trace.cycle), trace.way.value, f"{time:.3f}"]
        cells += [f"{trace.current[row]:.3f}", f"{trace.supply[row]:.3f}", f"{trace.duty[row]:.3f}"]
        if trace.place is not None and stroke is not None:
            cells.append(f"{trace.place[row] * stroke * 1e3:.2f}")
        cells += [end, *(str(int(each[row])) for each in recorded.limits), str(int(trace.filtered))]
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"
