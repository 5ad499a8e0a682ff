"""Words that several dialogs share."""

from __future__ import annotations

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from shellcoat.shop import CoatKind, CoatStep, ShellState

_KINDS = {
    CoatKind.PRIME: QT_TRANSLATE_NOOP("Dialogs", "prime"),
    CoatKind.BACKUP: QT_TRANSLATE_NOOP("Dialogs", "backup"),
    CoatKind.SEAL: QT_TRANSLATE_NOOP("Dialogs", "seal"),
}
_STATES = {
    ShellState.IN_WORK: QT_TRANSLATE_NOOP("Dialogs", "in work"),
    ShellState.ON_HOLD: QT_TRANSLATE_NOOP("Dialogs", "on hold"),
    ShellState.FINISHED: QT_TRANSLATE_NOOP("Dialogs", "finished"),
    ShellState.SCRAPPED: QT_TRANSLATE_NOOP("Dialogs", "scrapped"),
}
_METALS = (
    QT_TRANSLATE_NOOP("Dialogs", "silicon bronze"),
    QT_TRANSLATE_NOOP("Dialogs", "tin bronze"),
    QT_TRANSLATE_NOOP("Dialogs", "brass"),
    QT_TRANSLATE_NOOP("Dialogs", "aluminium"),
)


def translate(text: object) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Dialogs", str(text))


def kind_word(kind: CoatKind) -> str:
    """What a coat is for."""
    return translate(_KINDS[kind])


def state_word(state: ShellState) -> str:
    """Where a shell stands."""
    return translate(_STATES[state])


def usual_metals() -> list[str]:
    """The metals most often poured into such shells."""
    return [translate(metal) for metal in _METALS]


def step_words(number: int, step: CoatStep) -> str:
    """A planned coat in a list, such as "3  backup: fused silica backup"."""
    return f"{number}  {kind_word(step.kind)}: {step.slurry}"
