"""Telling a scanner from a person: keys that come too fast for fingers, or between signs."""

from __future__ import annotations

from dataclasses import dataclass

FAST_MS = 30
"""A scanner types a key every few milliseconds; fingers do not get below this for long
(common practice among programs that read scanners)."""

PATIENCE_MS = 120
"""So long the keys of an unprogrammed scanner may lie in a busy machine before they are given
back: twice what a slow frame takes, and nobody sees it while typing."""

TIMEOUT_MS = 5_000
"""After the first sign a scan that has not ended by then never will."""

LEAST = 2
MOST = 200


@dataclass(frozen=True, slots=True)
class Taken:
    """What becomes of a key: kept back, those kept back given back first, a scan that is whole."""

    keep: bool = False
    give_back: bool = False
    scan: str = ""


class ScanReader:
    """Reads keys one by one; the first sign is optional, Enter or Tab ends a scan."""

    def __init__(self, first_sign: str = "") -> None:
        self.first_sign = first_sign
        self._text = ""
        self._signed = False
        self._last_ms = 0.0

    @property
    def waiting_ms(self) -> int:
        """How long what is kept back may wait for the next key; 0 where nothing is."""
        if self._signed:
            return TIMEOUT_MS
        return PATIENCE_MS if self._text else 0

    def key(self, text: str, at_ms: float, *, ends: bool) -> Taken:
        """Take a key: its text, when it was pressed [ms], and whether it ends a scan."""
        late = self._is_late(at_ms)
        give_back = late and not self._signed and bool(self._text)
        if late:
            self.clear()
        self._last_ms = at_ms
        if ends:
            return self._end(give_back=give_back)
        if self.first_sign and text == self.first_sign and not self._signed:
            return self._begin(give_back=give_back)
        if len(text) != 1 or not text.isprintable() or len(self._text) >= MOST:
            return self._stop(give_back=give_back)
        self._text += text
        return Taken(keep=True, give_back=give_back)

    def _is_late(self, at_ms: float) -> bool:
        return at_ms - self._last_ms > (TIMEOUT_MS if self._signed else FAST_MS)

    def _begin(self, *, give_back: bool) -> Taken:
        give_back = give_back or bool(self._text)
        self._text, self._signed = "", True
        return Taken(keep=True, give_back=give_back)

    def _end(self, *, give_back: bool) -> Taken:
        text, signed = self._text, self._signed
        self.clear()
        if signed or len(text) >= LEAST:
            return Taken(keep=True, give_back=give_back, scan=text)
        return Taken(give_back=give_back or bool(text))

    def _stop(self, *, give_back: bool) -> Taken:
        """A key that is no part of any scan: what was kept back was typed."""
        signed, text = self._signed, self._text
        if signed:
            return Taken(keep=True)  # between the signs everything is the scanner's
        self.clear()
        return Taken(give_back=give_back or bool(text))

    def expire(self) -> bool:
        """Nothing more came; whether what was kept back is to be given back."""
        typed = bool(self._text) and not self._signed
        self.clear()
        return typed

    def clear(self) -> None:
        """Forget what was kept back."""
        self._text, self._signed = "", False
