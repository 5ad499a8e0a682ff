"""Trials of the ways of telling: what the program can find out itself, and what only a person can.

A trial goes the way of a real alert, and tells of no shell, so that nobody dips for it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import partial

from PySide6.QtCore import QCoreApplication

from shellcoat.alerts.life import AlertKind
from shellcoat.desk.alert_bridge import AlertBridge
from shellcoat.desk.alerts.ways import Played
from shellcoat.desk.session import DeskSession


class Outcome(Enum):
    """How a trial came out."""

    ASK = "only a person can tell"
    WORKED = "worked"
    FAILED = "did not work"
    NOT_SET_UP = "not set up"
    WAITING = "under way"


@dataclass(frozen=True, slots=True)
class Result:
    """What a trial showed, and in words."""

    outcome: Outcome
    text: str


Tell = Callable[[Result], None]


@dataclass(frozen=True, slots=True)
class Trial:
    """One way to try; `act` tells its result, at once or later; `hint` says what may be wrong."""

    name: str
    title: str
    act: Callable[[Tell], None]
    hint: str = ""


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Trials", text)


def trials(session: DeskSession, bridge: AlertBridge) -> list[Trial]:
    """Every way there is, in the order in which to try them."""
    unheard = translate(
        "Turn up this computer's loudspeaker, look whether it is muted, and which output it plays "
        "on."
    )
    unseen = translate(
        "Look whether “do not disturb” is on: many systems switch it on by themselves with a "
        "full screen. The banner in this window always shows."
    )
    return [
        Trial("prompt", translate("Sound of a prompt"), _sound(bridge, AlertKind.PROMPT), unheard),
        Trial("alarm", translate("Sound of an alarm"), _sound(bridge, AlertKind.ALARM), unheard),
        Trial("notification", translate("Desktop notification"), _notify(bridge), unseen),
        Trial("calendar", translate("Calendar file"), partial(_calendar, session, bridge)),
        Trial("broker", translate("Message to the broker"), partial(_broker, bridge)),
    ]


def _sound(bridge: AlertBridge, kind: AlertKind) -> Callable[[Tell], None]:
    def play(tell: Tell) -> None:
        if bridge.sound.play(kind) is Played.SOUND:
            tell(Result(Outcome.ASK, translate("It was played. Did you hear it?")))
        else:
            text = translate("This computer has no sound output, so it beeped. Did you hear that?")
            tell(Result(Outcome.ASK, text))

    return play


def _notify(bridge: AlertBridge) -> Callable[[Tell], None]:
    def show(tell: Tell) -> None:
        if not bridge.tray.works:
            text = translate("This desktop takes no notifications. The banner and the sound do.")
            tell(Result(Outcome.FAILED, text))
            return
        bridge.tray.show(translate("A trial of shellcoat: no shell is waiting."))
        tell(Result(Outcome.ASK, translate("It was handed over. Did you see it?")))

    return show


def _calendar(session: DeskSession, bridge: AlertBridge, tell: Tell) -> None:
    path = bridge.calendar.path
    if path is None:
        tell(Result(Outcome.NOT_SET_UP, translate("No folder is chosen under Ways of telling.")))
        return
    from shellcoat.alerts.calendar_file import planned, write_calendar

    events, now = planned(bridge.alerts), session.now()
    tell(Result(Outcome.WAITING, translate("Writing…")))
    wrote = translate("{file} is up to date. Due times in it: {count}. Does your phone show them?")
    text = wrote.format(file=path.name, count=len(events))
    session.runner.run(
        partial(write_calendar, path, session.opened.shop.name, events, now),
        lambda _anything_new: tell(Result(Outcome.ASK, text)),
        lambda message: tell(Result(Outcome.FAILED, message)),
    )


def _broker(bridge: AlertBridge, tell: Tell) -> None:
    if bridge.broker.wants_password:
        text = translate("The broker's password is not known. Give it under Ways of telling.")
        tell(Result(Outcome.FAILED, text))
        return
    way = bridge.broker.way
    if way is None:
        tell(Result(Outcome.NOT_SET_UP, translate("No broker is chosen under Ways of telling.")))
        return
    way.send_trial()
    tell(Result(Outcome.WAITING, translate("Sent; waiting for the broker to confirm it…")))


def look_at_broker(bridge: AlertBridge, *, patience_over: bool) -> Result | None:
    """How the message went; None while there is still something to wait for."""
    from shellcoat.alerts.broker import Link

    way = bridge.broker.way
    if way is None:
        return Result(Outcome.FAILED, translate("The broker is no longer chosen."))
    link, why = way.state
    if way.waiting == 0:
        return Result(Outcome.WORKED, translate("The broker has confirmed it."))
    if link is Link.REFUSED or patience_over:
        text = translate("The broker has not confirmed it: {link}. {why}")
        return Result(Outcome.FAILED, text.format(link=link.value, why=why))
    return None
