"""The verb at work, with a real broker and a board behind a pseudo-terminal: what breaks, what does not."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import time
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.live.asking import LONGEST
from hutwright.live.broker import LARGEST
from hutwright.live.lines import Say
from hutwright.native.words import Eye, Fault, Mode
from tests.live.made import KNOWN
from tests.live.places import Listener, Plugged, RealBroker, RunningRelay, made_hut, until

pytestmark = pytest.mark.slow


class House:
    """Broker, board, relay and listener together."""

    def __init__(self, program, folder, *more, **variables):
        self.folder = made_hut(folder)
        self.broker = RealBroker(program, folder)
        self.plugged = Plugged(folder / "board")
        self.broker.start()
        self.plugged.plug()
        self.listener = Listener(self.broker.port)
        self.relay = self.run(*more, **variables)
        self.listener.see(link="well")

    def run(self, *more, **variables):
        return RunningRelay(self.folder, self.broker.port, self.plugged.path, *more, **variables)

    @property
    def board(self):
        return self.plugged.board

    def close(self):
        self.relay.kill()
        self.listener.close()
        self.plugged.pull()
        self.broker.kill()


@pytest.fixture
def house(tmp_path, require_tool):
    """All of it, the door shut and well."""
    made = House(require_tool("mosquitto"), tmp_path)
    yield made
    made.close()


@pytest.fixture(scope="module")
def standing(tmp_path_factory, require_tool):
    """The same, for tests that leave it as they found it: shut, and nothing has moved."""
    made = House(require_tool("mosquitto"), tmp_path_factory.mktemp("house"))
    yield made
    made.close()


def refused(house, told, wish, **how):
    """Refused with that sentence; no word has reached the board."""
    before = list(house.board.taken)
    answer = house.listener.ask(wish, **how)
    assert answer["answer"] == "refused"
    assert told in answer["why"]
    assert house.board.taken == before


def test_open_close_and_the_state_go_all_the_way(house):
    assert house.listener.ask("open")["answer"] == "taken"
    house.listener.see(mode="opening")
    house.listener.see(mode="open", may_leave=True, place_percent=100)
    assert house.listener.ask("close")["answer"] == "taken"
    house.listener.see(mode="shut", may_leave=False)
    house.listener.ask("open")
    assert house.listener.say(b"stop")["answer"] == "taken"
    house.listener.see(mode="stopped")
    assert [each.say for each in house.board.taken] == [Say.OPEN, Say.CLOSE, Say.OPEN, Say.STOP]


def test_who_comes_later_sees_the_state_at_once(house):
    late = Listener(house.broker.port)
    late.see(link="well", mode="shut")
    late.close()


def test_open_wait_start_ends_in_one_permission(house):
    house.listener.ask("start", name="morning")
    house.listener.see(start="opening")
    house.listener.see(start="waiting")
    assert house.listener.starts == []
    opened = time.monotonic()
    until(lambda: house.listener.starts, "the permission comes")
    assert time.monotonic() - opened > 0.5
    assert [each["id"] for each in house.listener.starts] == ["morning"]
    assert house.board.said.mode is Mode.OPEN
    refused(house, "allowed to start a moment ago", "close")
    late = Listener(house.broker.port)
    late.see(mode="open")
    assert late.starts == []
    late.close()


def test_a_broker_killed_and_started_again_is_told_the_true_state(house):
    house.listener.ask("open")
    house.listener.see(mode="open")
    house.broker.kill()
    house.board.said = replace(house.board.said, mode=Mode.FAULT, fault=Fault.NO_CURRENT, bits=KNOWN)
    time.sleep(1)
    house.listener.state = {}
    house.broker.start()
    house.listener.see(link="well", mode="fault", fault="no current", may_leave=False)
    assert house.board.moved == [Say.OPEN]
    house.board.said = replace(house.board.said, mode=Mode.STOPPED, fault=Fault.WELL)
    house.listener.see(mode="stopped")
    assert house.listener.ask("open")["answer"] == "taken"


def test_a_start_is_not_allowed_after_the_broker_was_lost_meanwhile(house):
    house.listener.ask("start")
    house.listener.see(start="opening")
    house.broker.kill()
    until(lambda: house.board.said.mode is Mode.OPEN, "the door is open")
    time.sleep(1.5)
    house.broker.start()
    house.listener.state = {}
    house.listener.see(mode="open", start="none")
    time.sleep(2)
    assert house.listener.starts == []
    assert house.board.moved == [Say.OPEN]


def test_a_command_left_with_a_broker_is_refused_by_a_relay_that_comes_later(house):
    house.relay.kill()
    house.listener.see(link="lost")
    house.listener.client.publish(
        f"{house.listener.root}/command",
        json.dumps({"id": "left", "do": "open", "at": time.time()}).encode(),
        qos=1,
        retain=True,
    ).wait_for_publish(5)
    before = len(house.listener.answers)
    house.relay = house.run()
    until(lambda: len(house.listener.answers) > before, "an answer comes")
    assert house.listener.answers[before]["answer"] == "refused"
    assert "not retained" in house.listener.answers[before]["why"]
    house.listener.see(link="well", mode="shut")
    assert house.board.taken == []


def test_a_retained_command_is_refused_while_the_relay_listens_too(house):
    refused(house, "not retained", "open", retain=True)
    house.listener.client.publish(f"{house.listener.root}/command", b"", retain=True)


def test_a_relay_that_is_killed_leaves_the_truth_with_the_broker(house):
    house.listener.ask("open")
    house.listener.see(mode="open")
    house.relay.kill()
    house.listener.see(link="lost", mode=None, may_leave=False)
    assert "relay is gone" in house.listener.state["told"]


def test_a_relay_that_is_ended_says_so_and_exits_130(house):
    assert house.relay.interrupt() == 130
    house.listener.see(link="lost", told="link lost: the relay was ended")
    assert "Traceback" not in house.relay.told.read_text("utf-8")


def test_a_board_pulled_out_is_told_within_a_second_and_comes_back_by_itself(house):
    house.listener.ask("open")
    house.listener.see(mode="open")
    house.plugged.pull()
    pulled = time.monotonic()
    house.listener.see(link="lost", mode=None, may_leave=False)
    assert time.monotonic() - pulled < 1.0
    assert "the port" in house.listener.state["told"]  # the relay itself says so, not its last will
    refused(house, "link lost", "close")
    refused(house, "link lost", "start")
    time.sleep(1)
    house.plugged.plug()
    house.listener.see(link="well", mode="open", may_leave=True)
    time.sleep(1)
    assert house.board.moved == [Say.OPEN]


def test_a_board_pulled_out_in_the_wait_lets_no_machine_go(house):
    house.listener.ask("start")
    house.listener.see(start="waiting")
    house.plugged.pull()
    house.listener.see(link="lost")
    assert "the port" in house.listener.state["told"]
    house.plugged.plug()
    house.listener.see(link="well", mode="open")
    time.sleep(2)
    assert house.listener.starts == []
    assert house.listener.answers[-1]["answer"] == "broken off"


def test_a_command_to_a_board_that_stands_still_is_not_sent_again_when_it_goes_on(house):
    house.plugged.silent = True
    assert house.listener.ask("open")["answer"] in {"unanswered", "refused"}
    house.listener.see(link="lost")
    refused(house, "link lost", "open")
    house.plugged.silent = False
    house.listener.see(link="well", mode="shut")
    time.sleep(1)
    assert house.board.moved == []


# ---- nothing of this moves anything ---------------------------------------------------------------------


def test_duplicates_are_refused(house):
    assert house.listener.ask("open", name="same")["answer"] == "taken"
    house.listener.see(mode="open")
    refused(house, "dealt with already", "open", name="same")
    refused(house, "dealt with already", "close", name="same")
    assert house.board.moved == [Say.OPEN]


def test_stale_commands_are_refused(standing):
    refused(standing, "s old", "open", age=30)
    refused(standing, "ahead of this computer's clock", "open", age=-30)
    refused(standing, "ahead of this computer's clock", "start", age=-1e12)


def test_nothing_closes_where_the_doorway_is_not_watched(house):
    house.listener.ask("open")
    house.listener.see(mode="open")
    house.board.said = replace(house.board.said, present=Eye.NONE)
    house.listener.see(doorway="not watched")
    refused(house, "no sensor watches", "close")
    house.board.said = replace(house.board.said, present=Eye.FAILED)
    house.listener.see(doorway="sensor failed")
    refused(house, "has failed", "close")
    house.board.said = replace(house.board.said, present=Eye.SEES)
    house.listener.see(doorway="something there")
    refused(house, "something stands", "close")
    assert house.board.moved == [Say.OPEN]


@pytest.mark.parametrize(
    "payload",
    [
        b"",
        b"\xff\x00\xfe",
        b"[" * LONGEST,
        b"x" * (LONGEST + 1),
        b"x" * (LARGEST - 200),
        b'{"do": []}',
        b"null",
    ],
    ids=["empty", "not text", "deep", "long", "huge", "wrong type", "null"],
)
def test_hostile_payloads_get_an_answer_and_move_nothing(standing, payload):
    assert standing.listener.say(payload)["answer"] == "refused"
    assert standing.board.taken == []
    standing.listener.see(link="well", mode="shut")


def test_a_payload_beyond_all_measure_does_no_harm(standing):
    standing.listener.client.publish(f"{standing.listener.root}/command", b"[" * 2_000_000, qos=1)
    refused(standing, "s old", "open", age=30)
    assert standing.board.taken == []


def test_any_bytes_are_refused_and_the_relay_lives_on(standing):
    @settings(max_examples=60)
    @given(st.binary(max_size=300))
    def one(payload):
        answer = standing.listener.say(payload)
        assert answer["answer"] == "refused"
        assert standing.board.taken == []

    one()
    assert standing.relay.process.poll() is None
    standing.listener.see(link="well", mode="shut")


def test_noise_on_the_port_is_not_believed(house):
    line = house.board.line
    house.board.line = lambda: os.urandom(40) + b"\n" + line()
    house.listener.ask("open")
    house.listener.see(mode="open")
    house.board.line = line
    assert house.board.moved == [Say.OPEN]
    assert all(each["mode"] in {"shut", "opening", "open", None} for each in house.listener.states)


def test_a_flood_is_refused_and_a_stop_heard_through_it(house):
    for number in range(400):
        values = {"id": f"flood {number}", "do": "open", "at": time.time() - 60}
        house.listener.client.publish(f"{house.listener.root}/command", json.dumps(values).encode())
    house.listener.client.publish(f"{house.listener.root}/command", b"stop")
    until(lambda: any(each.say is Say.STOP for each in house.board.taken), "the stop arrives")
    assert house.board.moved == []


# ---- who may come in ------------------------------------------------------------------------------------


def test_a_password_comes_from_the_environment_and_a_wrong_one_ends_with_a_sentence(tmp_path, require_tool):
    secrets = tmp_path / "who"
    subprocess.run([require_tool("mosquitto_passwd"), "-b", "-c", secrets, "relay", "right"], check=True)
    secrets.chmod(0o644)
    hut = made_hut(tmp_path)
    broker = RealBroker(
        require_tool("mosquitto"), tmp_path, f"allow_anonymous false\nuser root\npassword_file {secrets}\n"
    )
    broker.start()
    plugged = Plugged(tmp_path / "board")
    plugged.plug()
    try:
        wrong = RunningRelay(
            hut, broker.port, plugged.path, "--user", "relay", HUTWRIGHT_BROKER_PASSWORD="wrong"
        )
        assert wrong.process.wait(20) == 2
        assert "refuses the relay" in wrong.told.read_text("utf-8")
        right = RunningRelay(
            hut, broker.port, plugged.path, "--user", "relay", HUTWRIGHT_BROKER_PASSWORD="right"
        )
        until(lambda: "the broker is there" in right.told.read_text("utf-8"), "the relay is let in")
        told = right.told.read_text("utf-8")
        right.kill()
        assert "right" not in told
    finally:
        plugged.pull()
        broker.kill()


def says(relay, told) -> bool:
    """Whether the relay has said so."""
    return told in relay.told.read_text("utf-8")


def test_an_encrypted_broker_is_trusted_by_its_certificate_and_not_without(tmp_path, require_tool):
    key, certificate = tmp_path / "key.pem", tmp_path / "certificate.pem"
    subprocess.run(
        [
            *(require_tool("openssl"), "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"),
            *("-subj", "/CN=broker", "-addext", "subjectAltName=IP:127.0.0.1"),
            *("-keyout", key, "-out", certificate),
        ],
        check=True,
        capture_output=True,
    )
    tls = f"user root\nallow_anonymous true\ncertfile {certificate}\nkeyfile {key}\n"
    broker = RealBroker(require_tool("mosquitto"), tmp_path, tls)
    hut = made_hut(tmp_path)
    broker.start()
    relays = []
    try:
        for more, told in [
            (("--tls",), "cannot be reached"),
            (("--tls-ca", certificate), "the broker is there"),
        ]:
            relays.append(RunningRelay(hut, broker.port, tmp_path / "board", *more))
            until(partial(says, relays[-1], told), told)
            relays[-1].kill()
    finally:
        for each in relays:
            each.kill()
        broker.kill()


def test_a_broker_that_stands_still_gets_no_command_through_later(house):
    house.broker.process.send_signal(signal.SIGSTOP)
    house.listener.client.publish(
        f"{house.listener.root}/command",
        json.dumps({"id": "late", "do": "open", "at": time.time()}).encode(),
        qos=1,
    )
    time.sleep(12)
    with contextlib.suppress(ProcessLookupError):
        house.broker.process.send_signal(signal.SIGCONT)
    time.sleep(3)
    assert house.board.moved == []
