"""A real broker on loopback, a board behind a pseudo-terminal, and somebody who listens and asks."""

from __future__ import annotations

import json
import os
import pty
import select
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import tty
from collections.abc import Callable
from pathlib import Path

import paho.mqtt.client as paho
from paho.mqtt.enums import CallbackAPIVersion

from tests.house.places import TOP
from tests.live.made import MadeBoard

PATIENCE = 20.0  # for anything that must happen; a loaded machine is slow [s]
LINE = 0.1  # between two lines of the board [s]


def until(what: Callable[[], object], told: str, patience: float = PATIENCE) -> None:
    """Wait until something holds."""
    end = time.monotonic() + patience
    while not what():
        assert time.monotonic() < end, f"waited {patience:g} s in vain: {told}"
        time.sleep(0.02)


def free_port() -> int:
    """A port of loopback that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class RealBroker:
    """A broker that can be killed and started again at the same port."""

    def __init__(self, program: Path, folder: Path, more: str = "allow_anonymous true\n") -> None:
        self.program, self.port = program, free_port()
        self.conf = folder / "broker.conf"
        self.conf.write_text(f"listener {self.port} 127.0.0.1\npersistence false\n{more}", "utf-8")
        self.log = folder / "broker.log"
        self.process: subprocess.Popen | None = None

    def start(self) -> None:
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [self.program, "-c", self.conf, "-v"], stdout=log, stderr=subprocess.STDOUT
            )
        until(self.answers, "the broker starts")

    def answers(self) -> bool:
        with socket.socket() as probe:
            return probe.connect_ex(("127.0.0.1", self.port)) == 0

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None


class Plugged:
    """A board behind a pseudo-terminal, which can be pulled out and put back at the same path."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.board = MadeBoard(slow=10)
        self.silent = False
        self._ends = threading.Event()
        self._thread: threading.Thread | None = None

    def plug(self) -> None:
        master, slave = pty.openpty()
        tty.setraw(slave)
        self.path.unlink(missing_ok=True)
        self.path.symlink_to(os.ttyname(slave))
        self._ends.clear()
        self._thread = threading.Thread(target=self._run, args=(master, slave), daemon=True)
        self._thread.start()

    def _run(self, master: int, slave: int) -> None:
        while not self._ends.is_set():
            ready, _, _ = select.select([master], [], [], LINE)
            if self.silent:  # a serial chip keeps two bytes: whatever comes while nobody reads is gone
                if ready:
                    os.read(master, 4096)
            elif ready:
                os.write(master, self.board.hear(os.read(master, 4096)))
            else:
                os.write(master, self.board.line())
        self.path.unlink(missing_ok=True)
        os.close(slave)
        os.close(master)

    def pull(self) -> None:
        if self._thread is not None:
            self._ends.set()
            self._thread.join()
            self._thread = None


class Listener:
    """Somebody at the broker: keeps the last state, all answers, all permissions, and asks."""

    def __init__(self, port: int, slug: str = "orchard-hut") -> None:
        self.root = f"hutwright/{slug}"
        self.state: dict = {}
        self.states: list[dict] = []
        self.answers: list[dict] = []
        self.starts: list[dict] = []
        self.number = 0
        self.client = paho.Client(CallbackAPIVersion.VERSION2, protocol=paho.MQTTv5)
        self.client.on_connect = lambda client, *_: client.subscribe(f"{self.root}/#", qos=1)
        self.client.on_message = self._hear
        self.client.reconnect_delay_set(1, 1)
        self.client.connect("127.0.0.1", port, clean_start=True)
        self.client.loop_start()
        until(self.client.is_connected, "the listener connects")

    def _hear(self, _client, _user, message) -> None:
        name = message.topic.removeprefix(f"{self.root}/")
        if name == "command":
            return
        values = json.loads(message.payload)
        if name == "state":
            self.state = values
            self.states.append(values)
        (self.answers if name == "answer" else self.starts if name == "machine/start" else []).append(values)

    def say(self, payload: bytes, *, retain: bool = False) -> dict:
        """Send bytes as a command, and give the first answer."""
        before = len(self.answers)
        self.client.publish(f"{self.root}/command", payload, qos=1, retain=retain)
        until(lambda: len(self.answers) > before, "an answer comes")
        return self.answers[before]

    def ask(self, wish: str, *, age: float = 0.0, name: str | None = None, retain: bool = False) -> dict:
        self.number += 1
        values = {"id": name or f"id {self.number}", "do": wish, "at": time.time() - age}
        return self.say(json.dumps(values).encode(), retain=retain)

    def see(self, **values) -> None:
        """Wait until the state says so."""
        until(
            lambda: self.state and all(self.state[key] == value for key, value in values.items()),
            f"the state says {values}",
        )

    def close(self) -> None:
        self.client.disconnect()
        end = time.monotonic() + 2.0  # its own thread closes the socket once the broker has been told
        while self.client.socket() is not None and time.monotonic() < end:
            time.sleep(0.01)
        self.client.loop_stop()
        self.client.on_connect = self.client.on_message = None  # a ring would keep its sockets open
        del self.client


def made_hut(folder: Path, wait: str = "1 s") -> Path:
    """A copy of the orchard demo with a stated wait."""
    shutil.copy(TOP / "demos" / "orchard" / "hut.toml", folder)
    file = folder / "hut.toml"
    text = file.read_text("utf-8")
    assert "[controller]" in text
    file.write_text(text.replace("layers = [", f'wait = "{wait}"\nlayers = ['), "utf-8")
    return folder


class RunningRelay:
    """The verb itself, in a process of its own."""

    def __init__(self, hut: Path, port: int, board: Path, *more: str, **variables: str) -> None:
        self.told = hut / "told.txt"
        with self.told.open("wb") as told:
            self.process = subprocess.Popen(
                [
                    *(sys.executable, "-m", "hutwright", "relay", hut, "--serial", board),
                    *("--broker", f"127.0.0.1:{port}", *more),
                ],
                stdout=told,
                stderr=subprocess.STDOUT,
                env=os.environ | variables,
            )

    def interrupt(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE)

    def kill(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
