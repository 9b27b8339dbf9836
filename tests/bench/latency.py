"""From the end of a spoken word to the first sound of the reply, on recordings of both ends of a live job.

A synthetic mechanic speaks a whole job, word by word, each after the reply before has ended, over a noise floor of
-58 dBFS. Default engines, default settings. A word that was not understood is counted, never measured.
"""

from __future__ import annotations

import time

from tests.bench.figures import Figure, Tell, spread
from tests.bench.live_bay import Bay, Job, bay, job
from tests.bench.sound_times import reply_start, word_end
from tests.devices.pulse import RECORD_HZ

WORDS = (
    "next", "where am i", "next", "repeat", "next", "next", "where am i", "yes", "how many", "count four",
    "count one", "confirmed", "next", "count four", "what value", "which bolts", "which tool", "next", "what value",
    "repeat", "where am i", "next", "yes", "finish job",
)  # fmt: skip
MISSED_S = 6.0
"""A word that is not in the dialogue this long after it was spoken was not heard."""


def one(opened: Bay, live: Job, word: str) -> tuple[tuple[float, float] | None, str]:
    """Speak ``word``; return the seconds to "heard" in the dialogue and to the reply, or None, and what was heard."""
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
    ended = word_end(opened.microphone.between(began, end), RECORD_HZ)
    replied = reply_start(opened.loudspeaker.between(began, end), RECORD_HZ)
    if ended is None or replied is None:
        return None, "no word or no reply on the recordings"
    return (heard.at - began - ended, replied - ended), heard.text


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return the median, the 95th percentile and how many words were not understood."""
    took: list[float] = []
    known: list[float] = []
    missed: list[str] = []
    with bay() as opened, job() as live:
        live.wait(lambda: live.first("said") is not None, "the first sentence")
        live.wait(lambda: not opened.is_silent(0.2), "the first sound")
        for number, word in enumerate(WORDS, 1):
            times, heard = one(opened, live, word)
            tell(f"word {number} of {len(WORDS)}: {word}, " + (f"{times[1] * 1000:.0f} ms" if times else heard))
            if times is None:
                missed.append(f"{word} ({heard})")
            else:
                known.append(1000 * times[0])
                took.append(1000 * times[1])
    return [
        *spread("End of word -> first sound of the reply", took, "ms", 300, 500),
        *spread("End of word -> heard, in the dialogue", known, "ms", None, None),
        Figure(f"Words of {len(WORDS)} not understood", len(missed), "words", None, ", ".join(missed)),
    ]
