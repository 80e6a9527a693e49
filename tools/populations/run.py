"""The study of many doors on several processes, with progress, and ended early when somebody wants that."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from multiprocessing.sharedctypes import Synchronized
from multiprocessing.synchronize import Event
from typing import Any

from tools.populations.member import POPULATIONS
from tools.populations.study import Found, Size, examined

TELL = 0.5  # between two looks at the progress [s]
_shared: dict[str, Any] = {}


def _begin(done: Synchronized[int], stop: Event) -> None:
    """In each worker: the break key is for who started it; the worker looks at the flag."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _shared["done"], _shared["stop"] = done, stop


def _one(population: str, number: int, size: Size) -> tuple[Found, ...]:
    def tell() -> None:
        with _shared["done"].get_lock():
            _shared["done"].value += 1

    return examined(population, number, size, tell=tell, stop=_shared["stop"].is_set)


def all_found(
    size: Size, *, workers: int = 2, progress: Callable[[int, int], None] = lambda *_: None
) -> tuple[Found, ...]:
    """Every door of every population, in order; the answer does not depend on the number of workers.

    Parameters
    ----------
    size : Size
        How large the study is.
    workers : int
        Processes. [-]
    progress : Callable
        Is told how many settings of how many are judged.
    """
    context = multiprocessing.get_context("spawn")
    done, stop = context.Value("i", 0), context.Event()
    with ProcessPoolExecutor(workers, context, _begin, (done, stop)) as executor:
        futures: list[Future[tuple[Found, ...]]] = [
            executor.submit(_one, population, number, size)
            for population in POPULATIONS
            for number in range(size.members)
        ]
        try:
            waiting = set(futures)
            while waiting:
                ended, waiting = wait(waiting, timeout=TELL, return_when=FIRST_COMPLETED)
                for each in ended:
                    each.result()
                progress(done.value, size.steps)
        except BaseException:
            stop.set()
            executor.shutdown(wait=True, cancel_futures=True)
            raise
    return tuple(each for future in futures for each in future.result())
