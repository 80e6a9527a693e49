"""The way to an MQTT broker: version 5, which tells a command that is kept from one that is not.

Everything goes out at quality 0 and nothing at all while the broker is away, so that no message waits
somewhere to arrive late; the state is told anew at each connection.  paho-mqtt is loaded when a broker is
first wanted: it comes with the extra ``relay``.
"""

from __future__ import annotations

import ipaddress
import ssl
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

from hutwright.errors import RequestError, shortened
from hutwright.live.message import Message, Topics, last_will
from hutwright.live.serial_port import EXTRA

if TYPE_CHECKING:
    import paho.mqtt.client as paho

PORT, TLS_PORT = 1883, 8883  # registered for MQTT without and with TLS (IANA, service names and ports)
KEEPALIVE = 10  # how soon a broker that says nothing counts as gone: a choice of this project [s]
AGAIN = (1, 15)  # shortest and longest time between two tries to connect: a choice of this project [s]
LARGEST = 65536  # bytes of a message that a broker may hand on at all: a choice of this project
LEAVING = 2.0  # for the last state to go out: a choice of this project [s]


@dataclass(frozen=True, kw_only=True, slots=True)
class Address:
    """Where a broker is, and how it is spoken to.

    Attributes
    ----------
    host : str
        Name or number.
    port : int
        Its port. [-]
    tls : bool
        Whether the connection is encrypted and the broker's certificate looked at.
    authority : pathlib.Path or None
        Certificates that are trusted; the system's own where none is named.
    user : str or None
        Who the relay is.
    password : str or None
        What proves it; never shown.
    """

    host: str
    port: int
    tls: bool = False
    authority: Path | None = None
    user: str | None = None
    password: str | None = None

    def __repr__(self) -> str:
        """Without user and password."""
        return f"{self.host}:{self.port}"

    @property
    def is_here(self) -> bool:
        """Whether the broker runs on this very computer."""
        if self.host == "localhost":
            return True
        try:
            return ipaddress.ip_address(self.host).is_loopback
        except ValueError:
            return False


@dataclass(frozen=True, kw_only=True, slots=True)
class Heard:
    """Who is told what comes from the broker, in its own thread.

    Attributes
    ----------
    came : Callable
        The broker is there, and commands are heard.
    asked : Callable
        Is given a command's bytes, and whether they were sent to be retained.
    failed : Callable
        Is given a sentence; a broker that could not be reached is tried again.
    """

    came: Callable[[], None]
    asked: Callable[[bytes, bool], None]
    failed: Callable[[str], None]


def address(text: str, *, tls: bool) -> tuple[str, int]:
    """Host and port of ``HOST[:PORT]``; a host with colons of its own stands in brackets.

    Parameters
    ----------
    text : str
        As it was given.
    tls : bool
        Whether TLS is wanted, which has another usual port.

    Returns
    -------
    tuple
        Host and port.

    Raises
    ------
    RequestError
        Where it is neither.
    """
    host, _, rest = text.partition("]") if text.startswith("[") else text.partition(":")
    host, rest = host.removeprefix("["), rest.removeprefix(":")
    number = int(rest) if rest.isascii() and rest.isdigit() and len(rest) <= 5 else -1
    if not rest and not text.endswith(":"):
        number = TLS_PORT if tls else PORT
    if not host or not 0 < number < 65536 or any(char.isspace() for char in host):
        raise RequestError(
            f"--broker: read {shortened(text)}; wanted HOST or HOST:PORT, such as localhost:1883"
        )
    return host, number


class BrokerLink:
    """A connection that comes back by itself.

    Parameters
    ----------
    where : Address
        The broker.
    topics : Topics
        The hut's.
    heard : Heard
        Who is told.
    """

    def __init__(self, where: Address, topics: Topics, heard: Heard) -> None:
        self.where, self.topics, self._heard = where, topics, heard
        self.is_up = False
        self.refused = ""
        self._paho = _paho()
        self._client = self._made()

    def _made(self) -> paho.Client:
        client: paho.Client = self._paho.Client(
            self._paho.CallbackAPIVersion.VERSION2,
            client_id=f"hutwright-relay-{self.topics.slug}",
            protocol=self._paho.MQTTv5,
        )
        will = last_will(self.topics)
        client.will_set(will.topic, will.payload(), qos=1, retain=will.retained)
        client.reconnect_delay_set(*AGAIN)
        if self.where.user is not None:
            client.username_pw_set(self.where.user, self.where.password)
        if self.where.tls:
            client.tls_set_context(_context(self.where.authority))
        client.on_connect = self._on_connect
        client.on_disconnect = self._on_disconnect
        client.on_connect_fail = lambda *_: self._heard.failed(
            f"the broker at {self.where!r} cannot be reached; trying again"
        )
        client.on_subscribe = self._on_subscribe
        client.on_message = lambda _client, _user, message: self._heard.asked(
            bytes(message.payload), bool(message.retain)
        )
        return client

    def start(self) -> None:
        """Begin to connect, and go on by itself in a thread of its own."""
        properties = self._paho.Properties(self._paho.PacketTypes.CONNECT)
        properties.MaximumPacketSize = LARGEST
        self._client.connect_async(
            self.where.host, self.where.port, KEEPALIVE, clean_start=True, properties=properties
        )
        self._client.loop_start()

    def publish(self, message: Message) -> bool:
        """Whether the message has gone out, now; it is not kept for later.

        Parameters
        ----------
        message : Message
            What to tell.

        Returns
        -------
        bool
            False where the broker is away.
        """
        if not self.is_up:
            return False
        done = self._client.publish(message.topic, message.payload(), qos=0, retain=message.retained)
        return bool(done.rc == self._paho.MQTT_ERR_SUCCESS)

    def leave(self, last: Message) -> None:
        """Tell a last message, and go: a connection that is ended leaves no will.

        Parameters
        ----------
        last : Message
            What stays with the broker.
        """
        if self.is_up:
            done = self._client.publish(last.topic, last.payload(), qos=1, retain=last.retained)
            with suppress(
                RuntimeError, ValueError
            ):  # where the connection has gone meanwhile the will is told
                done.wait_for_publish(LEAVING)
        self._client.disconnect()
        self._client.loop_stop()

    def _on_connect(
        self, client: paho.Client, _user: object, _flags: object, reason: Any, _more: object
    ) -> None:
        if reason.is_failure:
            self.refused = f"the broker at {self.where!r} refuses the relay: it said {shortened(str(reason))}"
            return
        kept = self._paho.SubscribeOptions(qos=0, noLocal=True, retainAsPublished=True)
        client.subscribe(self.topics.command, options=kept)
        self.is_up = True
        self._heard.came()

    def _on_subscribe(
        self, _client: paho.Client, _user: object, _id: int, reasons: Any, _more: object
    ) -> None:
        if any(each.is_failure for each in reasons):
            self.refused = (
                f"the broker at {self.where!r} lets the relay hear no commands on {self.topics.command}"
            )

    def _on_disconnect(self, *_: object) -> None:
        self.is_up = False


def _context(authority: Path | None) -> ssl.SSLContext:
    try:
        return ssl.create_default_context(cafile=None if authority is None else str(authority))
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or str(error)
        raise RequestError(
            f"--tls-ca: {shortened(str(authority))} cannot be read: the system said {shortened(told)}; "
            "wanted a file of certificates (PEM)"
        ) from None


def _paho() -> ModuleType:
    try:
        import paho.mqtt.client
        import paho.mqtt.packettypes
        import paho.mqtt.properties
        import paho.mqtt.subscribeoptions
    except ImportError:
        raise RequestError(EXTRA.format(what="paho-mqtt")) from None
    return paho.mqtt.client
