"""Who sits at the machine, also where the machine does not know."""

from __future__ import annotations

import getpass

import pytest

from shellcoat.operations.person import person


def test_the_person_is_whom_the_machine_has_logged_in(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOGNAME", "ana")
    assert person() == "ana"


@pytest.mark.parametrize("error", [OSError, KeyError, ImportError])
def test_a_machine_that_knows_nobody_has_somebody(
    monkeypatch: pytest.MonkeyPatch, error: type[Exception]
) -> None:
    """Python before 3.13 raises KeyError or ImportError here, later ones OSError."""

    def fail() -> str:
        raise error

    monkeypatch.setattr(getpass, "getuser", fail)
    assert person() == "somebody"
