"""The sounds of alerts, made from sines: two soft strokes on a metal bar, or five hard ones.

The files in resources are what `prompt_wave` and `alarm_wave` make, and no recordings of anything.
A prompt rises and is over; an alarm goes up and down between two higher notes, so that the two
are told apart by their count and their movement as well as by their pitch.
"""

from __future__ import annotations

import math
import wave
from io import BytesIO
from pathlib import Path
from struct import pack

from shellcoat.alerts.life import AlertKind
from shellcoat.places import resources_dir

SAMPLES_PER_S = 44_100
PEAK = 0.5
"""Loudest sample as a share of full scale: half, so that it calls and does not startle."""

Strokes = tuple[tuple[float, float, float], ...]

PROMPT_LENGTH_S = 1.2
PROMPT_STROKES: Strokes = ((0.0, 659.26, 0.8), (0.28, 880.0, 1.0))
"""When [s], how high [Hz] and how strong each stroke is: E5, then A5, a rising fourth.

Pitches of equal temperament with A4 at 440 Hz (ISO 16).
"""

ALARM_LENGTH_S = 1.7
ALARM_STROKES: Strokes = (
    (0.0, 1174.66, 1.0),
    (0.2, 880.0, 1.0),
    (0.4, 1174.66, 1.0),
    (0.6, 880.0, 1.0),
    (0.8, 1174.66, 1.0),
)
"""The same for an alarm: D6 and A5 by turns."""

PARTIALS = ((1.0, 1.0, 0.30), (2.756, 0.22, 0.12), (5.404, 0.08, 0.05))
"""Frequency ratio, strength, and time [s] in which it fades to 1/e, of each partial of a bar.

The ratios are those of a free bar in bending: Rayleigh, The Theory of Sound, vol. 1, London 1894,
chapter VIII. Strengths and fading times from memory: a soft stroke loses its high partials first.
"""

ATTACK_S = 0.006
RELEASE_S = 0.06


_FILES = {AlertKind.PROMPT: "coat_dry.wav", AlertKind.ALARM: "alarm.wav"}


def sound_file(kind: AlertKind) -> Path:
    """Tell where the finished sound lies."""
    return resources_dir() / "sounds" / _FILES[kind]


def prompt_wave() -> bytes:
    """Make the sound of a prompt as a WAV file: one channel, 16 bit."""
    return _wave(PROMPT_STROKES, PROMPT_LENGTH_S)


def alarm_wave() -> bytes:
    """Make the sound of an alarm as a WAV file."""
    return _wave(ALARM_STROKES, ALARM_LENGTH_S)


def _wave(strokes: Strokes, length_s: float) -> bytes:
    loudness = _loudness(strokes, length_s)
    scale = PEAK * 32767 / max(map(abs, loudness))
    samples = [round(scale * value) for value in loudness]
    file = BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(SAMPLES_PER_S)
        out.writeframes(pack(f"<{len(samples)}h", *samples))
    return file.getvalue()


def _loudness(strokes: Strokes, length_s: float) -> list[float]:
    times = [index / SAMPLES_PER_S for index in range(round(length_s * SAMPLES_PER_S))]
    return [
        _release(length_s - at)
        * sum(_stroke(at - start, hz, strength) for start, hz, strength in strokes)
        for at in times
    ]


def _stroke(at: float, frequency_hz: float, strength: float) -> float:
    """Give one stroke's sound, `at` seconds after it; soft at its start."""
    if at <= 0.0:
        return 0.0
    bar = sum(
        share * math.exp(-at / fades_s) * math.sin(2.0 * math.pi * ratio * frequency_hz * at)
        for ratio, share, fades_s in PARTIALS
    )
    return strength * min(at / ATTACK_S, 1.0) * bar


def _release(left_s: float) -> float:
    """Bring the end down to silence, so that it does not click."""
    return min(left_s / RELEASE_S, 1.0)
