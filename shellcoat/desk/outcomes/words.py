"""Results of pours in the person's language."""

from __future__ import annotations

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from shellcoat.shop import PourResult

_WORDS = {
    PourResult.SOUND: QT_TRANSLATE_NOOP("Outcomes", "sound"),
    PourResult.LEAK: QT_TRANSLATE_NOOP("Outcomes", "leak"),
    PourResult.CRACK: QT_TRANSLATE_NOOP("Outcomes", "crack"),
    PourResult.RUN_OUT: QT_TRANSLATE_NOOP("Outcomes", "run-out"),
    PourResult.OTHER: QT_TRANSLATE_NOOP("Outcomes", "other"),
}


def translate(text: str) -> str:
    """The text in the person's language."""
    return QCoreApplication.translate("Outcomes", text)


def result_words(result: PourResult) -> str:
    """What a result is called."""
    return translate(str(_WORDS[result]))
