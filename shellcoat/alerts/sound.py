"""The sound of an alert: two soft strokes on a metal bar, made from sines.

The file in resources is what `coat_dry_wave` makes, and no recording of anything.
"""

from __future__ import annotations

import math
import wave
from io import BytesIO
from pathlib import Path
from struct import pack

from shellcoat.places import resources_dir

SAMPLES_PER_S = 44_100
LENGTH_S = 1.2
PEAK = 0.5
"""Loudest sample as a share of full scale: half, so that it calls and does not startle."""

STROKES = ((0.0, 659.26, 0.8), (0.28, 880.0, 1.0))
"""When [s], how high [Hz] and how strong each stroke is: E5, then A5, a rising fourth.

Pitches of equal temperament with A4 at 440 Hz (ISO 16).
"""

PARTIALS = ((1.0, 1.0, 0.30), (2.756, 0.22, 0.12), (5.404, 0.08, 0.05))
"""Frequency ratio, strength, and time [s] in which it fades to 1/e, of each partial of a bar.

The ratios are those of a free bar in bending: Rayleigh, The Theory of Sound, vol. 1, London 1894,
chapter VIII. Strengths and fading times from memory: a soft stroke loses its high partials first.
"""

ATTACK_S = 0.006
RELEASE_S = 0.06


def sound_file() -> Path:
    """Tell where the finished sound lies."""
    return resources_dir() / "sounds" / "coat_dry.wav"


def coat_dry_wave() -> bytes:
    """Make the sound as a WAV file: one channel, 16 bit."""
    loudness = _loudness()
    scale = PEAK * 32767 / max(map(abs, loudness))
    samples = [round(scale * value) for value in loudness]
    file = BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(SAMPLES_PER_S)
        out.writeframes(pack(f"<{len(samples)}h", *samples))
    return file.getvalue()


def _loudness() -> list[float]:
    times = [index / SAMPLES_PER_S for index in range(round(LENGTH_S * SAMPLES_PER_S))]
    return [
        _release(at) * sum(_stroke(at - start, hz, s) for start, hz, s in STROKES) for at in times
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


def _release(at: float) -> float:
    """Bring the end down to silence, so that it does not click."""
    return min((LENGTH_S - at) / RELEASE_S, 1.0)
