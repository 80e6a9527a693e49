"""Files of recorded moves on the command line: what cannot be read, and how long much of it takes."""

from __future__ import annotations

import resource
import subprocess
import sys
import time

import numpy as np
import pytest

from hutwright.cli.main import main
from hutwright.evidence.trace import Trace, Way
from hutwright.evidence.traces import traces_text
from tests.described import DEMOS
from tests.evidence.test_traces import REFUSED
from tests.studies.population import drawn

# What a process was at its greatest, by itself: what the system tells of children counts all of them so far,
# and the one that they came from.
WATCHED = """
import atexit, pathlib, re, sys
from hutwright.cli.main import run

def greatest():
    status = pathlib.Path("/proc/self/status").read_text()
    print(re.search("VmHWM:.*", status)[0], file=sys.stderr)

atexit.register(greatest)
run()
"""
TINY = 'format = 1\nname = "Nothing yet"\n'


def test_thirty_and_more_malformed_files_are_each_a_sentence_and_exit_2(tmp_path, capsys):
    (tmp_path / "hut.toml").write_text(TINY, "utf-8")
    assert len(REFUSED) >= 30
    for number, (name, raw) in enumerate(REFUSED.items()):
        path = tmp_path / f"{number}.csv"
        path.write_bytes(raw)
        for words in (["calibrate"], ["identify"], ["identify", "--inrush"]):
            assert main([words[0], str(tmp_path), *words[1:], str(path)]) == 2, name
            told = capsys.readouterr()
            assert told.out == "", name
            for sentence in told.err.splitlines():
                assert sentence.startswith(path.name), (name, sentence)
                assert "read " in sentence, name
                assert "wanted " in sentence, name


def stretched(trace: Trace, seconds: float) -> Trace:
    """The same move with so many rows, 500 a second."""
    time = np.linspace(0.0, trace.duration, round(500.0 * seconds))
    columns = {
        name: np.interp(time, trace.time, getattr(trace, name)) for name in ("current", "supply", "place")
    }
    return Trace(
        cycle=trace.cycle, way=trace.way, time=np.arange(len(time)) / 500.0, reached=trace.reached,
        temperature=trace.temperature, **columns,
    )  # fmt: skip


@pytest.mark.slow
def test_two_hundred_cycles_of_ten_seconds_take_under_ten_seconds_and_500_megabytes(tmp_path):
    moves = [stretched(each, 5.0) for each in drawn("orchard", 200, (15.0, 25.0))]
    assert len([each for each in moves if each.way is Way.OPENING]) == 200
    path = tmp_path / "moves.csv"
    path.write_text(traces_text(moves, travel=0.28), "utf-8")
    assert sum(len(each.time) for each in moves) == 200 * 10 * 500
    words = [sys.executable, "-c", WATCHED, "calibrate", str(DEMOS / "orchard"), str(path), "--json"]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.monotonic()
    done = subprocess.run(words, capture_output=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert done.returncode in (0, 1), done.stderr.decode()
    taken = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    assert taken < 10.0, (taken, time.monotonic() - begun)
    assert int(done.stderr.split()[-2]) < 500_000  # kB
