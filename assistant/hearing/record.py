"""``assistant test-hearing LIST.tsv --record``: a set of one's own voice in ten minutes, prompted by voice."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from shlex import quote

import numpy as np

from assistant.bay.job import settings_for
from assistant.bay.refusing import guarded
from assistant.events import Slot, SlotKind
from assistant.hearing.booth import Booth
from assistant.hearing.manifest import MANIFEST_COLUMNS, as_recognised, read_manifest
from assistant.hearing.measuring import phrases_for
from assistant.hearing.options import HearingOptions
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.terminal.exits import Exit, Refusal
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.ports import RATE, Samples

LONGEST_MINUTES = 10.0
SAID_WITHIN_S = 5.0
ROUNDS = 2
_NUMBERS: Mapping[SlotKind, tuple[str, ...]] = {
    SlotKind.WHOLE: ("3", "12", "17", "70", "42"),
    SlotKind.DECIMAL: ("35.5", "120", "9.8", "15"),
}
_SILENT_MOST = 3
"""Prompts in a row without an answer after which it stops."""


def run_record(manifest: Path, options: HearingOptions) -> Exit:
    """Ask for the assistant's phrases, keep each answer as a WAV file beside ``manifest``, and list it there.

    What is listed already is not asked for again, so Control-C and another start lose nothing.
    """
    return guarded(lambda: _record(manifest, options))


def prompts() -> list[str]:
    """Return every phrase of the assistant as it is said, those with a number with several numbers.

    Those with a name are left out: names are those of a job.
    """
    listed: list[str] = []
    for intent in INTENTS:
        for phrase in LANGUAGE.phrases.phrases(intent.name):
            if intent.slot is None:
                listed.append(phrase)
                continue
            numbers = [LANGUAGE.numbers.heard_words(Decimal(one)) for one in _NUMBERS.get(intent.slot, ())]
            listed += [Slot.of(phrase, intent.slot).with_inside(number) for number in numbers]
    return listed


def _record(manifest: Path, options: HearingOptions) -> Exit:
    settings = settings_for(options)
    there = Counter(one.label for one in read_manifest(manifest)) if manifest.exists() else Counter[str]()
    left = [text for turn in range(ROUNDS) for text in _shuffled(turn) if there[text] <= turn]
    folder = manifest.with_suffix("")
    kept = silent = 0
    with Booth(settings) as booth:
        booth.say(LANGUAGE.equipment.recording_begins(len(left)))
        until = time.monotonic() + 60 * LONGEST_MINUTES
        for text in left:
            if time.monotonic() > until or silent >= _SILENT_MOST:
                break
            answer = booth.ask(LANGUAGE.equipment.say_this(text), phrases_for([text]), SAID_WITHIN_S)
            if answer.heard is None:
                silent += 1
                continue
            silent = 0
            kept += 1
            keep_recording(manifest, folder, text, answer.samples, settings.operator or "me")
        booth.say(LANGUAGE.equipment.recording_ends(heard=silent < _SILENT_MOST))
    total = sum(there.values()) + kept
    command = f"assistant test-hearing {quote(str(manifest))}"
    print(f"{kept} recordings kept, {total} in {manifest}; listen to them with: {command}")
    return Exit.OK if kept or not left else Exit.DEVICE


def _shuffled(turn: int) -> list[str]:
    texts = prompts()
    return [texts[number] for number in np.random.default_rng(turn).permutation(len(texts))]


def keep_recording(manifest: Path, folder: Path, text: str, samples: Samples, speaker: str) -> None:
    """Keep what was said as a WAV file in ``folder``, which lies beside ``manifest``, and list it there.

    Raises:
        Refusal: it cannot be written.
    """
    name = f"{time.time_ns() // 1_000_000}-{as_recognised(text).replace(' ', '-')}.wav"
    out = WavLoudspeaker(folder / name)
    out.play(samples)
    out.close()
    line = "\t".join((f"{folder.name}/{name}", text, speaker.replace("\t", " "), f"{samples.size / RATE:.2f}"))
    try:
        head = "" if manifest.exists() else "\t".join(MANIFEST_COLUMNS) + "\n"
        with manifest.open("a", encoding="utf-8") as listing:
            listing.write(f"{head}{line}\n")
    except OSError as fault:
        raise Refusal(f"The list {manifest} cannot be written ({fault.strerror}).", Exit.USAGE) from fault
