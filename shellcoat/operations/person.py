"""Who sits at this machine: window and command line sign their entries with it."""

from __future__ import annotations

import getpass


def person() -> str:
    """Who sits at this machine, as far as it knows."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "somebody"
