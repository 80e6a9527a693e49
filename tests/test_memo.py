"""The one memory of slow results: what it keeps, forgets, shares, writes and distrusts."""

import math
import mmap
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import Enum

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright import memo
from hutwright.memo import Memory, code_version, digest, read_arrays, sealed, write_arrays


class Colour(Enum):
    RED = 1
    GREEN = 2


@dataclass(frozen=True)
class Record:
    length: float
    name: str
    colour: Colour
    part: tuple[int, ...] = ()


@dataclass(frozen=True)
class Other:
    length: float
    name: str
    colour: Colour
    part: tuple[int, ...] = ()


class Clock:
    """A clock that is put forward by hand."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


RECORD = Record(1.5, "wall", Colour.RED, (1, 2))
TABLE = {"first": np.arange(12.0).reshape(3, 4), "second": np.array([1 + 2j], dtype=np.complex64)}


@pytest.fixture(autouse=True)
def _own_cache(monkeypatch, tmp_path) -> Iterator[None]:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv(memo.SWITCH, raising=False)
    memo.memory.cache_clear()
    yield
    memo.memory.cache_clear()


# ---- keys -------------------------------------------------------------------------------------------------


def test_equal_records_have_one_key_and_every_change_another():
    things = [
        RECORD,
        Record(1.6, "wall", Colour.RED, (1, 2)),
        Record(1.5, "walk", Colour.RED, (1, 2)),
        Record(1.5, "wall", Colour.GREEN, (1, 2)),
        Record(1.5, "wall", Colour.RED, (1,)),
        Other(1.5, "wall", Colour.RED, (1, 2)),
        {"a": 1},
        {"a": 1.0},
        {"b": 1},
        ["ab", "c"],
        ["a", "bc"],
        [],
        None,
        True,
        1,
        "1",
        b"1",
        slice(0, 2),
        np.zeros(2),
        np.zeros(2, dtype=np.float32),
        np.zeros((2, 1)),
    ]
    digests = [digest(each) for each in things]
    assert len(set(digests)) == len(digests)
    assert digest(Record(1.5, "wall", Colour.RED, (1, 2))) == digest(RECORD)
    assert digest(1, 2) != digest((1, 2), ())


def test_a_key_does_not_depend_on_how_an_array_lies_in_memory_or_on_the_sign_of_nought():
    array = np.arange(12.0).reshape(3, 4)
    assert digest(array.T) == digest(np.ascontiguousarray(array.T))
    assert digest(array.astype(">f8")) == digest(array.astype("<f8"))
    assert digest(0.0) == digest(-0.0)


@given(st.floats(allow_nan=False), st.floats(allow_nan=False))
def test_different_numbers_have_different_keys(one, other):
    assert (digest(one) == digest(other)) is (one == other)


@pytest.mark.parametrize("thing", [object(), lambda: 1, {1, 2}, np.array(["a"]), Record, iter([1])])
def test_what_has_no_one_spelling_is_refused(thing):
    with pytest.raises(TypeError, match="no one spelling"):
        digest(thing)


@pytest.mark.parametrize("thing", [math.nan, complex(0.0, math.nan), np.array([1.0, math.nan])])
def test_no_number_is_refused(thing):
    with pytest.raises(ValueError, match="none"):
        digest(thing)


def test_another_process_spells_the_same_key():
    code = "from hutwright.memo import digest; print(digest('sky', 1.5, (1, 2), {'a': None}))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip() == digest("sky", 1.5, (1, 2), {"a": None})


def test_the_version_of_the_code_follows_what_a_module_imports(monkeypatch):
    before = code_version("hutwright.laws.slab")
    read = memo._source
    monkeypatch.setattr(memo, "_source", lambda name: read(name) + b"#" * (name == "hutwright.laws.slab"))
    code_version.cache_clear()
    try:
        assert code_version("hutwright.laws.slab") != before
        after = code_version("hutwright.plant.sky.table")
        monkeypatch.setattr(memo, "_source", read)
        code_version.cache_clear()
        assert code_version("hutwright.plant.sky.table") != after
    finally:
        code_version.cache_clear()


# ---- in one process ---------------------------------------------------------------------------------------


def test_a_result_is_worked_out_once_and_handed_out_read_only():
    kept, calls = Memory(), []

    def work():
        calls.append(1)
        return {"a": np.arange(3.0)}

    one, two = kept.recall("key", work), kept.recall("key", work)
    assert one is two
    assert len(calls) == 1
    with pytest.raises(ValueError, match="read-only"):
        one["a"][0] = 5.0


def test_arrays_are_sealed_wherever_they_sit_and_with_what_they_look_into():
    @dataclass(frozen=True)
    class Holder:
        rows: tuple[np.ndarray, ...]

    base = np.arange(6.0)
    held = sealed(Holder((base[2:4], np.zeros(2))))
    assert not base.flags.writeable
    assert not any(each.flags.writeable for each in held.rows)


def test_the_bound_in_bytes_holds_and_the_longest_unused_goes_first():
    kept = Memory(most_bytes=3 * 800)
    for name in ("a", "b", "c"):
        kept.recall(name, lambda: np.zeros(100))
    kept.recall("a", lambda: pytest.fail("a is kept"))
    kept.recall("d", lambda: np.zeros(100))
    assert kept.bytes == 2400
    kept.recall("a", lambda: pytest.fail("a was used last"))
    again: list[int] = []
    kept.recall("b", lambda: again.append(1) or np.zeros(100))
    assert again == [1]


def test_what_is_larger_than_the_bound_is_handed_out_but_not_kept():
    kept = Memory(most_bytes=100)
    assert len(kept.recall("big", lambda: np.zeros(100))) == 100
    assert kept.bytes == 0


def test_clearing_forgets():
    kept = Memory()
    kept.recall("key", lambda: np.zeros(4))
    kept.clear()
    assert kept.bytes == 0
    assert kept.recall("key", lambda: 7) == 7


def test_many_threads_work_on_one_key_once_and_on_two_keys_at_the_same_time():
    kept, calls, both = Memory(), [], threading.Barrier(2, timeout=20)

    def work(name):
        calls.append(name)
        both.wait()  # passes only if the other key is being worked on too
        return name

    with ThreadPoolExecutor(8) as executor:
        asked = [executor.submit(kept.recall, name, lambda n=name: work(n)) for name in "abababab"]
        assert [each.result(timeout=30) for each in asked] == list("abababab")
    assert sorted(calls) == ["a", "b"]


def test_what_fails_is_not_kept_and_the_next_one_tries_again():
    kept = Memory()

    def fails():
        raise RuntimeError("no")

    with pytest.raises(RuntimeError, match="no"):
        kept.recall("key", fails)
    assert kept.recall("key", lambda: 3) == 3
    assert not kept._turns


# ---- on disk ----------------------------------------------------------------------------------------------


def slow_table(clock):
    clock.now += 1.0
    return {name: array.copy() for name, array in TABLE.items()}


def test_a_slow_table_comes_back_mapped_from_disk_in_the_next_process(tmp_path):
    clock = Clock()
    first = Memory(folder=tmp_path, clock=clock).recall("ab12", lambda: slow_table(clock))
    again: dict[str, np.ndarray] = Memory(folder=tmp_path).recall("ab12", lambda: pytest.fail("on disk"))
    assert again.keys() == first.keys()
    for name in TABLE:
        assert np.array_equal(again[name], TABLE[name])
        assert again[name].dtype == TABLE[name].dtype
        assert not again[name].flags.writeable
        base: object = again[name]
        while isinstance(base, np.ndarray):
            base = base.base
        assert isinstance(base, mmap.mmap)


def test_quick_results_and_other_things_than_tables_stay_off_the_disk(tmp_path):
    clock = Clock()
    kept = Memory(folder=tmp_path, clock=clock)
    kept.recall("quick", lambda: dict(TABLE))

    def number():
        clock.now += 1.0
        return 5.0

    kept.recall("number", number)
    assert list(tmp_path.rglob("*")) == []


@pytest.fixture
def written(tmp_path):
    path = tmp_path / "key.arrays"
    write_arrays(path, "key", TABLE)
    return path


def test_a_whole_file_is_read_and_one_under_another_key_is_not(written):
    found = read_arrays(written, "key")
    assert found is not None
    assert np.array_equal(found["first"], TABLE["first"])
    assert read_arrays(written, "other") is None
    assert read_arrays(written.with_name("missing"), "key") is None


@given(st.data())
def test_a_file_with_any_byte_changed_or_cut_off_anywhere_is_not_trusted(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("damaged") / "key.arrays"
    write_arrays(path, "key", TABLE)
    whole = bytearray(path.read_bytes())
    if data.draw(st.booleans()):
        place = data.draw(st.integers(0, len(whole) - 1))
        whole[place] ^= 1 << data.draw(st.integers(0, 7))
    else:
        del whole[data.draw(st.integers(0, len(whole) - 1)) :]
    path.write_bytes(whole)
    found = read_arrays(path, "key")
    # A changed byte of the padding or of a name may pass; the numbers never differ.
    if found is not None:
        assert sorted(a.tobytes() for a in found.values()) == sorted(a.tobytes() for a in TABLE.values())


def test_a_damaged_file_is_made_anew_and_then_whole_again(tmp_path):
    clock = Clock()
    Memory(folder=tmp_path, clock=clock).recall("ab12", lambda: slow_table(clock))
    (path,) = tmp_path.rglob("*.arrays")
    path.write_bytes(path.read_bytes()[:-5])
    found = Memory(folder=tmp_path, clock=clock).recall("ab12", lambda: slow_table(clock))
    assert np.array_equal(found["first"], TABLE["first"])
    assert read_arrays(path, "ab12") is not None


def test_a_write_that_fails_half_way_leaves_nothing_behind(tmp_path, monkeypatch):
    def full(_handle):
        raise OSError("no space left")

    monkeypatch.setattr("hutwright.memo.os.fsync", full)
    with pytest.raises(OSError, match="no space"):
        write_arrays(tmp_path / "key.arrays", "key", TABLE)
    assert list(tmp_path.iterdir()) == []
    clock = Clock()
    found = Memory(folder=tmp_path, clock=clock).recall("ab12", lambda: slow_table(clock))
    assert np.array_equal(found["first"], TABLE["first"])


def test_a_folder_that_cannot_be_made_only_costs_time(tmp_path):
    (tmp_path / "file").write_text("in the way", "utf-8")
    clock = Clock()
    kept = Memory(folder=tmp_path / "file" / "below", clock=clock)
    assert np.array_equal(kept.recall("ab12", lambda: slow_table(clock))["first"], TABLE["first"])


def test_the_disk_is_bounded_and_the_longest_unread_goes_first(tmp_path):
    clock = Clock()
    write_arrays(tmp_path / "size", "x", TABLE)
    size = (tmp_path / "size").stat().st_size
    kept = Memory(folder=tmp_path, clock=clock, most_disk_bytes=3 * size)
    for number in range(6):
        kept.recall(f"{number}{number}key", lambda: slow_table(clock))
        for age, path in enumerate(sorted(tmp_path.rglob("*.arrays"), reverse=True)):
            os.utime(path, (1e9 - age, 1e9 - age))
    left = sorted(each.name for each in tmp_path.rglob("*.arrays"))
    assert left == ["33key.arrays", "44key.arrays", "55key.arrays"]


# ---- for everyone -----------------------------------------------------------------------------------------

CALLS: list[tuple[object, ...]] = []


@memo.slow(aside=("executor",))
def tabled(record, *, scale=1.0, executor=None):
    """A function that the tests ask."""
    CALLS.append((record, scale))
    return {"a": np.full(3, record.length * scale)}


@pytest.fixture(autouse=True)
def _no_calls():
    CALLS.clear()


def test_a_slow_function_is_asked_once_for_each_set_of_records():
    for scale in (1.0, 2.0, 1.0):
        assert tabled(RECORD, scale=scale)["a"][0] == 1.5 * scale
    tabled(RECORD, scale=2.0, executor=object())
    assert len(CALLS) == 2


def test_it_can_be_switched_off_for_a_stretch_or_from_outside(monkeypatch):
    with memo.forgetting():
        tabled(RECORD)
        tabled(RECORD)
    assert len(CALLS) == 2
    monkeypatch.setenv(memo.SWITCH, "off")
    tabled(RECORD)
    assert len(CALLS) == 3
    monkeypatch.delenv(memo.SWITCH)
    tabled(RECORD)
    tabled(RECORD)
    assert len(CALLS) == 4


def test_the_disk_alone_can_be_switched_off(monkeypatch, tmp_path):
    assert memo.memory().folder == tmp_path / "cache" / "hutwright"
    memo.memory.cache_clear()
    monkeypatch.setenv(memo.SWITCH, "process")
    assert memo.memory().folder is None


def test_without_the_variable_the_cache_lies_in_the_home_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    for value in ("", "relative/path"):
        monkeypatch.setenv("XDG_CACHE_HOME", value)
        assert memo.cache_folder() == tmp_path / ".cache" / "hutwright"
