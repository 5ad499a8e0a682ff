"""The alert sound: what the file in resources is, and that it can be made again."""

from __future__ import annotations

import wave
from io import BytesIO

import numpy as np
import pytest

from shellcoat.alerts.sound import coat_dry_wave, sound_file


@pytest.fixture(scope="module")
def made():
    return coat_dry_wave()


@pytest.fixture(scope="module")
def samples(made):
    with wave.open(BytesIO(made)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 44100)
        return np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)


def pitch(samples):
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(samples.size), n=1 << 19))
    return np.argmax(spectrum) * 44100 / (1 << 19)


def test_the_file_brought_along_is_the_one_made_here(made):
    assert sound_file().read_bytes() == made


def test_it_lasts_over_a_second_and_never_clips(samples):
    assert samples.size / 44100 == pytest.approx(1.2)
    assert 0.4 * 32767 < np.abs(samples).max() < 0.6 * 32767


def test_it_starts_and_ends_in_silence_and_never_jumps(samples):
    assert abs(samples[0]) < 10
    assert np.abs(samples[-44:]).max() < 20
    # A sine of full height at the highest partial moves no more than 2 pi f / rate per sample.
    assert np.abs(np.diff(samples)).max() < 0.5 * 32767 * 2 * np.pi * 5.404 * 880 / 44100


def test_it_is_two_notes_a_fourth_apart(samples):
    low, high = samples[: int(0.27 * 44100)], samples[int(0.7 * 44100) :]
    assert pitch(low) == pytest.approx(659.26, rel=0.005)
    assert pitch(high) == pytest.approx(880.0, rel=0.005)
