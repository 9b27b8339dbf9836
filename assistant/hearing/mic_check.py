"""``assistant mic-check``: measures the microphone in the real bay, says what to change, and stores the devices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from assistant.bay.job import settings_for
from assistant.bay.refusing import guarded
from assistant.events import Clarity, Thresholds
from assistant.hearing.booth import Answer, Booth, Played, joined_blocks
from assistant.hearing.echo_path import EchoTaken, Mode, cancelled, mode_of
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mic_sound import (
    Echo,
    clipped_share,
    find_echo,
    hum_share,
    is_dead,
    noise_db,
    speech_db,
    stands_out,
)
from assistant.hearing.options import MicCheckOptions
from assistant.hearing.score import as_meant
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import BY_NAME
from assistant.settings import Settings, settings_path, store_settings
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import table
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcCanceller
from assistant.voice.ports import Block, Samples, VoiceFault

_INTENTS = ("next", "repeat", "which_bolts", "confirmed", "count", "cancel", "where", "go_back")
"""Eight of all weights, short and long, one with a number."""
_COUNT = 4
"""The number that is said with the one that takes one."""
SILENCE_S = 3.0
ANSWER_WITHIN_S = 6.0
OVERHEARD_S = 1.5
LEAST_SNR_DB, GOOD_SNR_DB = 5.0, 15.0
WEAK_DB = -45.0
HUM_MOST = 0.8
CLIPPED_MOST = 0.001
STILL_S = 0.5
"""A computer that stood still for longer in all loses words, and cannot tell how a microphone is [s]."""
_SAY = LANGUAGE.equipment
_GIVE_UP_AFTER = 3
"""Phrases without any answer after which no more is asked."""
_TAIL_SPARE_S = 0.1
_TAILS_MS = (150, 1500)


@dataclass(frozen=True, slots=True)
class SaidPhrase:
    """One phrase that was asked for: what was heard instead of nothing, and how its sound was."""

    phrase: str
    answer: Answer
    level_db: float
    clipped: float

    def is_right(self, limits: Thresholds) -> bool:
        """Return whether the assistant would have acted upon it."""
        heard, meant = self.answer.heard, as_meant(self.phrase)
        if heard is None or meant is None or heard.clarity is not Clarity.PHRASE:
            return False
        return as_meant(heard.text) == meant and heard.confidence >= limits.of(BY_NAME[meant[0]].weight, heard.text)


@dataclass(frozen=True, slots=True)
class Found:
    """All that was measured; levels in dBFS, in the band of speech."""

    noise: float
    hum: float
    echo: Echo | None
    said: Sequence[SaidPhrase]
    right: int
    clean: EchoTaken | None = None
    """What became of the own voice; None without a canceller, or where it was not heard."""
    late_s: float = 0.0
    """How long the own voice takes from the program to its being heard [s]."""
    devices: str = ""
    """What tells these two devices from others."""
    is_doubtful: bool = False
    """Whether the own voice was not found where something else sounded, or where the computer stood still."""
    still_s: float = 0.0
    """How long the computer stood still while it listened [s]."""

    @property
    def mode(self) -> Mode:
        """How this bay lets the assistant listen."""
        return mode_of(self.echo, self.clean, self.is_doubtful)

    @property
    def level(self) -> float | None:
        """The middle level of the phrases that were heard; None when none was."""
        levels = [said.level_db for said in self.said if said.answer.heard]
        return float(np.median(levels)) if levels else None

    @property
    def snr(self) -> float | None:
        """How far speech lies over the noise [dB]."""
        return None if self.level is None else self.level - self.noise

    @property
    def clipped(self) -> int:
        """Phrases whose sound was cut off at the top."""
        return sum(said.clipped > CLIPPED_MOST for said in self.said)


def asked_phrases() -> list[str]:
    """Return the phrases that are asked for, as they are heard."""
    numbers = {"count": f" {LANGUAGE.numbers.heard_words(_COUNT)}"}
    return [LANGUAGE.phrases.phrases(intent)[0] + numbers.get(intent, "") for intent in _INTENTS]


def run_mic_check(options: MicCheckOptions) -> Exit:
    """Check the devices that ``options`` and the settings name, and store what was found out about them if wanted."""
    return guarded(lambda: _mic_check(settings_for(options), options.store))


def _mic_check(settings: Settings, store: bool) -> Exit:
    with Booth(settings) as booth:
        booth.say(_SAY.check_begins())
        silence = joined_blocks(booth.record(SILENCE_S))
        if is_dead(silence):
            raise Refusal(_SAY.no_signal(), Exit.DEVICE)
        noise = noise_db(silence)
        still_s = booth.stood_still_s
        blocks, played, silent_at = booth.overhear(_SAY.own_voice(), OVERHEARD_S)
        own = find_echo(blocks, played, silent_at, noise)
        is_doubtful = own is None and (stands_out(blocks, noise) or booth.stood_still_s > still_s)
        clean = _cancelled(blocks, played, own, booth.latency_s)
        phrases = asked_phrases()
        grammar = phrases_for(phrases)
        said = []
        for number, phrase in enumerate(phrases, 1):
            answer = booth.ask(_SAY.say_this(phrase, number, len(phrases)), grammar, ANSWER_WITHIN_S)
            said.append(_judged(phrase, answer, noise))
            print(f"    {_what(answer)}", flush=True)
            if number == _GIVE_UP_AFTER and not any(one.answer.heard for one in said):
                break
        limits = booth.limits
        right = sum(one.is_right(limits) for one in said)
        late_s = booth.latency_s + (own.delay_s if own else 0.0)
        found = Found(
            noise, hum_share(silence), own, said, right, clean, late_s, booth.devices, is_doubtful, booth.stood_still_s
        )
        advice = advise(found)
        print(_report(found, settings))
        enough = right * 2 >= len(phrases)
        if store:
            advice.append(_stored(found, settings) if enough else _SAY.not_enough())
        for sentence in advice:
            booth.say(sentence)
    return Exit.OK if enough else Exit.DEVICE


def _cancelled(
    blocks: Sequence[Block], played: Sequence[Played], own: Echo | None, latency_s: float
) -> EchoTaken | None:
    """Return how well the own voice can be taken out; None where it is not heard, or there is no canceller."""
    if own is None:
        return None
    try:
        return cancelled(
            blocks, played, latency_s + own.delay_s, latency_s, WebrtcCanceller(), (SileroDetector(), SileroDetector())
        )
    except VoiceFault as fault:
        print(fault.sentence, flush=True)
        return None


def _judged(phrase: str, answer: Answer, noise: float) -> SaidPhrase:
    samples: Samples = answer.samples
    return SaidPhrase(phrase, answer, speech_db(samples, noise), clipped_share(samples))


def _what(answer: Answer) -> str:
    if answer.heard is None:
        return "nothing was heard"
    if answer.heard.clarity is not Clarity.PHRASE:
        return "something unclear was heard"
    return f'heard "{answer.heard.text}" ({answer.heard.confidence:.2f})'


def advise(found: Found) -> list[str]:
    """Return what to say and what to change, most important first; the last word is how many phrases were heard."""
    advice: list[str] = []
    level, snr = found.level, found.snr
    is_late = found.still_s > STILL_S
    if is_late:
        advice.append(_SAY.stood_still())
    if found.hum > HUM_MOST:
        advice.append(_SAY.hum(only=level is None))
    elif level is None and not is_late:
        advice.append(_SAY.nobody_spoke())
    if found.clipped:
        advice.append(_SAY.too_strong(found.clipped))
    elif level is not None and level < WEAK_DB:
        advice.append(_SAY.weak())
    if snr is not None and snr < GOOD_SNR_DB:
        advice.append(_SAY.over_noise(max(0, round(snr)), enough=snr >= LEAST_SNR_DB))
    if found.echo is not None and found.echo.tail_s > 0.25:
        advice.append(_SAY.echoes())
    if found.is_doubtful and not is_late:
        advice.append(_SAY.other_sounds())
    advice.append(_SAY.understood(found.right, len(found.said)))
    return advice


def tail_ms(found: Found) -> int:
    """Return how long the microphone should stay closed after the assistant's voice [ms], in steps of 10."""
    least, most = _TAILS_MS
    if found.is_doubtful:
        return _TAILS_MS[1]
    heard_s = max(found.echo.tail_s, found.echo.delay_s) if found.echo else 0.0
    return min(most, max(least, 10 * round(100 * (heard_s + _TAIL_SPARE_S))))


def _stored(found: Found, settings: Settings) -> str:
    """Write the devices down for ``assistant run``."""
    changes: dict[str, Any] = {"microphone": settings.microphone, "loudspeaker": settings.loudspeaker}
    changes |= {"headset": found.mode is Mode.HEADSET, "tail_ms": tail_ms(found), "over_echo": found.mode is Mode.OVER}
    if found.mode is Mode.OVER:
        changes |= {"echo_delay_ms": max(0, round(1000 * found.late_s)), "echo_devices": found.devices}
    store_settings(settings_path(), changes)
    return _SAY.stored(found.mode, tail_ms(found))


_MODES = {
    Mode.CLOSED: "the microphone is closed while the assistant speaks",
    Mode.OVER: "speak over it and it falls silent",
    Mode.HEADSET: "it listens all the time",
}


def _own_words(found: Found) -> str:
    if found.echo is None:
        return "not told from other sounds" if found.is_doubtful else "not heard"
    return f"{found.echo.level_db:.0f} dBFS"


def _clean_words(found: Found) -> str:
    if found.clean is None:
        return "" if found.echo is None else "there is no echo canceller"
    return "" if found.clean.is_known else "too much of it is left to tell a person from it"


def _report(found: Found, settings: Settings) -> str:
    own = found.echo
    rows = [
        ("microphone", settings.microphone or "the system's default", ""),
        ("loudspeaker", settings.loudspeaker or "the system's default", ""),
        ("noise", f"{found.noise:.0f} dBFS", f"{100 * found.hum:.0f} % of it mains hum"),
        ("voice", "-" if found.level is None else f"{found.level:.0f} dBFS", "middle of the phrases heard"),
        ("voice over noise", "-" if found.snr is None else f"{found.snr:.0f} dB", f"good from {GOOD_SNR_DB:.0f} dB on"),
        ("clipped", f"{found.clipped} of {len(found.said)} phrases", ""),
        ("own voice", _own_words(found),
         "" if own is None else f"{1000 * own.delay_s:.0f} ms late, {1000 * own.tail_s:.0f} ms longer than spoken"),
        ("own voice taken out", "-" if found.clean is None else f"{found.clean.taken_db:.0f} dB", _clean_words(found)),
        ("how it listens", found.mode.value, _MODES[found.mode]),
        ("understood", f"{found.right} of {len(found.said)} phrases", ""),
    ]  # fmt: skip
    return table(("what", "measured", ""), rows)
