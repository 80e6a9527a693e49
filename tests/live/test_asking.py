"""What anybody may send: read, or refused with a sentence, and never anything else."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.live.asking import LONGEST, Asked, Unread, Wish, read_asking

GOOD = {"id": "one", "do": "open", "at": 1_900_000_000}


def sent(**values) -> bytes:
    """A command as a home system writes it; None leaves a key out."""
    return json.dumps({key: value for key, value in (GOOD | values).items() if value is not None}).encode()


@pytest.mark.parametrize("wish", [Wish.OPEN, Wish.CLOSE, Wish.START])
def test_a_movement_is_read_with_its_id_and_time(wish):
    assert read_asking(sent(do=wish.value)) == Asked(wish=wish, id="one", at=1_900_000_000.0)


@pytest.mark.parametrize("text", ["2030-03-17T17:46:40Z", "2030-03-17T18:46:40+01:00"])
def test_a_time_may_be_a_date_with_its_zone(text):
    assert read_asking(sent(at=text)) == Asked(wish=Wish.OPEN, id="one", at=1_900_000_000.0)


@pytest.mark.parametrize("payload", [b"stop", b" stop\n", b'{"do": "stop"}', sent(do="stop", at="never")])
def test_nothing_about_a_stop_keeps_it_from_being_heard(payload):
    read = read_asking(payload)
    assert isinstance(read, Asked)
    assert read.wish is Wish.STOP


@pytest.mark.parametrize(
    ("payload", "told"),
    [
        (b"", "wanted JSON"),
        (b"open", "wanted JSON"),
        (b"close", "wanted JSON"),
        (b"\xff\xfe", "not UTF-8"),
        (b"[" * LONGEST, "wanted JSON"),
        (b'{"a":' * 200, "wanted JSON"),
        (b"x" * (LONGEST + 1), f"at most {LONGEST}"),
        (b"[]", "wanted an object"),
        (b'"open"', "wanted an object"),
        (b"NaN", "finite"),
        (b'{"id": "a", "id": "b", "do": "open", "at": 1}', "twice"),
        (sent(id=7), "id: wanted a text"),
        (sent(id="x" * 65), "id: wanted a text"),
        (sent(id="a\nb"), "id: wanted a text"),
        (sent(id=""), "id: there is none"),
        (sent(id=None), "id: there is none"),
        (sent(do="OPEN"), "do: read 'OPEN'"),
        (sent(do=["open"]), "do: read 'a list'"),
        (sent(do=None), "do: read 'None'"),
        (sent(at=None), "at: there is none"),
        (sent(at=True), "at: read 'True'"),
        (sent(at="now"), "at: read 'now'"),
        (sent(at="2030-03-17T17:46:40"), "with its zone"),
        (sent(at=[1]), "at: read 'a list'"),
        (sent(more=1), "the key 'more'"),
        (b'{"id": "a", "do": "open", "at": 1e999}', "at: read 'inf'"),
        (b'{"id": "a", "do": "open", "at": ' + b"9" * 400 + b"}", "at: read"),
    ],
)
def test_whatever_is_no_command_is_refused_with_what_is_wanted(payload, told):
    read = read_asking(payload)
    assert isinstance(read, Unread)
    assert told in read.why
    assert len(read.why) < 300
    assert read.why.isprintable()


@given(st.binary(max_size=200) | st.text(max_size=100).map(str.encode))
def test_bytes_of_any_kind_are_refused_or_a_stop(payload):
    read = read_asking(payload)
    assert isinstance(read, Unread) or read.wish is Wish.STOP


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(
    st.fixed_dictionaries(
        {}, optional={"id": VALUES, "do": VALUES | st.sampled_from(["open", "stop"]), "at": VALUES}
    )
)
def test_values_of_any_kind_give_a_whole_command_or_a_sentence(values):
    read = read_asking(json.dumps(values).encode())
    if isinstance(read, Asked) and read.wish is not Wish.STOP:
        assert read.id
        assert math.isfinite(read.at)
    elif isinstance(read, Unread):
        assert read.why.isprintable()
