"""The pair of Qt and Python at hand lives through a working day's calls.

PySide6 6.12.0 drops a reference to None at every call without a result on Python below 3.12, and
to True at every emission of `Signal(bool)`; the process dies after some thousand of them.
"""

from __future__ import annotations

import os
import subprocess
import sys

CALLS, EMISSIONS = 20_000, 2_000

DAY = f"""
import sys
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QLabel

class Source(QObject):
    told = Signal(bool)

app = QApplication([])
label, source, heard = QLabel(), Source(), []
source.told.connect(heard.append)
nones = sys.getrefcount(None)
for number in range({CALLS}):
    label.setText(str(number))
for number in range({EMISSIONS}):
    source.told.emit(number % 2 == 0)
assert label.text() == "{CALLS - 1}"
assert heard.count(True) == heard.count(False) == {EMISSIONS // 2}
assert abs(sys.getrefcount(None) - nones) < 100, "references to None leak"
print("lived")
"""


def test_twenty_thousand_calls_and_two_thousand_signals() -> None:
    done = subprocess.run(
        [sys.executable, "-c", DAY],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stdout.strip()) == (0, "lived"), done.stderr
