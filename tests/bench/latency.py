"""From the end of a spoken word to the first sound of the reply, on recordings of both ends of a live job.

A synthetic mechanic speaks a whole job, word by word, each after the reply before has ended, over a noise floor of
-58 dBFS, or beside a machine (:func:`beside_machines`). Default engines, default settings. A word that was not
understood is counted, never measured. Beside a machine its end cannot be seen on the recording: the word is looked for
there as it was spoken, and ends where it ends in a quiet room.
"""

from __future__ import annotations

import time

import numpy as np

from audio_fixtures.make_talks import RATE
from tests.bench.figures import Figure, Tell, spread
from tests.bench.live_bay import FLOOR_DB, Bay, Job, Samples, bay, job, spoken
from tests.bench.sound_times import OVER_DB, STEP_S, found_at, levels_db, reply_start, word_end
from tests.devices.pulse import RECORD_HZ
from tests.voice.noises import MACHINES

WORDS = (
    "next", "where am i", "next", "repeat", "next", "next", "where am i", "yes", "how many", "count four",
    "count one", "confirmed", "next", "count four", "what value", "which bolts", "which tool", "next", "what value",
    "repeat", "where am i", "next", "yes", "finish job",
)  # fmt: skip
BESIDE = ("engine", "jackhammer", "drilling")
SNR_DB = 5.0
_NOISE_S = 600.0
MISSED_S = 6.0
"""A word that is not in the dialogue this long after it was spoken was not heard."""


def ended_at(recording: Samples, word: str) -> float | None:
    """Return when ``word`` ends in ``recording``, shape (n,), of RECORD_HZ, whatever sounds beside it [s]."""
    clean = spoken(word)
    begins = found_at(recording, RECORD_HZ, clean, RATE)
    loud = np.flatnonzero(levels_db(clean, RATE) > FLOOR_DB + OVER_DB)
    return None if begins is None else begins + (int(loud[-1]) + 1) * STEP_S


def one(opened: Bay, live: Job, word: str, *, noisy: bool = False) -> tuple[tuple[float, float] | None, str]:
    """Speak ``word``; return the seconds to "heard" in the dialogue and to the reply, or None, and what was heard.

    In a ``noisy`` room the end of the word is found by its own sound.
    """
    live.wait(lambda: opened.is_silent(0.7), "silence")
    since, began = len(live.lines), time.monotonic()
    opened.speak(word)
    try:
        live.wait(lambda: live.first("heard", since) is not None, f"{word!r} to be heard", MISSED_S)
    except AssertionError:
        return None, "nothing was heard"
    live.wait(lambda: not opened.is_silent(0.2), "the reply")
    live.wait(lambda: opened.is_silent(0.4), "the end of the reply")
    heard = live.first("heard", since)
    if heard is None or not heard.text.startswith(f'"{word}"'):
        return None, heard.text if heard else ""
    end = time.monotonic()
    recording = opened.microphone.between(began, end)
    ended = ended_at(recording, word) if noisy else word_end(recording, RECORD_HZ)
    replied = reply_start(opened.loudspeaker.between(began, end), RECORD_HZ)
    if ended is None or replied is None:
        return None, "no word or no reply on the recordings"
    return (heard.at - began - ended, replied - ended), heard.text


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return the median, the 95th percentile and how many words were not understood."""
    took, known, missed = _talk(tell, "")
    return [
        *spread("End of word -> first sound of the reply", took, "ms", 300, 500),
        *spread("End of word -> heard, in the dialogue", known, "ms", None, None),
        Figure(f"Words of {len(WORDS)} not understood", len(missed), "words", None, ", ".join(missed)),
    ]


def beside_machines(tell: Tell) -> list[Figure]:
    """Measure the same job beside each machine, whose noise is ``SNR_DB`` below the words."""
    found, every = list[Figure](), list[float]()
    for kind in BESIDE:
        took, _, missed = _talk(tell, kind)
        every += took
        found += spread(f"End of word -> first sound, beside {kind} at {SNR_DB:g} dB", took, "ms", None, None)
        found.append(
            Figure(f"Words of {len(WORDS)} not understood there", len(missed), "words", None, "; ".join(missed))
        )
    return [*found, *spread(f"End of word -> first sound, all at {SNR_DB:g} dB", every, "ms", 300, 500)]


def _noise(kind: str) -> Samples:
    """Return the sound of the machine ``kind``, 16 kHz, shape (n,), so far below the words of the talk."""
    words = np.concatenate([spoken(word).astype(np.float64) for word in dict.fromkeys(WORDS)])
    speech = words[np.abs(words) > 0.01 * np.abs(words).max()]
    noise = np.resize(MACHINES[kind](60.0, np.random.default_rng(1)), round(_NOISE_S * RATE))
    scale = np.sqrt(np.mean(speech**2) / np.mean(noise**2)) * 10 ** (-SNR_DB / 20)
    return np.clip(np.rint(noise * scale), -32_768, 32_767).astype(np.int16)


def _talk(tell: Tell, kind: str) -> tuple[list[float], list[float], list[str]]:
    """Return the times to the reply and to "heard" [ms] of a job beside ``kind``, and what was not understood."""
    took: list[float] = []
    known: list[float] = []
    missed: list[str] = []
    with bay() as opened, job() as live:
        live.wait(lambda: live.first("said") is not None, "the first sentence")
        live.wait(lambda: not opened.is_silent(0.2), "the first sound")
        if kind:
            opened.room(_noise(kind))
        for number, word in enumerate(WORDS, 1):
            times, heard = one(opened, live, word, noisy=bool(kind))
            tell(f"word {number} of {len(WORDS)}: {word}, " + (f"{times[1] * 1000:.0f} ms" if times else heard))
            if times is None:
                missed.append(f"{word} ({heard})")
            else:
                known.append(1000 * times[0])
                took.append(1000 * times[1])
    return took, known, missed
