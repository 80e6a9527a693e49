"""The log book of a watched door: one SQLite file that survives being killed at any moment.

Every entry is a transaction of its own, in SQLite's write-ahead journal with full synchronisation: once a
method has returned, what it wrote is there after a kill or a power cut; what it had not finished is not there
at all.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import astuple, dataclass, fields
from pathlib import Path
from types import TracebackType
from typing import Self

from hutwright.errors import RequestError, shortened
from hutwright.evidence.trace import Way

SCHEMA_VERSION = 1
APPLICATION = 0x48575754  # "HWWT": what SQLite's header says that the file is for
PATIENCE = 5.0  # for another program that holds the file: a choice of this project [s]
_TABLES = """
CREATE TABLE moves (
    number INTEGER PRIMARY KEY, at REAL NOT NULL, cycle INTEGER NOT NULL, way TEXT NOT NULL,
    duration_s REAL NOT NULL, mean_current_A REAL NOT NULL, peak_residual_A REAL NOT NULL,
    peak_place REAL, rest_supply_V REAL, least_supply_V REAL NOT NULL, temperature_K REAL NOT NULL,
    reached INTEGER NOT NULL, whole INTEGER NOT NULL, why INTEGER NOT NULL, settings INTEGER NOT NULL,
    file TEXT NOT NULL
);
CREATE TABLE faults (
    number INTEGER PRIMARY KEY, at REAL NOT NULL, fault INTEGER NOT NULL, told TEXT NOT NULL
);
CREATE TABLE settings (
    number INTEGER PRIMARY KEY, at REAL NOT NULL, checksum INTEGER NOT NULL, raw BLOB NOT NULL
);
CREATE TABLE ring (
    serial INTEGER NOT NULL, move INTEGER NOT NULL, at REAL NOT NULL, duration_s REAL NOT NULL,
    peak_residual_A REAL NOT NULL, least_supply_V REAL NOT NULL, temperature_K REAL NOT NULL,
    way TEXT NOT NULL, why INTEGER NOT NULL,
    UNIQUE (serial, move, duration_s, peak_residual_A, least_supply_V, temperature_K, way, why)
);
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Move:
    """One move as it is kept in the log book.

    Attributes
    ----------
    at : float
        When it ended, seconds since 1970. [s]
    cycle : int
        Which cycle it belongs to. [-]
    way : Way
        Which way the leaf moved.
    duration : float
        From drive on to drive off. [s]
    mean_current : float
        Over the move. [A]
    peak_residual : float
        Greatest current above what the board expected, after its deaf time. [A]
    peak_place : float or None
        Where that was, share of the travel; None where the place was not known. [-]
    rest_supply : float or None
        Voltage before the drive came on; None where nothing was heard then. [V]
    least_supply : float
        Least voltage in the move. [V]
    temperature : float
        At the board's sensor. [K]
    reached : bool
        Whether it ended at its end of the travel.
    whole : bool
        Whether it was heard without a gap.
    why : int
        The board's reason for what it did last: ``door_why``. [-]
    settings : int
        Checksum of the settings it was compared with. [-]
    file : str
        Its trace, relative to the project's folder; "" where none was written.
    """

    at: float
    cycle: int
    way: Way
    duration: float
    mean_current: float
    peak_residual: float
    peak_place: float | None
    rest_supply: float | None
    least_supply: float
    temperature: float
    reached: bool
    whole: bool
    why: int
    settings: int
    file: str


@dataclass(frozen=True, kw_only=True, slots=True)
class RingRecord:
    """One move as the board itself has kept it.

    Attributes
    ----------
    serial : int
        Of the record. [-]
    move : int
        Number of the move, counted round by the board. [-]
    duration : float
        From drive on to drive off. [s]
    peak_residual : float
        Greatest current above what was expected. [A]
    least_supply : float
        Least voltage. [V]
    temperature : float
        At the board's sensor. [K]
    way : Way
        Which way.
    why : int
        Why it ended: ``door_why``. [-]
    """

    serial: int
    move: int
    duration: float
    peak_residual: float
    least_supply: float
    temperature: float
    way: Way
    why: int


class Logbook:
    """The log book, open; a context.

    Parameters
    ----------
    path : pathlib.Path
        Its file; made where it is missing.

    Raises
    ------
    RequestError
        Where the file cannot be opened, is no log book, or is a newer one than this program knows.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with self._told():
            self._base = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
        try:
            self._begin()
        except BaseException:
            self._base.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the file."""
        self._base.close()

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise RequestError(
                f"log book {shortened(str(self.path))}: the system said {shortened(str(error))}; wanted a "
                "log book of hutwright in a folder where you may write; move it aside to begin a new one"
            ) from error

    def _begin(self) -> None:
        with self._told():
            version, kind = (self._one(f"PRAGMA {name}") for name in ("user_version", "application_id"))
            empty = self._one("SELECT count(*) FROM sqlite_master") == 0
            if not empty and (kind != APPLICATION or version != SCHEMA_VERSION):
                raise self._strange(kind, version)
            self._base.execute("PRAGMA journal_mode = WAL")
            self._base.execute("PRAGMA synchronous = FULL")
            if empty:
                self._make()

    def _make(self) -> None:
        marks = f"PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {SCHEMA_VERSION};"
        try:
            self._base.executescript(f"BEGIN IMMEDIATE; {_TABLES} {marks} COMMIT;")
        except sqlite3.OperationalError:  # somebody else made it in this very moment, or it cannot be made
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")
            if self._one("PRAGMA user_version") != SCHEMA_VERSION:
                raise

    def _strange(self, kind: int, version: int) -> RequestError:
        read = f"version {version}" if kind == APPLICATION else "a file of another kind"
        return RequestError(
            f"log book {shortened(str(self.path))}: read {read}; wanted a log book of version "
            f"{SCHEMA_VERSION}; take the hutwright that wrote it, or move it aside to begin a new one"
        )

    def _one(self, question: str) -> int:
        found: int = self._base.execute(question).fetchone()[0]
        return found

    def _put(self, statement: str, values: tuple[object, ...]) -> bool:
        with self._told():
            return self._base.execute(statement, values).rowcount > 0

    # ---- what is written --------------------------------------------------------------------------------

    def record(self, move: Move) -> None:
        """Keep a move; when this returns it is kept.

        Parameters
        ----------
        move : Move
            The move.
        """
        values = tuple(each.value if isinstance(each, Way) else each for each in astuple(move))
        self._put(f"INSERT INTO moves VALUES (NULL, {_marks(len(values))})", values)

    def record_fault(self, at: float, fault: int, told: str) -> None:
        """Keep that the board went into a fault.

        Parameters
        ----------
        at : float
            When, seconds since 1970. [s]
        fault : int
            ``door_fault``. [-]
        told : str
            What it is called.
        """
        self._put("INSERT INTO faults VALUES (NULL, ?, ?, ?)", (at, fault, told))

    def record_settings(self, at: float, checksum: int, raw: bytes) -> bool:
        """Keep which settings hold from now on; the same ones again are kept once.

        Parameters
        ----------
        at : float
            When, seconds since 1970. [s]
        checksum : int
            Of the settings. [-]
        raw : bytes
            The settings, as the board stores them.

        Returns
        -------
        bool
            Whether they are others than the last ones.
        """
        return self._put(
            "INSERT INTO settings SELECT NULL, ?, ?, ? WHERE NOT EXISTS (SELECT 1 FROM (SELECT raw FROM"
            " settings ORDER BY number DESC LIMIT 1) WHERE raw = ?)",
            (at, checksum, raw, raw),
        )

    def record_ring(self, at: float, record: RingRecord) -> bool:
        """Keep what the board has kept; what is here already is kept once.

        Parameters
        ----------
        at : float
            When it was fetched, seconds since 1970. [s]
        record : RingRecord
            The record.

        Returns
        -------
        bool
            Whether it was new.
        """
        serial, move, *rest = (each.value if isinstance(each, Way) else each for each in astuple(record))
        return self._put(f"INSERT OR IGNORE INTO ring VALUES ({_marks(9)})", (serial, move, at, *rest))

    # ---- what is read -----------------------------------------------------------------------------------

    def moves(self) -> list[Move]:
        """All moves, in the order they were kept."""
        with self._told(), closing(self._base.execute("SELECT * FROM moves ORDER BY number")) as rows:
            return [_move(row[1:]) for row in rows]

    def faults(self) -> list[tuple[float, int, str]]:
        """All faults: when [s], ``door_fault``, what it is called."""
        with self._told():
            return self._base.execute("SELECT at, fault, told FROM faults ORDER BY number").fetchall()

    def settings(self) -> list[tuple[float, int, bytes]]:
        """All settings: since when [s], their checksum, themselves."""
        with self._told():
            return self._base.execute("SELECT at, checksum, raw FROM settings ORDER BY number").fetchall()

    def ring(self) -> list[RingRecord]:
        """All that was fetched of the board's own ring, in the order it came."""
        names = "serial, move, duration_s, peak_residual_A, least_supply_V, temperature_K, way, why"
        with self._told(), closing(self._base.execute(f"SELECT {names} FROM ring ORDER BY rowid")) as rows:
            return [
                RingRecord(
                    serial=row[0], move=row[1], duration=row[2], peak_residual=row[3], least_supply=row[4],
                    temperature=row[5], way=Way(row[6]), why=row[7],
                )
                for row in rows
            ]  # fmt: skip

    def last_cycle(self) -> int:
        """Number of the last cycle that was kept; 0 where there is none."""
        with self._told():
            return self._one("SELECT coalesce(max(cycle), 0) FROM moves")


def _marks(number: int) -> str:
    return ", ".join("?" * number)


def _move(row: tuple[object, ...]) -> Move:
    values = dict(zip((field.name for field in fields(Move)), row, strict=True))
    values["way"] = Way(values["way"])
    values["reached"], values["whole"] = bool(values["reached"]), bool(values["whole"])
    return Move(**values)  # type: ignore[arg-type]
