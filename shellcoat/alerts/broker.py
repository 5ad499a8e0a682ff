"""Messages to an MQTT broker, for shops that run one: sent by a thread of their own.

Nothing here waits for the network: a message is handed over and goes out when the broker can be
reached, at least once (QoS 1), so a listener tells repeats by their `id`. Nothing is retained: a
message that greets every listener for ever would call to a coat long dipped.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Sequence
from enum import Enum
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from shellcoat.alerts.folding import TellingLine
from shellcoat.alerts.life import Alert
from shellcoat.errors import WorldError
from shellcoat.shop import Broker

if TYPE_CHECKING:
    from paho.mqtt.client import Client

MOST_WAITING = 1000
LEAST_WAIT_S, MOST_WAIT_S = 1, 60
AT_LEAST_ONCE = 1


class BrokerError(WorldError):
    """A broker that cannot be reached, or that wants something else."""


class Link(Enum):
    """How things stand between this program and the broker."""

    CONNECTING = "not reached yet"
    CONNECTED = "connected"
    REFUSED = "refused"
    LOST = "lost, trying again"


class BrokerWay:
    """Sends what is told as JSON to the shop's topic."""

    name = "message to the broker"

    def __init__(self, broker: Broker, password: str = "") -> None:
        self._broker = broker
        self._guard = threading.Lock()
        self._link = Link.CONNECTING
        self._why = ""
        self._sent: set[int] = set()
        self._client = self._connect(password)

    @property
    def state(self) -> tuple[Link, str]:
        """How things stand, and why in the library's words where they stand badly."""
        with self._guard:
            return self._link, self._why

    @property
    def waiting(self) -> int:
        """How many messages the broker has not confirmed."""
        with self._guard:
            return len(self._sent)

    def tell(self, lines: Sequence[TellingLine]) -> None:
        """Hand over one message a line; they wait here while the broker is away."""
        for line in lines:
            self.send(payload(line))
        link, why = self.state
        if link is Link.REFUSED:
            raise BrokerError(
                f"the broker {self._broker.host} refused the connection ({why}). Look at its user "
                "and password under Alerts, Ways of telling."
            )

    def send(self, message: str) -> None:
        """Hand over a message."""
        with self._guard:
            info = self._client.publish(self._broker.topic, message, qos=AT_LEAST_ONCE)
            self._sent.add(info.mid)

    def send_trial(self) -> None:
        """Send a message that is of no alert, to see whether it arrives."""
        text = "A trial of shellcoat: no shell is waiting."
        self.send(_message("trial", text, ()))

    def close(self) -> None:
        """Leave; returns at once, and what could not be sent is dropped with the thread."""
        self._client.disconnect()
        threading.Thread(target=self._client.loop_stop, name="leave broker", daemon=True).start()

    def _connect(self, password: str) -> Client:
        # Loaded here: most shops have no broker.
        from paho.mqtt.client import Client
        from paho.mqtt.enums import CallbackAPIVersion

        broker = self._broker
        client = Client(CallbackAPIVersion.VERSION2, client_id=f"shellcoat-{uuid4().hex[:12]}")
        client.max_queued_messages_set(MOST_WAITING)
        client.reconnect_delay_set(LEAST_WAIT_S, MOST_WAIT_S)
        if broker.user:
            client.username_pw_set(broker.user, password or None)
        if broker.encrypted:
            client.tls_set()
        client.on_connect = self._on_connect
        client.on_disconnect = self._on_disconnect
        client.on_connect_fail = self._on_connect_fail
        client.on_publish = self._on_publish
        try:
            client.connect_async(broker.host, broker.port)
        except ValueError as cause:
            raise BrokerError(f"the broker {broker.host} cannot be used: {cause}") from cause
        client.loop_start()
        return client

    def _on_connect(self, _client: Any, _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        with self._guard:
            self._link = Link.REFUSED if reason.is_failure else Link.CONNECTED
            self._why = str(reason) if reason.is_failure else ""

    def _on_disconnect(
        self, _client: Any, _data: Any, _flags: Any, reason: Any, _more: Any
    ) -> None:
        with self._guard:
            if self._link is not Link.REFUSED:
                self._link, self._why = Link.LOST, str(reason)

    def _on_connect_fail(self, _client: Any, _data: Any) -> None:
        with self._guard:
            self._link, self._why = Link.CONNECTING, "no answer at this host and port"

    def _on_publish(self, _client: Any, _data: Any, mid: int, _reason: Any, _more: Any) -> None:
        with self._guard:
            self._sent.discard(mid)


def payload(line: TellingLine) -> str:
    """One telling as JSON: its kind, its words, and the alerts it stands for."""
    return _message(line.kind.value, line.text, line.alerts)


def _message(kind: str, text: str, alerts: Sequence[Alert]) -> str:
    plain = [_plain(alert) for alert in alerts]
    parts = {"id": str(uuid4()), "kind": kind, "text": text, "alerts": plain}
    return json.dumps(parts, ensure_ascii=False)


def _plain(alert: Alert) -> dict[str, object]:
    return {
        "about": str(alert.about),
        "what": alert.what.value,
        "shell": alert.shell_name,
        "place": alert.rack_place,
        "coat": alert.coat_number or None,
        "coats": alert.coats_planned or None,
        "subject": alert.subject,
        "due_at": alert.due_at.isoformat(),
    }
