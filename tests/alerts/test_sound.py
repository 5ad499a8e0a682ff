"""The alert sound: what the file in resources is, and that it can be made again."""

from __future__ import annotations

import wave
from io import BytesIO

import numpy as np
import pytest

from shellcoat.alerts.life import AlertKind
from shellcoat.alerts.sound import alarm_wave, prompt_wave, sound_file


@pytest.fixture(scope="module")
def made():
    return prompt_wave()


@pytest.fixture(scope="module")
def samples(made):
    with wave.open(BytesIO(made)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 44100)
        return np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)


def pitch(samples):
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(samples.size), n=1 << 19))
    return np.argmax(spectrum) * 44100 / (1 << 19)


def test_the_files_brought_along_are_the_ones_made_here(made):
    assert sound_file(AlertKind.PROMPT).read_bytes() == made
    assert sound_file(AlertKind.ALARM).read_bytes() == alarm_wave()


def test_an_alarm_is_longer_and_goes_up_and_down_between_two_other_notes():
    with wave.open(BytesIO(alarm_wave())) as file:
        alarm = np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)
    assert alarm.size / 44100 == pytest.approx(1.7)
    assert np.abs(alarm).max() < 0.6 * 32767
    # Just after each stroke its own note is the loudest; the one before fades within 0.3 s.
    heard = [pitch(alarm[int(at * 44100) : int((at + 0.19) * 44100)]) for at in (0.0, 0.2, 0.8)]
    assert heard[0] == pytest.approx(1174.66, rel=0.01)
    assert heard[1] == pytest.approx(880.0, rel=0.01)
    assert heard[2] == pytest.approx(1174.66, rel=0.01)


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
