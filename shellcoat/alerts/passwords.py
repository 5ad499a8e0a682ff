"""The broker's password: in the system's own keyring where there is one, else for one session."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from shellcoat.shop import Broker

SERVICE = "shellcoat broker"


class Passwords:
    """Remembers passwords; never in the book, nor in any file of this program's."""

    def __init__(self) -> None:
        self._session: dict[str, str] = {}

    def recall(self, broker: Broker) -> str | None:
        """The password of a broker's user; None where it has to be asked for."""
        name = _name(broker)
        if name in self._session:
            return self._session[name]
        ring = _keyring()
        try:
            return ring.get_password(SERVICE, name) if ring else None
        except Exception:  # noqa: BLE001 - a door: every system's keyring fails in its own way
            return None

    def hold(self, broker: Broker, password: str) -> None:
        """Remember a password for this session; at once, since it asks no keyring."""
        self._session[_name(broker)] = password

    def keep(self, broker: Broker, password: str) -> bool:
        """Remember a password; tells whether it outlasts this session."""
        self.hold(broker, password)
        name, ring = _name(broker), _keyring()
        try:
            if ring:
                ring.set_password(SERVICE, name, password)
        except Exception:  # noqa: BLE001 - a door: every system's keyring fails in its own way
            return False
        return ring is not None


def _name(broker: Broker) -> str:
    return f"{broker.user}@{broker.host}:{broker.port}"


def _keyring() -> Any:
    """The keyring library, where it is installed and has anything to keep passwords in."""
    try:
        ring = import_module("keyring")
        priority = float(ring.get_keyring().priority)
    except Exception:  # noqa: BLE001 - a door: not installed, or no service behind it
        return None
    return ring if priority > 0 else None
