"""The verb `relay`: what is refused before anything is opened, each with a sentence."""

from __future__ import annotations

import sys

import pytest

from hutwright.cli.main import main
from hutwright.errors import RequestError
from hutwright.live.broker import Address, address
from hutwright.live.message import Topics
from hutwright.live.relaying import relayed_hut
from hutwright.live.serial_port import PortFound, SerialPort
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"


@pytest.mark.parametrize(
    ("text", "tls", "wanted"),
    [
        ("localhost", False, ("localhost", 1883)),
        ("localhost", True, ("localhost", 8883)),
        ("10.0.0.7:1999", True, ("10.0.0.7", 1999)),
        ("[::1]", False, ("::1", 1883)),
        ("[::1]:77", False, ("::1", 77)),
    ],
)
def test_reads_where_the_broker_is(text, tls, wanted):
    assert address(text, tls=tls) == wanted


@pytest.mark.parametrize("text", ["", ":1883", "host:", "host:0", "host:65536", "host:x", "a b", "host:1:2"])
def test_refuses_what_is_no_broker(text):
    with pytest.raises(RequestError, match="wanted HOST or HOST:PORT"):
        address(text, tls=False)


@pytest.mark.parametrize(
    ("host", "here"),
    [("localhost", True), ("127.0.0.5", True), ("::1", True), ("10.0.0.7", False), ("hut", False)],
)
def test_knows_this_computer_from_another(host, here):
    assert Address(host=host, port=1883).is_here is here


def test_a_password_is_never_shown():
    assert "secret" not in repr(Address(host="hut", port=1, user="relay", password="secret"))


@pytest.mark.parametrize(
    ("name", "slug"),
    [("Orchard hut", "orchard-hut"), ("+/#$ 7", "7"), ("#", "hut"), ("Häuschen\t1", "häuschen-1")],
)
def test_a_huts_name_is_a_topic_whatever_stands_in_it(name, slug):
    assert Topics(name).slug == slug


@pytest.mark.parametrize(("module", "told"), [("serial", "pyserial"), ("paho.mqtt.client", "paho-mqtt")])
def test_a_missing_extra_is_refused_with_its_name(module, told, monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, module, None)
    assert main(["relay", str(ORCHARD), "--serial", "/nowhere"]) == 2
    text = capsys.readouterr().err
    assert told in text
    assert "hutwright[relay]" in text


def test_which_port_must_be_said_where_there_is_not_just_one(monkeypatch, capsys):
    found = (PortFound("/dev/one", "a board"), PortFound("/dev/two", "another"))
    monkeypatch.setattr("hutwright.live.serial_port.ports", lambda: found)
    assert main(["relay", str(ORCHARD)]) == 2
    assert "/dev/one (a board), /dev/two (another)" in capsys.readouterr().err


def test_a_port_that_is_not_there_is_waited_for_and_says_why(tmp_path):
    port = SerialPort(str(tmp_path / "none"))
    assert not port.try_open(0.0)
    assert "is not there" in port.why
    assert not port.send(b"x")
    assert port.read() == b""
    assert not port.is_open


def test_a_hut_that_is_not_commanded_from_afar_is_not_relayed_to(tmp_path):
    text = (ORCHARD / "hut.toml").read_text("utf-8")
    (tmp_path / "hut.toml").write_text(text.replace('"button", "remote"', '"button"'), "utf-8")
    with pytest.raises(RequestError, match="wanted remote among them"):
        relayed_hut(tmp_path)


def test_of_a_wait_that_is_a_range_the_longest_is_kept():
    assert relayed_hut(ORCHARD).wait == 20.0
    assert relayed_hut(TOP / "demos" / "sports_field").wait == 10.0


def test_a_file_of_certificates_that_is_none_is_refused(tmp_path, capsys):
    assert main(["relay", str(ORCHARD), "--serial", "/nowhere", "--tls-ca", str(tmp_path / "no.pem")]) == 2
    assert "--tls-ca" in capsys.readouterr().err
