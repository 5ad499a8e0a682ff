"""A real broker on this machine, and a stranger who listens to it, for tests of messages."""

from __future__ import annotations

import json
import shutil
import socket
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from paho.mqtt.client import Client
from paho.mqtt.enums import CallbackAPIVersion

from shellcoat.operations.person import person

MOSQUITTO = shutil.which("mosquitto") or shutil.which("mosquitto", path="/usr/sbin")
real = pytest.mark.skipif(
    MOSQUITTO is None, reason="no MQTT broker here: install the Debian package mosquitto"
)
TOPIC = "yard/alerts"
SOON_S = 20.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def running(folder: Path, port: int, *more: str) -> Iterator[None]:
    """A broker on this machine, for as long as the block lasts."""
    config = folder / "broker.conf"
    # Started as root it would become a user that may not read this folder.
    usual = [f"listener {port} 127.0.0.1", f"user {person()}", "persistence false"]
    config.write_text("\n".join([*usual, *more, ""]))
    broker = subprocess.Popen([str(MOSQUITTO), "-c", str(config)], stderr=subprocess.DEVNULL)
    try:
        yield
    finally:
        broker.terminate()
        broker.wait(10)


class Listener:
    """A stranger who listens to the topic."""

    def __init__(self, port: int) -> None:
        self.messages: list[dict] = []
        self.retained: list[bool] = []
        self._news, self._ready = threading.Event(), threading.Event()
        self._client = Client(CallbackAPIVersion.VERSION2)
        self._client.on_connect = lambda client, *_: client.subscribe(TOPIC, qos=1)
        self._client.on_subscribe = lambda *_: self._ready.set()
        self._client.on_message = self._take
        self._client.reconnect_delay_set(1, 1)
        self._client.connect_async("127.0.0.1", port)
        self._client.loop_start()

    def _take(self, _client, _data, message):
        self.messages.append(json.loads(message.payload))
        self.retained.append(message.retain)
        self._news.set()

    def __enter__(self):
        assert self._ready.wait(SOON_S)
        return self

    def __exit__(self, *_):
        self._client.disconnect()
        self._client.loop_stop()

    def next(self) -> dict:
        assert self._news.wait(SOON_S)
        self._news.clear()
        return self.messages[-1]


def wait_until(met) -> None:
    tick = threading.Event()
    for _ in range(int(SOON_S / 0.05)):
        if met():
            return
        tick.wait(0.05)
    pytest.fail("it never came to that")
