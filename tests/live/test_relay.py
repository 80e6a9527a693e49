"""What the relay does with what comes: commands at once or never, a true state, no movement unasked."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.live.lines import Bits, Say, spoken
from hutwright.live.message import Message, Topics, last_will
from hutwright.live.relay import ANSWER, SILENCE, Relay
from hutwright.live.rules import FORGOTTEN, REMEMBERED, Moment
from hutwright.native.words import Eye, Fault, Mode
from tests.live.made import KNOWN, OUT, MadeBoard, report

EPOCH = 1_900_000_000.0
WAIT = 4.0


class World:
    """A board, a broker that keeps what is retained, and a clock, all at hand."""

    def __init__(self, said=None, wait: float = WAIT) -> None:
        self.now = 100.0
        self.board = MadeBoard(said or report())
        self.plugged = self.up = True
        self.deaf = False
        self.kept: dict[str, dict] = {}
        self.told: list[Message] = []
        self.dropped = 0
        self.replies = b""
        self.number = 0
        self.relay = Relay(
            "Made hut", wait=wait, oldest=10.0, board=self, broker=self, tell=lambda text: None
        )
        self.relay.broker_came(self.moment)
        self.relay.port_came(self.moment)
        self.pass_time(0.1)

    @property
    def moment(self) -> Moment:
        return Moment(self.now, EPOCH + self.now)

    def send(self, line: bytes) -> bool:
        if not self.plugged:
            return False
        if not self.deaf:
            self.replies += self.board.hear(line)
        return True

    def drop(self) -> None:
        self.dropped += 1

    def publish(self, message: Message) -> bool:
        json.loads(message.payload())
        if self.up:
            self.told.append(message)
            if message.retained:
                self.kept[message.topic] = message.values
        return self.up

    def pass_time(self, seconds: float, *, silent: bool = False) -> None:
        """Time in steps of a tenth of a second, of one where it is long, with a line of the board in each."""
        step = 0.1 if seconds <= 6 else 1.0
        for _ in range(max(1, round(seconds / step))):
            self.now += step
            if self.plugged and not silent:
                replies, self.replies = self.replies, b""
                self.relay.bytes_came(replies + self.board.line(), self.moment)
            self.relay.tick(self.moment)

    def ask(self, wish: str, *, age: float = 0.0, name: str | None = None, retained: bool = False) -> dict:
        """Ask, let the board speak, and give the first answer."""
        self.number += 1
        values = {"id": name or f"id {self.number}", "do": wish, "at": EPOCH + self.now - age}
        before = len(self.answers)
        self.relay.asked(json.dumps(values).encode(), self.moment, retained=retained)
        self.pass_time(0.1)
        return self.answers[before]

    @property
    def answers(self) -> list[dict]:
        return [each.values for each in self.told if each.topic == self.relay.topics.answer]

    @property
    def starts(self) -> list[dict]:
        return [each.values for each in self.told if each.topic == self.relay.topics.start]

    @property
    def state(self) -> dict:
        return self.kept[self.relay.topics.state]


@pytest.fixture
def world():
    return World()


def test_open_and_close_are_passed_on_and_the_state_follows(world):
    assert world.state["link"] == "well"
    assert world.state["mode"] == "shut"
    assert world.ask("open")["answer"] == "taken"
    world.pass_time(1)
    assert (world.state["mode"], world.state["may_leave"], world.state["place_percent"]) == (
        "open",
        True,
        100,
    )
    assert world.ask("close")["answer"] == "taken"
    world.pass_time(1)
    assert (world.state["mode"], world.state["may_leave"]) == ("shut", False)
    assert world.board.moved == [Say.OPEN, Say.CLOSE]


def test_every_answer_carries_the_id_and_the_wish(world):
    told = world.ask("open", name="from the kitchen")
    assert (told["id"], told["do"]) == ("from the kitchen", "open")
    assert told["at"].endswith("Z")


# ---- what is refused ------------------------------------------------------------------------------------


def refused(world, told, **how):
    """The command is refused with that sentence, and no word of movement has reached the board."""
    before = list(world.board.taken)
    answer = world.ask(**how)
    assert answer["answer"] == "refused"
    assert told in answer["why"]
    assert world.board.taken == before


@pytest.mark.parametrize("wish", ["open", "close", "start"])
def test_a_stale_command_is_refused(world, wish):
    world.pass_time(20)
    refused(world, "it is 11 s old", wish=wish, age=11)


def test_a_command_of_tomorrow_is_refused(world):
    refused(world, "ahead of this computer's clock", wish="open", age=-60)


def test_a_command_from_before_the_broker_was_reached_is_refused(world):
    world.pass_time(20)
    world.relay.broker_went(world.moment)
    world.pass_time(1)
    world.relay.broker_came(world.moment)
    refused(world, "before the relay had come", wish="open", age=2)


def test_a_command_counts_once(world):
    assert world.ask("open", name="same")["answer"] == "taken"
    world.pass_time(1)
    assert world.ask("close", name="other")["answer"] == "taken"
    world.pass_time(1)
    refused(world, "dealt with already", wish="open", name="same")


def test_a_command_that_was_refused_does_not_count_later_either(world):
    world.relay.port_went("pulled out", world.moment)
    world.plugged = False
    refused(world, "link lost: pulled out", wish="open", name="same")
    world.plugged = True
    world.relay.port_came(world.moment)
    world.pass_time(1)
    refused(world, "dealt with already", wish="open", name="same", age=1)


def test_a_flood_of_commands_is_refused_and_a_stop_still_heard(world):
    for number in range(REMEMBERED):
        payload = {"id": f"flood {number}", "do": "open", "at": EPOCH}
        world.relay.asked(json.dumps(payload).encode(), world.moment, retained=False)
    refused(world, "wait, and ask again", wish="close")
    assert world.ask("stop")["answer"] == "taken"
    world.pass_time(FORGOTTEN + 1)
    assert world.ask("close")["answer"] == "taken"


@pytest.mark.parametrize("wish", ["open", "close", "start", "stop"])
def test_whatever_the_broker_kept_is_refused(world, wish):
    refused(world, "not retained", wish=wish, retained=True)


@pytest.mark.parametrize(
    ("says", "told"),
    [
        ({"present": Eye.NONE}, "no sensor watches"),
        ({"present": Eye.FAILED}, "has failed"),
        ({"present": Eye.SEES}, "something stands"),
        ({"bits": OUT | Bits.BEAM}, "something stands"),
        ({"bits": OUT | Bits.EDGE}, "something stands"),
    ],
)
def test_nothing_closes_from_afar_where_no_healthy_sensor_says_clear(says, told):
    world = World(report(**{"mode": Mode.OPEN, "place": 1.0, "bits": OUT} | says))
    refused(world, told, wish="close")


@pytest.mark.parametrize("wish", ["open", "close", "start"])
@pytest.mark.parametrize(
    ("said", "told"),
    [
        (report(mode=Mode.FAULT, fault=Fault.SENSOR_STUCK), "sensor stuck"),
        (report(mode=Mode.LAID_UP), "laid up"),
    ],
)
def test_nothing_is_asked_of_a_board_in_a_fault_or_laid_up(wish, said, told):
    refused(World(said), told, wish=wish)


def test_a_refusal_of_the_board_itself_is_told():
    world = World(report(mode=Mode.OPEN, place=1.0))
    obey = world.board.obey

    def seeing(command):  # the doorway is entered between the last line and the command
        world.board.said = replace(world.board.said, present=Eye.SEES)
        obey(command)

    world.board.obey = seeing  # type: ignore[method-assign]
    answer = world.ask("close")
    assert (answer["answer"], answer["why"]) == ("refused", "something stands in the doorway")
    assert world.board.said.mode is Mode.OPEN


@given(st.binary(max_size=120))
def test_hostile_bytes_get_an_answer_and_move_nothing(payload):
    world = World()
    world.relay.asked(payload, world.moment, retained=False)
    world.pass_time(0.2)
    assert world.board.moved == []
    assert len(world.answers) == 1
    assert world.state["mode"] == "shut"


# ---- what is lost ---------------------------------------------------------------------------------------


def test_a_port_that_is_pulled_out_is_told_at_once_and_comes_back_by_itself(world):
    world.ask("open")
    world.pass_time(1)
    world.plugged = False
    world.relay.port_went("pulled out", world.moment)
    assert world.state["link"] == "lost"
    assert world.state["told"] == "link lost: pulled out"
    assert world.state["mode"] is None
    assert world.state["may_leave"] is False
    refused(world, "link lost", wish="close")
    world.plugged = True
    world.relay.port_came(world.moment)
    assert world.state["link"] == "lost"
    world.pass_time(0.3)
    assert world.state["link"] == "well"
    assert world.state["mode"] == "open"
    world.pass_time(10)
    assert world.board.moved == [Say.OPEN]


def test_a_board_that_falls_silent_is_lost_and_no_sign_of_life_is_sent_to_it(world):
    world.pass_time(SILENCE + 0.2, silent=True)
    assert world.state["link"] == "lost"
    assert world.dropped == 1
    lives = world.board.lives
    world.pass_time(5, silent=True)
    assert world.board.lives == lives
    refused(World(), "11 s old", wish="open", age=11)


def test_a_stop_is_tried_though_nothing_is_heard(world):
    world.pass_time(SILENCE + 0.2, silent=True)
    world.relay.asked(b"stop", world.moment, retained=False)
    assert [each.say for each in world.board.taken] == [Say.STOP]


def test_a_board_that_begins_again_is_lost_until_it_has_been_greeted_and_takes_nothing_before(world):
    world.ask("open")
    world.pass_time(1)
    world.relay.bytes_came(world.board.begin(), world.moment)
    assert world.state["link"] == "lost"
    assert "begun again" in world.state["told"]
    refused(world, "link lost", wish="open")
    world.pass_time(1)
    assert world.state["link"] == "well"
    assert world.state["mode"] == "stopped"
    assert world.board.moved == [Say.OPEN]
    assert world.ask("open")["answer"] == "taken"


def test_a_board_that_begins_again_unheard_refuses_a_command_by_itself(world):
    world.board.begin()
    assert world.ask("open")["why"] == "the board has just begun again; ask again in a moment"
    assert world.board.moved == []
    world.pass_time(1)
    assert world.ask("open")["answer"] == "taken"


def test_a_board_that_is_heard_but_does_not_answer_is_lost(world):
    world.deaf = True
    world.pass_time(SILENCE + 2)
    assert world.state["link"] == "lost"
    assert world.board.taken == []
    world.deaf = False
    world.pass_time(2)
    assert world.state["link"] == "well"


def test_a_command_that_is_garbled_on_its_way_moves_nothing_and_is_told_as_unanswered(world):
    hear = world.board.hear
    world.board.hear = lambda line: hear(line.replace(b"open", b"oben"))
    payload = json.dumps({"id": "x", "do": "open", "at": EPOCH + world.now}).encode()
    world.relay.asked(payload, world.moment, retained=False)
    world.pass_time(ANSWER + 1)
    assert world.answers[-1]["answer"] == "unanswered"
    assert world.board.moved == []


def test_a_command_that_the_board_never_deals_with_is_told_and_not_sent_again(world):
    world.deaf = True
    world.relay.asked(
        json.dumps({"id": "x", "do": "open", "at": EPOCH + world.now}).encode(), world.moment, retained=False
    )
    refused(world, "has not dealt with the last", wish="close")
    world.pass_time(ANSWER + 0.2)
    assert world.answers[-1]["answer"] == "unanswered"
    assert world.dropped == 1
    world.deaf = False
    world.pass_time(30)
    assert world.board.moved == []


def test_a_port_that_takes_nothing_refuses_the_command(world):
    world.plugged = False
    world.relay.asked(
        json.dumps({"id": "x", "do": "open", "at": EPOCH + world.now}).encode(), world.moment, retained=False
    )
    assert world.answers[-1]["answer"] == "refused"
    assert "nothing is kept for later" in world.answers[-1]["why"]


def test_a_broker_that_comes_back_is_told_the_state_as_it_is_then(world):
    world.up = False
    world.relay.broker_went(world.moment)
    world.board.said = replace(world.board.said, mode=Mode.STOPPED)
    world.pass_time(5)
    world.kept.clear()
    world.up = True
    world.relay.broker_came(world.moment)
    assert world.state["mode"] == "stopped"


def test_signs_of_life_go_out_while_both_ends_are_there_and_only_then(world):
    world.pass_time(5)
    assert 8 <= world.board.lives <= 11
    world.relay.broker_went(world.moment)
    lives = world.board.lives
    world.pass_time(10)
    assert world.board.lives == lives
    assert world.board.taken == []


def test_the_last_will_and_a_lost_board_have_the_same_keys_and_claim_nothing_of_the_door(world):
    will = last_will(Topics("Made hut"))
    assert will.retained
    assert set(will.values) == set(world.state)
    world.relay.port_went("pulled out", world.moment)
    assert set(will.values) == set(world.state)
    assert will.values["may_leave"] is False
    assert will.values["mode"] is None
    last = world.relay.ended(world.moment)
    assert last.values["told"] == "link lost: the relay was ended"


def test_since_says_when_the_mode_began(world):
    since = world.state["since"]
    world.pass_time(65)
    assert world.state["since"] == since
    assert world.state["at"] > since
    world.ask("open")
    world.pass_time(1)
    assert world.state["since"] > since


def test_a_door_at_rest_says_little(world):
    before = len(world.told)
    world.pass_time(600)
    assert len(world.told) - before <= 11


# ---- open, wait, start ----------------------------------------------------------------------------------


def test_the_machine_is_allowed_once_after_fully_open_and_the_wait(world):
    world.board.slow = 30
    assert world.ask("start")["answer"] == "taken"
    world.pass_time(2)
    assert world.state["start"] == "opening"
    world.pass_time(1 + WAIT - 0.3)
    assert world.state["start"] == "waiting"
    assert world.starts == []
    world.pass_time(0.5)
    assert [each["id"] for each in world.starts] == ["id 1"]
    assert world.state["start"] == "allowed"
    assert [each["answer"] for each in world.answers] == ["taken", "allowed"]
    world.pass_time(60)
    assert len(world.starts) == 1
    assert world.state["start"] == "none"
    assert not next(each for each in world.told if each.topic == world.relay.topics.start).retained


def test_nothing_closes_from_afar_right_after_the_machine_was_allowed(world):
    world.ask("start")
    world.pass_time(WAIT + 1)
    assert len(world.starts) == 1
    refused(world, "allowed to start a moment ago", wish="close")
    world.pass_time(11)
    assert world.ask("close")["answer"] == "taken"


def broken(world, told):
    """The start has been broken off with that sentence, and stays so."""
    world.pass_time(0.2)
    assert world.answers[-1]["answer"] == "broken off" or any(
        each["answer"] == "broken off" for each in world.answers
    )
    assert told in next(each["why"] for each in world.answers if each["answer"] == "broken off")
    world.up = True
    world.pass_time(60)
    assert world.starts == []


def test_a_stop_or_a_close_breaks_a_start_off():
    for wish in ("stop", "close"):
        world = World()
        world.ask("start")
        world.pass_time(1)
        world.ask(wish)
        broken(world, f"a {wish} was asked for")


@pytest.mark.parametrize("mode", [Mode.CLOSING, Mode.STOPPED, Mode.FAULT, Mode.REVERSING, Mode.SHUT])
def test_a_door_that_does_not_stay_open_breaks_a_start_off(world, mode):
    world.ask("start")
    world.pass_time(1)
    world.board.said = replace(world.board.said, mode=mode, bits=KNOWN)
    broken(world, "no longer fully open")


@pytest.mark.parametrize("mode", [Mode.STOPPED, Mode.REVERSING, Mode.CLOSING])
def test_a_door_that_does_not_come_open_breaks_a_start_off(world, mode):
    world.board.slow = 100
    world.ask("start")
    world.pass_time(0.6)
    world.board.said = replace(world.board.said, mode=mode)
    broken(world, "not opening")


def test_a_door_that_opens_for_ever_breaks_a_start_off(world):
    world.board.slow = 10**6
    world.ask("start")
    world.pass_time(121)
    broken(world, "within 120 s")


def test_a_lost_board_or_broker_breaks_a_start_off():
    world = World()
    world.ask("start")
    world.pass_time(1)
    world.relay.port_went("pulled out", world.moment)
    broken(world, "the board was lost")
    world = World()
    world.ask("start")
    world.pass_time(1)
    world.relay.broker_went(world.moment)
    world.pass_time(20)
    world.relay.broker_came(world.moment)
    world.pass_time(20)
    assert world.starts == []


def test_a_second_start_does_not_begin_the_wait_anew_nor_twice(world):
    world.ask("start")
    refused(world, "under way already", wish="start")
    world.pass_time(WAIT + 1)
    assert len(world.starts) == 1


def test_the_machine_is_not_allowed_by_an_old_line(world):
    world.ask("start")
    world.pass_time(WAIT - 1)
    world.pass_time(2, silent=True)
    assert world.starts == []


# ---- anything at all ------------------------------------------------------------------------------------

STEPS = st.one_of(
    st.tuples(
        st.just("ask"), st.sampled_from(["open", "close", "stop", "start"]), st.sampled_from([0, 3, 30, -30])
    ),
    st.tuples(st.just("again"), st.integers(1, 5)),
    st.tuples(st.just("time"), st.sampled_from([0.1, 1, 3, 15])),
    st.tuples(st.just("silence"), st.sampled_from([0.5, 4])),
    st.tuples(st.just("plug"), st.booleans()),
    st.tuples(st.just("broker"), st.booleans()),
    st.tuples(st.just("says"), st.sampled_from(Mode), st.sampled_from([OUT, KNOWN, Bits(0)])),
    st.tuples(st.just("noise"), st.binary(max_size=20)),
    st.tuples(st.just("deaf"), st.booleans()),
)


class Played(World):
    """A world in which anything at all may happen; each gives whether it may move the door."""

    def do_ask(self, wish, age):
        if not self.up:
            return False
        self.number += 1
        self.bytes_asked(f"id {self.number}", wish, age)
        return wish != "stop" and age in {0, 3}

    def do_again(self, back):
        if self.up and self.number >= back:
            self.bytes_asked(f"id {self.number + 1 - back}", "open", 0)
        return False

    def bytes_asked(self, name, wish, age):
        payload = {"id": name, "do": wish, "at": EPOCH + self.now - age}
        self.relay.asked(json.dumps(payload).encode(), self.moment, retained=False)

    def do_time(self, seconds):
        self.pass_time(seconds)

    def do_silence(self, seconds):
        self.pass_time(seconds, silent=True)

    def do_plug(self, plugged):
        if plugged != self.plugged:
            self.plugged = plugged
            if plugged:
                self.relay.port_came(self.moment)
            else:
                self.relay.port_went("pulled out", self.moment)

    def do_broker(self, up):
        if up != self.up:
            self.up = up
            (self.relay.broker_came if up else self.relay.broker_went)(self.moment)

    def do_says(self, mode, bits):
        self.board.said = replace(self.board.said, mode=mode, bits=bits)

    def do_noise(self, data):
        self.relay.bytes_came(data, self.moment)

    def do_deaf(self, deaf):
        self.deaf = deaf


@given(st.lists(STEPS, max_size=25))
def test_whatever_happens_the_door_is_moved_by_a_command_of_that_moment_only_and_the_state_is_true(steps):
    world = Played()
    for name, *values in steps:
        before, starts = len(world.board.moved), len(world.starts)
        asked = bool(getattr(world, f"do_{name}")(*values))
        assert len(world.board.moved) - before <= int(asked)
        for _ in world.starts[starts:]:
            assert world.board.said.mode is Mode.OPEN
            assert world.plugged
        if world.up and not world.plugged:
            assert world.state["link"] == "lost"
            assert world.state["mode"] is None
    world.deaf = False
    if world.up and world.plugged:
        world.pass_time(1)
        assert world.state["link"] == "well"
        assert world.state["mode"] == world.board.said.mode.name.lower().replace("_", " ")


def test_the_lines_are_those_of_the_board():
    wanted = b"T t=1000 m=0 w=15 f=0 d=0 i=0 r=0 x=0 u=12400 k=80 g=0 p=1 b=512*"
    assert spoken(report()).startswith(wanted)
