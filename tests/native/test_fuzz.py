"""The controller under a fuzzer, with the sanitizers of addresses and of undefined behaviour.

The fuzzer starts from long files of random bytes, the same each time, and makes a counted number of runs:
from an empty corpus and by the clock it found a missing veto on one machine and not on a slower one.
"""

from __future__ import annotations

import os
import random
import re
import subprocess
from pathlib import Path

import pytest

import hutwright.native

CORE = Path(hutwright.native.__file__).parent / "core"
TARGET = Path(__file__).with_name("fuzz_core.c")
RUNS = 2500
STARTS, START_BYTES = 48, 1500


def build(clang: Path, target: Path, core: Path, to: Path) -> Path:
    """The fuzzer, compiled."""
    flags = ["-std=c11", "-O1", "-g", "-fsanitize=fuzzer,address,undefined", "-fno-sanitize-recover=all"]
    sources = [str(target), *map(str, sorted(core.glob("*.c")))]
    done = subprocess.run(
        [str(clang), *flags, f"-I{core}", *sources, "-o", str(to)], capture_output=True, text=True
    )
    if "libclang_rt" in done.stderr and os.environ.get("CI") != "true":
        pytest.skip("clang is here without its sanitizers; `make tools` installs both on Debian")
    assert done.returncode == 0, done.stderr
    return to


def fuzz(fuzzer: Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """One run of the fuzzer; its watch on memory would count the most that the test itself ever held."""
    corpus = folder / "corpus"
    corpus.mkdir()
    chance = random.Random(4)
    for number in range(STARTS):
        (corpus / f"start{number:02}").write_bytes(chance.randbytes(START_BYTES))
    return subprocess.run(
        [str(fuzzer), f"-runs={RUNS}", "-len_control=0", "-max_len=4096", "-seed=4",
         "-print_final_stats=1", "-rss_limit_mb=0", f"-artifact_prefix={folder}{os.sep}", str(corpus)],
        capture_output=True, text=True, timeout=400, cwd=folder,
    )  # fmt: skip


@pytest.mark.slow
def test_thousands_of_fuzzed_runs_break_no_promise(require_tool, tmp_path):
    fuzzer = build(require_tool("clang"), TARGET, CORE, tmp_path / "fuzzer")
    done = fuzz(fuzzer, tmp_path)
    assert done.returncode == 0, done.stderr[-4000:]
    executed = re.search(r"number_of_executed_units:\s*(\d+)", done.stderr)
    assert executed
    assert int(executed[1]) >= RUNS


@pytest.mark.slow
@pytest.mark.parametrize(
    ("file", "right", "wrong"),
    [
        ("moves.c", "state->dead_ms = settings->dead_ms;", "state->dead_ms = 0u;"),
        ("decide.c", "if (state->way == DOOR_CLOSES && heard->veto != 0u) {", "if (0) {"),
        ("decide.c", "} else if (state->run_ms >= cap) {", "} else if (0) {"),
    ],
    ids=["no dead time", "no veto", "no cap"],
)
def test_the_fuzzer_finds_what_is_wrong(require_tool, tmp_path, file, right, wrong):
    core = tmp_path / "core"
    core.mkdir()
    for path in CORE.iterdir():
        text = path.read_text("utf-8")
        if path.name == file:
            assert text.count(right) == 1
            text = text.replace(right, wrong)
        (core / path.name).write_text(text, "utf-8")
    fuzzer = build(require_tool("clang"), TARGET, core, tmp_path / "fuzzer")
    done = fuzz(fuzzer, tmp_path)
    assert done.returncode != 0
    assert "broken:" in done.stderr
