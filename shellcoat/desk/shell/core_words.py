"""Marks and sentences of the cores on the Shell page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from shellcoat.desk.dialogs.core_words import facing_word, shape_word
from shellcoat.desk.marks import MarkState
from shellcoat.desk.session import DeskSession
from shellcoat.desk.shell.core_picture import CorePicture
from shellcoat.forecast.answers import CoreAnswer, ShellForecast
from shellcoat.operations.wording import write_time
from shellcoat.shop import CareKind, Core, CoreCare, Opening, OpeningShape
from shellcoat.units import Quantity

NO_WATER_KG = 1e-4
"""Water [kg] below which a hollow counts as dry inside."""

_DONE = {
    CareKind.BLOW: QT_TRANSLATE_NOOP("Cores", "air blown in"),
    CareKind.TURN: QT_TRANSLATE_NOOP("Cores", "shell turned over"),
    CareKind.PLUG: QT_TRANSLATE_NOOP("Cores", "plugged"),
    CareKind.OPEN: QT_TRANSLATE_NOOP("Cores", "opened"),
}


def translate(text: object) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Cores", str(text))


def core_mark(answer: CoreAnswer | None, now: datetime) -> tuple[MarkState, str]:
    """The mark of a core and the word beside it."""
    if answer is None:
        return MarkState.BARE, translate("no coat yet")
    if answer.closed or answer.plugged:
        return _shut_mark(answer)
    if answer.safe_at is None:
        return MarkState.WILL_NOT_DRY, translate("will not dry")
    if answer.safe_at <= now:
        return MarkState.FINISHED, translate("dry")
    return MarkState.WET, translate("drying")


def _shut_mark(answer: CoreAnswer) -> tuple[MarkState, str]:
    word = translate("closed") if answer.closed else translate("plugged")
    if answer.water_kg.likely > NO_WATER_KG:
        return MarkState.WARNING, translate("{closed}, wet inside").format(closed=word)
    return MarkState.FINISHED, translate("{closed}, dry inside").format(closed=word)


def no_help_words(answer: CoreAnswer | None, now: datetime) -> str:
    """What to say of a core where nothing that could be tried gains anything."""
    if answer is None:
        return ""
    if answer.plugged:
        return translate("Nothing dries a plugged core. Open it again to dry it.")
    if answer.closed:
        return translate(
            "Nothing dries a closed core. Open it, then give its new width under “Cores…”."
        )
    if answer.safe_at is not None and answer.safe_at <= now:
        return translate("Nothing needs doing before the next dip.")
    return translate("Nothing that was tried makes it dry sooner.")


def without_name(sentence: str, core: Core) -> str:
    """A sentence about a core under a heading that names it."""
    rest = sentence.removeprefix(f"{core.name}: ")
    return f"{rest[:1].upper()}{rest[1:]}"


def cores_at_risk(forecast: ShellForecast) -> int:
    """How many cores the forecast warns of."""
    warned = {warning.core for warning in forecast.warnings if warning.core}
    return sum(core.name in warned for core in forecast.cores)


def tab_title(forecast: ShellForecast) -> str:
    """The title of the tab with the number of cores at risk."""
    count = cores_at_risk(forecast)
    return (
        translate("&Cores ({count} at risk)").format(count=count) if count else translate("&Cores")
    )


def openings_words(session: DeskSession, core: Core) -> str:
    """Every opening as it was measured on the bare wax."""
    if not core.openings:
        return translate("No opening.")
    listed = "; ".join(_opening_words(session, one) for one in core.openings)
    return translate("On the bare wax: {openings}.").format(openings=listed)


def _opening_words(session: DeskSession, one: Opening) -> str:
    width = session.write(one.width_m, Quantity.LENGTH)
    height = session.write(one.height_m, Quantity.LENGTH)
    across = width if one.shape is OpeningShape.ROUND else f"{width} × {height}"
    return translate("{shape} {across}, facing {facing}").format(
        shape=shape_word(one.shape), across=across, facing=facing_word(one.facing)
    )


def clear_words(session: DeskSession, picture: CorePicture) -> str:
    """The clear width now."""
    if picture.opening is None:
        return translate("no opening")
    if picture.plugged:
        return translate("plugged")
    if picture.closed:
        return translate("closed")
    return translate("{width} clear now").format(
        width=session.write(picture.clear_m, Quantity.LENGTH)
    )


def closing_mark(picture: CorePicture) -> str:
    """The coat that would close it, while that is still to come."""
    if picture.closes_at is None or picture.closed or picture.opening is None:
        return ""
    return translate("coat {number} closes it").format(number=picture.closes_at)


def describe_drawing(session: DeskSession, picture: CorePicture) -> str:
    """The drawing for those who do not see it."""
    parts = [
        translate("{count} coats in the opening").format(count=len(picture.on)),
        clear_words(session, picture),
        closing_mark(picture),
    ]
    return "; ".join(part for part in parts if part) + "."


def care_words(session: DeskSession, care: Sequence[CoreCare], core_id: UUID, now: datetime) -> str:
    """What was last done to a core, and whether its shell hangs upside down."""
    own = [act for act in care if act.core_id in (None, core_id) and act.at <= now]
    if not own:
        return ""
    last = max(own, key=lambda act: act.at)
    words = [_act_words(session, last, now)]
    words += [
        _act_words(session, act, now) for act in own if act is not last and _goes_on(act, now)
    ]
    turns = sum(act.kind is CareKind.TURN for act in own)
    if turns:
        over, up = translate("the shell hangs upside down"), translate("the shell hangs upright")
        words.append(over if turns % 2 else up)
    return translate("Last done: {acts}.").format(acts=", ".join(words))


def _goes_on(act: CoreCare, now: datetime) -> bool:
    """Whether air is being blown in."""
    return act.kind is CareKind.BLOW and (act.until is None or act.until > now)


def _act_words(session: DeskSession, act: CoreCare, now: datetime) -> str:
    zone = session.opened.zone
    at, done = write_time(act.at, zone, now), translate(_DONE[act.kind])
    if act.kind is not CareKind.BLOW or act.flow_m3_s is None:
        return f"{done} {at}"
    flow = session.write(act.flow_m3_s, Quantity.FLOW)
    until = (
        translate("until {time}").format(time=write_time(act.until, zone, now)) if act.until else ""
    )
    return " ".join(part for part in (done, flow, translate("from"), at, until) if part)
