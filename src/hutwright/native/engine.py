"""The compiled controller and the simulated door, called from Python.

Nothing here computes: records go in, the C writes into records of the caller's, records come out. Every call
of the C releases Python's lock, so threads run side by side.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from hutwright.errors import Cancel, Progress, stopped
from hutwright.native import records
from hutwright.native._door import ffi, lib
from hutwright.native.records import Record
from hutwright.native.words import Refusal

# How often progress is told. [s]
TELL = 0.2
# A batch is cut into so many pieces where nobody says otherwise: enough for even work on any usual machine.
PIECES = 16


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One run.

    Attributes
    ----------
    result : Record
        What came of it: one record of `RESULT`.
    rows : Record
        The trace: records of `ROW`.
    """

    result: Record
    rows: Record


def _at(name: str, array: np.ndarray[Any, Any] | None) -> Any:
    """A pointer of that type to the array's first record."""
    if array is None:
        return ffi.NULL
    return ffi.cast(f"{name} *", array.ctypes.data)


def _one(thing: Record, dtype: np.dtype[np.void], what: str) -> np.ndarray[Any, np.dtype[np.void]]:
    array = records.checked(thing, dtype, what)
    if len(array) != 1:
        raise ValueError(f"{what}: wanted one record; got {len(array)}")
    return array


def sealed(settings: Record) -> Record:
    """A copy of the settings with its checksum."""
    copy = _one(settings, records.SETTINGS, "settings").copy()
    lib.door_seal(_at("door_settings", copy))
    return copy[0]


def refusal(settings: Record) -> Refusal:
    """Why the controller refuses these settings."""
    array = _one(settings, records.SETTINGS, "settings")
    return Refusal(lib.door_settings_refusal(_at("door_settings", array)))


def rod(door: Record, q: float) -> tuple[float, float]:
    """The rod's travel and its change with q.

    Parameters
    ----------
    door : Record
        One record of `DOOR`.
    q : float
        The leaf's place. [rad or m]

    Returns
    -------
    tuple of float
        Travel [m] and arm [m/rad or -].
    """
    array = _one(door, records.DOOR, "door")
    out = ffi.new("double[2]")
    lib.sim_rod(_at("sim_door", array), q, out, out + 1)
    return out[0], out[1]


def _trace(scenario: np.ndarray[Any, Any], every: int, *, wanted: bool) -> np.ndarray[Any, Any]:
    if every < 1:
        raise ValueError(f"every: wanted 1 or more milliseconds; got {every}")
    duration = float(scenario["duration"][0])
    number = int(1000.0 * duration / every) + 2 if wanted and 0.0 <= duration < 1e6 else 0
    return np.zeros(number, records.ROW)


def run(door: Record, settings: Record, scenario: Record, *, rows: bool = True, every: int = 1) -> Run:
    """One run of the controller against the door.

    Parameters
    ----------
    door : Record
        One record of `DOOR`.
    settings : Record
        One record of `SETTINGS`, sealed.
    scenario : Record
        One record of `SCENARIO`.
    rows : bool
        Whether a trace is wanted.
    every : int
        Milliseconds from row to row. [ms]

    Returns
    -------
    Run
        Result and trace.
    """
    doors = _one(door, records.DOOR, "door")
    chosen = _one(settings, records.SETTINGS, "settings")
    scenes = _one(scenario, records.SCENARIO, "scenario")
    result, trace = np.zeros(1, records.RESULT), _trace(scenes, every, wanted=rows)
    lib.sim_run(
        _at("sim_door", doors), _at("door_settings", chosen), _at("sim_scenario", scenes),
        _at("sim_result", result), _at("sim_row", trace if rows else None), len(trace), every,
    )  # fmt: skip
    return Run(result[0], trace[: int(result["rows"][0])])


def free(
    door: Record, scenario: Record, *, duty: float, enable: bool = True, rows: bool = True, every: int = 1
) -> Run:
    """One run of the door alone, without a controller.

    Parameters
    ----------
    door : Record
        One record of `DOOR`.
    scenario : Record
        One record of `SCENARIO`.
    duty : float
        Held all the time; above zero opens. [-]
    enable : bool
        Whether the bridge is on; off, the motor coasts.
    rows : bool
        Whether a trace is wanted.
    every : int
        Milliseconds from row to row. [ms]

    Returns
    -------
    Run
        Result and trace.
    """
    doors = _one(door, records.DOOR, "door")
    scenes = _one(scenario, records.SCENARIO, "scenario")
    result, trace = np.zeros(1, records.RESULT), _trace(scenes, every, wanted=rows)
    lib.sim_free(
        _at("sim_door", doors), _at("sim_scenario", scenes), duty, int(enable),
        _at("sim_result", result), _at("sim_row", trace if rows else None), len(trace), every,
    )  # fmt: skip
    return Run(result[0], trace[: int(result["rows"][0])])


# ---- many runs ---------------------------------------------------------------------------------------


def _piece(
    doors: np.ndarray[Any, Any],
    settings: np.ndarray[Any, Any],
    scenarios: np.ndarray[Any, Any],
    number: int,
    flags: np.ndarray[Any, Any] | None = None,
) -> np.ndarray[Any, Any]:
    """Some runs of a batch in one call; flags: asked to stop, number done."""
    results = np.zeros(number, records.RESULT)
    lib.sim_batch(
        _at("sim_door", doors), int(len(doors) > 1), _at("door_settings", settings), int(len(settings) > 1),
        _at("sim_scenario", scenarios), int(len(scenarios) > 1), number, _at("sim_result", results),
        _at("int32_t", flags), ffi.NULL if flags is None else _at("int32_t", flags[1:]),
    )  # fmt: skip
    return results


def _cuts(number: int, pieces: int) -> list[slice]:
    edges = [number * each // pieces for each in range(pieces + 1)]
    return [slice(low, high) for low, high in pairwise(edges) if high > low]


def _part(array: np.ndarray[Any, Any], cut: slice) -> np.ndarray[Any, Any]:
    return array if len(array) == 1 else array[cut]


class _Here(Executor):
    """Runs each piece in one thread of its own, so that progress can be told and work be cancelled."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Start at once."""
        future: Future[Any] = Future()

        def work() -> None:
            if not future.set_running_or_notify_cancel():
                return
            try:
                future.set_result(fn(*args, **kwargs))
            except BaseException as fault:  # noqa: BLE001  handed on to who asks for the result
                future.set_exception(fault)

        threading.Thread(target=work, daemon=True).start()
        return future


def _shares_memory(executor: Executor) -> bool:
    """Whether its workers see this process's memory: threads do."""
    return isinstance(executor, (ThreadPoolExecutor, _Here))


def batch(
    doors: Record,
    settings: Record,
    scenarios: Record,
    *,
    executor: Executor | None = None,
    pieces: int | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Record:
    """Many runs; the results are the same whoever works on them, and however many.

    Parameters
    ----------
    doors : Record
        Records of `DOOR`: one for all runs, or one each.
    settings : Record
        Records of `SETTINGS`, likewise.
    scenarios : Record
        Records of `SCENARIO`, likewise.
    executor : Executor, optional
        Threads or processes that share the work; otherwise it is done in one call.
    pieces : int, optional
        How many pieces it is cut into. [-]
    progress : Progress, optional
        Told how many are done, of how many, about five times a second.
    cancel : Cancel, optional
        Looked at as often; once set, what has not begun is not run, and says so in its result.

    Returns
    -------
    Record
        Records of `RESULT`, in order.

    Raises
    ------
    ValueError
        The lengths do not go together.
    """
    three = (
        records.checked(doors, records.DOOR, "doors"),
        records.checked(settings, records.SETTINGS, "settings"),
        records.checked(scenarios, records.SCENARIO, "scenarios"),
    )
    lengths = {len(each) for each in three} - {1}
    if len(lengths) > 1:
        raise ValueError(
            f"a batch wants each list with one record or with as many as the others; got {lengths}"
        )
    number = lengths.pop() if lengths else 1
    if executor is None and progress is None and cancel is None:
        return _piece(*three, number)
    worker = executor if executor is not None else _Here()
    cuts = _cuts(number, 1 if executor is None else min(number, pieces or PIECES)) if number else []
    return _shared(worker, three, cuts, number, progress, cancel)


def _shared(
    worker: Executor,
    three: tuple[np.ndarray[Any, Any], ...],
    cuts: list[slice],
    number: int,
    progress: Progress | None,
    cancel: Cancel | None,
) -> Record:
    """A batch in pieces: hand them out, tell, look whether to stop, put the results together."""
    results = np.zeros(number, records.RESULT)
    results["ended_early"] = 2
    together = _shares_memory(worker)
    flags = np.zeros((len(cuts), 2), np.int32)
    futures: dict[Future[Any], int] = {}
    for at, cut in enumerate(cuts):
        doors, settings, scenarios = (_part(each, cut) for each in three)
        mine = flags[at] if together else None
        futures[worker.submit(_piece, doors, settings, scenarios, cut.stop - cut.start, mine)] = at
    waiting, done_apart = set(futures), 0
    try:
        while waiting:
            done, waiting = wait(waiting, timeout=TELL, return_when=FIRST_COMPLETED)
            for future in done:
                if not future.cancelled():
                    cut = cuts[futures[future]]
                    results[cut] = future.result()
                    done_apart += cut.stop - cut.start
            if progress is not None:
                progress(int(flags[:, 1].sum()) if together else done_apart, number)
            if stopped(cancel):
                flags[:, 0] = 1
                waiting = {future for future in waiting if not future.cancel()}
    finally:
        flags[:, 0] = 1  # an error, or the user's own break: nobody works on for nothing
        for future in waiting:
            future.cancel()
    return results


# ---- the controller by itself ------------------------------------------------------------------------


class Controller:
    """The controller, tick by tick.

    Attributes
    ----------
    settings : Record
        One record of `SETTINGS`, a copy.
    state : Record
        One record of `STATE`: a view of what the C keeps.
    """

    def __init__(self, settings: Record) -> None:
        """Take the settings, and begin."""
        self._settings = _one(settings, records.SETTINGS, "settings").copy()
        self._state = np.zeros(1, records.STATE)
        self._outputs = np.zeros(1, records.OUTPUTS)
        self._inputs = np.zeros(1, records.INPUTS)
        self._at = (
            _at("door_settings", self._settings), _at("door_state", self._state),
            _at("door_inputs", self._inputs), _at("door_outputs", self._outputs),
        )  # fmt: skip
        self.begin()

    @property
    def settings(self) -> Record:
        """The settings in force."""
        return self._settings[0]

    @property
    def state(self) -> Record:
        """A view of the state; writing to it writes to the controller's."""
        return self._state[0]

    def begin(self, kept: Record | None = None) -> None:
        """Power-up; the counters may be kept."""
        counters = None if kept is None else np.ascontiguousarray(kept, np.uint16)
        if counters is not None and counters.shape != (records.COUNTERS,):
            raise ValueError(f"kept: wanted {records.COUNTERS} counters; got {counters.shape}")
        lib.door_begin(self._at[0], self._at[1], _at("uint16_t", counters))

    def tick(self, inputs: Record) -> Record:
        """One millisecond; what the controller commands, as a record of its own."""
        self._inputs[0] = np.asarray(inputs).reshape(-1)[0]
        lib.door_tick(*self._at)
        return self._outputs[0].copy()


def detector(settings: Record, state: Record, decided: Record, inputs: Record) -> tuple[Record, Record]:
    """One call of ``door_detect``: the new state, and what it has seen."""
    chosen = _one(settings, records.SETTINGS, "settings")
    after = _one(state, records.DETECT_STATE, "state").copy()
    before = _one(decided, records.DECIDE_STATE, "decided")
    read = _one(inputs, records.INPUTS, "inputs")
    seen = np.zeros(1, records.SEEN)
    lib.door_detect(
        _at("door_settings", chosen), _at("door_detect_state", after), _at("door_decide_state", before),
        _at("door_inputs", read), _at("door_seen", seen),
    )  # fmt: skip
    return after[0], seen[0]


def decider(
    settings: Record, state: Record, inputs: Record, seen: Record, counters: Record
) -> tuple[Record, Record, Record]:
    """One call of ``door_decide``: the new state, the new counters, and the outputs."""
    chosen = _one(settings, records.SETTINGS, "settings")
    after = _one(state, records.DECIDE_STATE, "state").copy()
    read = _one(inputs, records.INPUTS, "inputs")
    found = _one(seen, records.SEEN, "seen")
    counted = np.array(counters, np.uint16).reshape(records.COUNTERS)
    outputs = np.zeros(1, records.OUTPUTS)
    lib.door_decide(
        _at("door_settings", chosen), _at("door_decide_state", after), _at("door_inputs", read),
        _at("door_seen", found), _at("uint16_t", counted), _at("door_outputs", outputs),
    )  # fmt: skip
    return after[0], counted, outputs[0]
