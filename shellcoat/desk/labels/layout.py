"""Where everything stands on one label, in whole dots of the printer.

The code stands on the label twice, at either end. At the highest error level (H) a code is read
with about a tenth of it covered in one place, and mostly not with a fifth (measured with zbar on
codes of versions 1 to 4); a splash that covers more than that of one leaves the other.

Modules are whole dots, so that all come out alike, at least 0.33 mm wide: common practice for
hand-held scanners and telephones. Four modules around a code stay bare (ISO/IEC 18004:2015, 9.1).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import segno
from segno import QRCode

from shellcoat.desk.labels.sizes import LabelKind, LabelSize
from shellcoat.errors import MendableError
from shellcoat.shop import Shell
from shellcoat.shop.label_code import code_text

QUIET_MODULES = 4
LEAST_MODULE_MM = 0.33
MOST_MODULE_MM = 0.8
CODE_SHARE = 0.24
"""How much of a label's width one code takes while its modules can be that large."""

TITLE_SHARE, TAPE_TITLE_SHARE = 0.28, 0.44
MOST_TITLE_MM = 9.0
LEAST_WORDS_MM = 13.0
MOST_TAPE_WORDS_MM = 60.0
MM_PER_INCH = 25.4


class LabelTooSmallError(MendableError):
    """A label on which the code of a shell has no room."""


@dataclass(frozen=True, slots=True)
class LabelText:
    """What a label says: the shell's label and name, its code, a box for each planned coat."""

    label: str
    name: str
    code: QRCode
    coats: int

    @property
    def modules(self) -> int:
        """How many modules the code has along a side, without what stays bare."""
        return int(self.code.symbol_size(scale=1, border=0)[0])


def label_text(shell: Shell) -> LabelText:
    """What stands on a shell's label."""
    try:
        code = segno.make_qr(code_text(shell.label), error="h", boost_error=False)
    except (segno.DataOverflowError, ValueError) as cause:
        raise _no_room(shell.label) from cause
    return LabelText(
        label=" ".join(shell.label.split()),
        name=" ".join(shell.name.split()),
        code=code,
        coats=len(shell.sequence.steps),
    )


def _no_room(label: str) -> LabelTooSmallError:
    shown = label if len(label) <= 40 else f"{label[:39]}…"
    return LabelTooSmallError(
        f"Label {shown}: its code has no room here with modules of {LEAST_MODULE_MM} mm, which "
        "scanners need. Choose a larger size, or give the shell a shorter label of capitals, "
        "digits and hyphens."
    )


@dataclass(frozen=True, slots=True)
class LabelLayout:
    """One label in dots: its size, its modules, the corners of both codes, room for the words.

    `title` is where the label itself stands, `words` what is left for name and coats; both as
    left, top, width, height.
    """

    width: int
    height: int
    module: int
    code: int
    codes: tuple[tuple[int, int], tuple[int, int]]
    title: tuple[int, int, int, int]
    words: tuple[int, int, int, int]


def lay_out(text: LabelText, size: LabelSize, dots_per_inch: int, words_mm: float) -> LabelLayout:
    """Lay one label out; `words_mm` is how wide its words want to be, which a tape follows."""
    per_mm = dots_per_inch / MM_PER_INCH
    bare = math.ceil(size.bare_mm * per_mm)
    height = math.floor(size.height_mm * per_mm)
    title_mm = title_height_mm(size)
    title = math.floor(title_mm * per_mm)
    is_tape = size.kind is LabelKind.TAPE
    module = _module(text, size, per_mm)
    code, quiet = module * text.modules, QUIET_MODULES * module
    edge = max(quiet, bare)
    if is_tape:
        wanted = min(max(words_mm, LEAST_WORDS_MM), MOST_TAPE_WORDS_MM)
        width = math.ceil(wanted * per_mm) + 2 * (edge + code + quiet + module)
        top = (height - code) // 2
    else:
        width = math.floor(size.width_mm * per_mm)
        # Below the title, with what stays bare above and below shared out evenly.
        top = bare + title + max(quiet, (height - bare - title - code) // 2)
        top = min(top, height - edge - code)
    inner = edge + code + quiet + module  # one more, for the thickness of pens
    across = width - 2 * inner
    if across < math.floor(LEAST_WORDS_MM * per_mm):
        raise _no_room(text.label)
    below = bare + title
    return LabelLayout(
        width=width,
        height=height,
        module=module,
        code=code,
        codes=((edge, top), (width - edge - code, top)),
        title=(inner, bare, across, title) if is_tape else (edge, bare, width - 2 * edge, title),
        words=(inner, below, across, height - below - bare),
    )


def title_height_mm(size: LabelSize) -> float:
    """How tall the line with the label is [mm]."""
    share = TAPE_TITLE_SHARE if size.kind is LabelKind.TAPE else TITLE_SHARE
    return min(share * (size.height_mm - 2 * size.bare_mm), MOST_TITLE_MM)


def _module(text: LabelText, size: LabelSize, per_mm: float) -> int:
    """The width of a module in dots."""
    modules = text.modules
    least = math.ceil(LEAST_MODULE_MM * per_mm - 1e-9)
    high = _most_by_height(modules, size)
    if math.floor(high * per_mm) < least:
        raise _no_room(text.label)
    across = math.inf if size.kind is LabelKind.TAPE else CODE_SHARE * size.width_mm / modules
    return max(math.floor(min(across, high, MOST_MODULE_MM) * per_mm), least)


def _most_by_height(modules: int, size: LabelSize) -> float:
    """How wide a module may be for the code and what stays bare to find room [mm]."""
    bare = size.bare_mm
    if size.kind is LabelKind.TAPE:  # code and title stand side by side
        quiet, printed = size.height_mm, size.height_mm - 2 * bare
        return min(quiet / (modules + 2 * QUIET_MODULES), printed / modules)
    left = size.height_mm - bare - title_height_mm(size)
    return min(left / (modules + 2 * QUIET_MODULES), (left - bare) / (modules + QUIET_MODULES))
