"""Makes the profile of a voice from recordings of it, and tries it on recordings that nothing was learnt from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Grammar
from assistant.hearing.score import as_meant
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import BY_NAME
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import read_near_words
from assistant.voice.own.fitted import fitted_model
from assistant.voice.own.learning import Lesson, VoiceChange, as_heard, learn, lessons, sureness
from assistant.voice.own.net import NarrowNet
from assistant.voice.own.profile import HeardCount
from assistant.voice.own.sounds import Dictionary
from assistant.voice.ports import RATE, Samples, VoiceFault

SaidClip = tuple[str, Samples]
"""What is said, and its sound, shape (n,)."""
PARTS = 5
"""Each fifth of the recordings is held back once, to see whether what the others teach helps with it."""
JUDGED_AT = (None, 10.0, 5.0)
"""How far the hiss of a bay lies below what is held back [dB]; None for none."""
SHARE = 0.5
"""So much of what was learnt is taken: it helps the one nearly as much, and others who speak are heard as before."""
SURER = 1.7
"""So many standard errors surer must be what was held back: by chance it is in one voice of twenty."""
LEAST_GAIN = 1 / 30
"""So many more of all hearings must be right: who is heard as well as anybody is left alone.

Chosen, as the other numbers, on ``dev`` (docs/measurements.md)."""
_SMALL = 1e-9
_FED = RATE // 5
LIKELIER_THAN_NOT = 0.5
"""How sure a word must be that is no phrase of the assistant, for measuring."""


class HeardAs(StrEnum):
    """What a recording was taken for."""

    RIGHT = "right"
    WRONG = "wrong"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class HeldBack:
    """One recording, heard while it was held back, at each of ``JUDGED_AT``, without the profile and ``with_it``.

    ``surer`` is how much likelier what was said became among all that may be heard, as logarithms, at each level that
    is taught.
    """

    text: str
    without: tuple[HeardAs, ...]
    with_it: tuple[HeardAs, ...]
    surer: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class TriedVoice:
    """What was learnt from all recordings, and how each was heard by what the others teach."""

    change: VoiceChange
    held_back: Sequence[HeldBack]

    @property
    def without(self) -> HeardCount:
        """How what was held back was heard without it, at all levels."""
        return _counted(one.without for one in self.held_back)

    @property
    def with_it(self) -> HeardCount:
        """How what was held back was heard with it."""
        return _counted(one.with_it for one in self.held_back)

    @property
    def surer(self) -> float:
        """How much surer recordings became in the mean, in its standard errors: a person who says one word is one."""
        means = np.array([np.mean(one.surer) for one in self.held_back if one.surer])
        if len(means) < 2:
            return 0.0
        return float(means.mean() / max(means.std(ddof=1) / np.sqrt(len(means)), _SMALL))

    @property
    def helps(self) -> bool:
        """Whether clearly more was heard with it, at no level less, at none more wrongly, and surer than by chance."""
        gained = self.with_it.right - self.without.right
        return (
            gained >= LEAST_GAIN * self.with_it.of
            and all(self._holds_at(level) for level in range(len(JUDGED_AT)))
            and self.surer >= SURER
        )

    def _holds_at(self, level: int) -> bool:
        before, after = (
            _counted((outcomes[level],) for outcomes in every)
            for every in ([one.without for one in self.held_back], [one.with_it for one in self.held_back])
        )
        return after.right >= before.right and after.wrong <= before.wrong


def _counted(heard: Iterable[tuple[HeardAs, ...]]) -> HeardCount:
    found = Counter(one for outcomes in heard for one in outcomes)
    return HeardCount(found[HeardAs.RIGHT], found[HeardAs.WRONG], found.total())


class VoiceLearner:
    """Learns voices for one model, which it loads once."""

    def __init__(self, model: Path, grammar: Grammar) -> None:
        """Load the ``model``; ``grammar`` is what recordings are told from.

        Raises:
            VoiceFault: it cannot be read, or is none of the assistant's own, in which nothing can be changed.
        """
        self.usual = VoskRecogniser(LANGUAGE, model)
        try:
            self._net, self._dictionary = NarrowNet(model), Dictionary(model)
        except (OSError, ValueError) as fault:
            raise VoiceFault(
                f"The speech model {model} is built in another way than the assistant's own, so no voice profile can "
                "be made for it: use the assistant's own model."
            ) from fault
        self._model, self._grammar = model, grammar
        self._near = read_near_words(model)
        self.usual.set_grammar(grammar)

    def tried(self, clips: Sequence[SaidClip]) -> TriedVoice:
        """Return what can be learnt from ``clips``, and what four fifths of them teach about the fifth held back.

        Raises:
            VoiceFault: there are too few, or no room for the model that is tried.
        """
        if len(clips) < PARTS:
            raise VoiceFault("These are too few recordings to learn a voice from: record more.")
        given = lessons(self._net, self._dictionary, clips, self._grammar.phrases, self._near)
        held_back: dict[int, HeldBack] = {}
        for part in range(PARTS):
            whole = learn([one for n, of_clip in enumerate(given) if n % PARTS != part for one in of_clip])
            change = whole.part(SHARE)
            fitted = self.recogniser(change)
            for n in range(part, len(clips), PARTS):
                held_back[n] = self._held_back(clips[n], given[n], fitted, change)
        whole = learn([one for of_clip in given for one in of_clip])
        return TriedVoice(whole.part(SHARE), [held_back[n] for n in range(len(clips))])

    def _held_back(
        self, clip: SaidClip, taught: Sequence[Lesson], fitted: VoskRecogniser, change: VoiceChange
    ) -> HeldBack:
        text, samples = clip
        sounds = list(as_heard(samples, JUDGED_AT))
        without, with_it = (
            tuple(self.outcome(recogniser, text, sound) for sound in sounds) for recogniser in (self.usual, fitted)
        )
        surer = sureness(taught, change) - sureness(taught, change.part(0.0)) if taught else np.zeros(0)
        return HeldBack(text, without, with_it, tuple(map(float, surer)))

    def recogniser(self, change: VoiceChange) -> VoskRecogniser:
        """Return the recogniser with ``change`` in its net.

        Raises:
            VoiceFault: there is no room for its files.
        """
        try:
            with fitted_model(self._model, change) as folder:
                fitted = VoskRecogniser(LANGUAGE, folder)
        except OSError as fault:
            raise VoiceFault(f"The voice cannot be tried ({fault.strerror}): free some space.") from fault
        fitted.set_grammar(self._grammar)
        return fitted

    def outcome(self, recogniser: VoskRecogniser, text: str, sound: Samples) -> HeardAs:
        """Return what ``sound``, in which ``text`` is said, is taken for: the same meaning is right."""
        heard = heard_by(recogniser, sound)
        if not heard:
            return HeardAs.NOTHING
        meant = as_meant(heard)
        return HeardAs.RIGHT if heard == text or (meant and meant == as_meant(text)) else HeardAs.WRONG


def heard_by(recogniser: VoskRecogniser, sound: Samples) -> str:
    """Return the phrase that a job would act upon, at the limit of its weight; "" for none.

    ``sound`` has silence around what is said, 0.3 s and 0.5 s.
    """
    recogniser.start()
    for at in range(0, sound.size, _FED):
        recogniser.feed(sound[at : at + _FED])
    heard = recogniser.finish(0.0, sound.size / RATE - 0.8)
    meant = as_meant(heard.text)
    least = recogniser.limits.of(BY_NAME[meant[0]].weight, heard.text) if meant else LIKELIER_THAN_NOT
    return heard.text if heard.clarity is Clarity.PHRASE and heard.confidence >= least else ""
