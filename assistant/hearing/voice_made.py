"""Makes the profile of a voice from recordings of it, if it helps where nothing was learnt from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.events import Clarity, Grammar
from assistant.hearing.score import as_meant
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import BY_NAME
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import read_near_words
from assistant.voice.own.fitted import fitted_model
from assistant.voice.own.learning import VoiceChange, as_heard, learn
from assistant.voice.own.net import NarrowNet
from assistant.voice.own.profile import HeardCount
from assistant.voice.own.sounds import Dictionary
from assistant.voice.ports import RATE, Samples, VoiceFault

SaidClip = tuple[str, Samples]
"""What is said, and its sound, shape (n,)."""
PARTS = 3
"""Each third of the recordings is held back once, to see whether what the others teach helps with it."""
_FED = RATE // 5
LIKELIER_THAN_NOT = 0.5
"""How sure a word must be that is no phrase of the assistant, for measuring."""


@dataclass(frozen=True, slots=True)
class MadeVoice:
    """What was learnt, and what was heard of the recordings without it and ``with_it``, each while it was held back."""

    change: VoiceChange
    without: HeardCount
    with_it: HeardCount

    @property
    def helps(self) -> bool:
        """Whether more was heard with it, and nothing more wrongly."""
        return self.with_it.right > self.without.right and self.with_it.wrong <= self.without.wrong


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

    def made(self, clips: Sequence[SaidClip]) -> MadeVoice:
        """Return what can be learnt from ``clips``, and what two thirds of them teach about the third held back.

        Raises:
            VoiceFault: there are too few, or no room for the model that is tried.
        """
        if len(clips) < PARTS:
            raise VoiceFault("These are too few recordings to learn a voice from: record more.")
        without, with_it = HeardCount(0, 0, 0), HeardCount(0, 0, 0)
        for part in range(PARTS):
            taught = [clip for number, clip in enumerate(clips) if number % PARTS != part]
            without += self.counted(self.usual, clips[part::PARTS])
            with_it += self.counted(self.recogniser(self.learnt(taught)), clips[part::PARTS])
        return MadeVoice(self.learnt(clips), without, with_it)

    def learnt(self, clips: Sequence[SaidClip]) -> VoiceChange:
        """Return the change that makes ``clips`` most different from all else."""
        return learn(self._net, self._dictionary, clips, self._grammar.phrases, self._near)

    def recogniser(self, change: VoiceChange) -> VoskRecogniser:
        """Return the recogniser with ``change`` in its net.

        Raises:
            VoiceFault: there is no room for its files.
        """
        try:
            with fitted_model(self._model, change) as folder:
                return VoskRecogniser(LANGUAGE, folder)
        except OSError as fault:
            raise VoiceFault(f"The voice cannot be tried ({fault.strerror}): free some space.") from fault

    def counted(self, recogniser: VoskRecogniser, clips: Iterable[SaidClip]) -> HeardCount:
        """Return how many of ``clips``, each as it is and in hiss, are heard right and wrong."""
        right = wrong = of = 0
        for text, clip in clips:
            for sound in as_heard(clip):
                heard = self.heard(recogniser, sound)
                of += 1
                right += heard == text or (
                    heard != "" and as_meant(heard) is not None and as_meant(heard) == as_meant(text)
                )
                wrong += heard != ""
        return HeardCount(right, wrong - right, of)

    def heard(self, recogniser: VoskRecogniser, sound: Samples) -> str:
        """Return the phrase that a job would act upon, at the limit of its weight; "" for none."""
        fresh = recogniser.fresh()
        fresh.set_grammar(self._grammar)
        fresh.start()
        for at in range(0, sound.size, _FED):
            fresh.feed(sound[at : at + _FED])
        heard = fresh.finish(0.0, sound.size / RATE - 0.8)
        meant = as_meant(heard.text)
        least = recogniser.limits.of(BY_NAME[meant[0]].weight, heard.text) if meant else LIKELIER_THAN_NOT
        return heard.text if heard.clarity is Clarity.PHRASE and heard.confidence >= least else ""
