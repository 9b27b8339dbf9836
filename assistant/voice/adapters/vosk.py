"""The recogniser on a Vosk model directory. The only module that knows vosk.

Vosk is given a path and nothing else: with a language or a name it would look for a model on the network, or end the
process.
"""

from __future__ import annotations

import copy
import json
from collections import OrderedDict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import vosk

from assistant.events import Clarity, Grammar, Heard, SlotKind, Word
from assistant.language.port import Language
from assistant.voice.listening.attending import Attending
from assistant.voice.listening.engine_phrases import UNKNOWN, as_said, engine_phrases, is_whole_phrase
from assistant.voice.listening.limits import read_limits
from assistant.voice.listening.model_files import (
    NEAR_WORDS,
    OWN_MODEL,
    check_model,
    knows_word_order,
    near_word,
    read_near_words,
    words_of,
)
from assistant.voice.listening.n_best import SAYABLE, WAYS, Candidate, Chosen, choose, joined, likelier
from assistant.voice.ports import BLOCK, RATE, SILENCE, Opinion, Samples, VoiceFault

LEAST_CONFIDENCE = 0.3
"""Below this a phrase is taken for something else that was forced onto it."""
UNCLEAR_S = 2.0
"""Speech up to this length [s] may have been meant for us; longer speech that is no phrase was not."""
PHRASE_S = 6.0
"""No phrase takes longer [s]."""
WORD_GAP_S = 0.26
"""Words of one phrase stand closer together than this [s]."""
SURE_PAUSE_S = 0.16
"""Silence after a phrase that no longer one begins with [s]: with less of it the net is less sure of the end.

Sooner an end is believed only if the phrase is as sure as a critical one."""
SOON_PAUSE_S = 0.12
"""The same of a phrase that nothing may continue [s]: with less of it, of no other one."""
NEXT_WORD_S = 0.4
"""The same after a phrase that a longer one begins with: by then the engine would hear the next word [s]."""
GRAMMARS_KEPT = 32
_LEAST_WAIT_S = 0.08
"""So long is waited at least until an end is tried again [s]: each try costs some milliseconds."""
_RESUMED = 2
"""Blocks after the last question for an end from which speech has gone on."""


@dataclass(slots=True)
class _Tried:
    """What an utterance was when its end was tried, how much silence the engine heard after it, and when it was asked.

    ``asked_at`` is how many samples it had when that was last asked for; ``soon``, that it is to be tried again.
    """

    chosen: Chosen
    pause_s: float
    asked_at: int
    soon: bool = False


@dataclass(slots=True)
class _Engine:
    """An engine for one grammar, what it listens for, and how many samples it was ever fed: its times count these."""

    recogniser: vosk.KaldiRecognizer
    phrases: list[str]
    fed: int = 0
    attending: vosk.KaldiRecognizer | None = None
    """Another one, for all that is heard: that for utterances is ended and begun anew as they are."""


class VoskRecogniser:
    """Hears the phrases of a grammar with a Vosk model. One instance serves one thread."""

    def __init__(self, language: Language, folder: Path = OWN_MODEL) -> None:
        """Load the model in ``folder``, or the assistant's own (0.1 s), which is one of the ``language``.

        Raises:
            VoiceFault: the directory is no usable model.
        """
        check_model(folder)
        self.limits = read_limits(folder)
        vosk.SetLogLevel(-1)
        self._folder = folder
        self._language = language
        try:
            self._model = vosk.Model(model_path=str(folder))
        except Exception as error:  # vosk raises bare Exception
            raise VoiceFault(
                f"The speech model {folder} cannot be loaded, so it is damaged or made for another version: "
                "copy it again, or use another."
            ) from error
        self._near = read_near_words(folder)
        self._others = frozenset((*self._near, UNKNOWN))
        strange = next((word for word in self._near if not self._knows(word)), None)
        if strange is not None:
            raise VoiceFault(
                f'{folder / NEAR_WORDS} holds "{strange}", which is no word of this model: copy the model again, or '
                "take the word out."
            )
        self.best = ""
        """What the engine itself took the last utterance for, phrase or not: for measuring."""
        self.ways: list[Candidate] = []
        """All ways to hear it that the engine found, before what is expected counts: for choosing limits."""
        self._begin_anew(closed=False)

    def fresh(self, *, closed: bool = False) -> VoskRecogniser:
        """Return a recogniser with the same loaded model that has heard nothing yet.

        A ``closed`` one takes every sound for one of its phrases: a forced choice, for measuring.
        """
        other = copy.copy(self)
        other._begin_anew(closed=closed)
        return other

    def _begin_anew(self, *, closed: bool) -> None:
        self._closed = closed
        self._known: OrderedDict[Grammar, _Engine] = OrderedDict()
        self._free: vosk.KaldiRecognizer | None = None
        self._attending = Attending()
        self._attended: Grammar | None = None
        self.set_grammar(Grammar(()))

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on. Phrases with an unknown word cannot be heard."""
        self._grammar = grammar
        self._whole = frozenset(grammar.phrases)
        self._alike = {phrase: phrases[0] for phrases in grammar.alike for phrase in phrases}
        self._times = {phrase: self.limits.times(phrase) for phrase in grammar.expected}
        longer = [*map(str.split, grammar.phrases), *([*slot.before.split(), ""] for slot in grammar.slots)]
        self._beginnings = frozenset(" ".join(words[:n]) for words in longer for n in range(1, len(words)))
        self._counts = tuple(
            f"{slot.before} "
            for slot in grammar.slots
            if slot.kind is SlotKind.WHOLE and slot.before and not slot.after
        )
        listens = replace(grammar, expected=())  # what is expected counts beside the engine, which stays
        if listens in self._known:
            self._known.move_to_end(listens)
        else:
            phrases = engine_phrases(grammar, self._language.numbers, self._near, self._knows, closed=self._closed)
            engine = self._known[listens] = _Engine(self._recogniser(phrases), phrases)
            engine.recogniser.SetMaxAlternatives(WAYS)
            engine.recogniser.SetWords(True)
            if len(self._known) > GRAMMARS_KEPT:
                self._known.popitem(last=False)
        self._heard = self._known[listens]
        if grammar.dictation and self._free is None:
            free = (
                None if knows_word_order(self._folder) else [*self._language.notes.free_phrases(words_of(self._folder))]
            )
            self._free = self._recogniser(free)
            self._free.SetWords(True)

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that the model's vocabulary lacks, in rising order, each with the nearest that it has."""
        missing = sorted({word for word in words if not self._knows(word)})
        known = words_of(self._folder) if missing else ()
        return {word: near_word(word, known) for word in missing}

    def attend(self, block: Samples) -> Opinion:
        """Take the next block, shape (n,), of all that is heard; return what the engine makes of it.

        A note is free speech: no opinion on phrases ends it.
        """
        if self._attended is not self._grammar:
            if self._heard.attending is None:
                self._heard.attending = self._recogniser(self._heard.phrases)
            self._heard.attending.Reset()
            self._attending.use(self._heard.attending, lambda text: self._is_phrase(as_said(text)))
            self._attended = self._grammar
        try:
            opinion = self._attending.feed(block)
        except Exception:
            self._attended, self._heard.attending, self._attending = None, None, Attending()
            raise
        return SILENCE if self._grammar.dictation else opinion

    def forget(self) -> None:
        """Attend anew: what comes next does not follow on what was attended to before."""
        self._attending.forget()

    def start(self) -> None:
        """Begin an utterance."""
        self._blocks: list[Samples] = []
        self._fed = 0
        self._tried: _Tried | None = None
        self._ask_again_at = 0
        self._restart()
        self._free_pieces: list[Mapping[str, Any]] = []
        if self._grammar.dictation and self._free is not None:
            self._free.Reset()

    def feed(self, block: Samples) -> None:
        """Take the next block, shape (n,), of the utterance."""
        self._blocks.append(block)
        self._fed += block.size
        if self._tried is None:
            self._hear(block)
        elif self._fed - self._tried.asked_at > _RESUMED * BLOCK:
            self._put_again()  # it was no end: go on from where it was tried
        if self._grammar.dictation and self._free is not None and self._free.AcceptWaveform(block.tobytes()):
            self._free_pieces.append(json.loads(self._free.Result()))

    def settled(self, pause_s: float) -> bool:
        """Return whether a whole phrase was heard that nothing continues after a pause of ``pause_s`` seconds.

        The engine is some 0.3 s behind what it is fed, but it says all it has when it is told that this was the end. So
        the end is tried; if it was none, the utterance is put to it again from its beginning. Without a pause that
        somebody else found it is the engine's own silence that counts.
        """
        if self._grammar.dictation:
            return False
        if pause_s <= 0:
            return self._has_ended()
        if self._tried is not None and self._tried.soon and pause_s >= SURE_PAUSE_S:
            self._put_again()
        if self._tried is None:
            self._tried = self._try()
            self._tried.soon = self._is_too_soon(self._tried.chosen, pause_s)
        self._tried.asked_at = self._fed
        text = self._tried.chosen.text
        if text in self._whole:
            return not self._tried.soon and (text not in self._beginnings or pause_s >= WORD_GAP_S)
        return pause_s >= WORD_GAP_S and text.startswith(self._counts) and self._is_phrase(text)

    def _is_too_soon(self, chosen: Chosen, pause_s: float) -> bool:
        """Return whether more silence than this may make something else of what was ``chosen``."""
        if pause_s >= SURE_PAUSE_S:
            return False
        may_go_on = chosen.text not in self._whole or chosen.text in self._beginnings
        return chosen.confidence < self.limits.critical or (may_go_on and pause_s < SOON_PAUSE_S)

    def _has_ended(self) -> bool:
        """Return whether the engine itself hears silence for long enough after a whole phrase."""
        if self._fed < self._ask_again_at:
            return False
        if self._tried is None or self._tried.asked_at != self._fed:
            if self._tried is not None:
                self._put_again()
            self._tried = self._try()
        text, pause_s = self._tried.chosen.text, self._tried.pause_s
        # It takes the beginning of a word that goes on for silence: where one may follow, that word is waited for.
        may_go_on = text not in self._whole or text in self._beginnings
        least_s = NEXT_WORD_S if may_go_on else SURE_PAUSE_S
        if pause_s >= least_s and (text in self._whole or (text.startswith(self._counts) and self._is_phrase(text))):
            return True
        self._ask_again_at = self._fed + round(max(least_s - pause_s, _LEAST_WAIT_S) * RATE)
        return False

    def _try(self) -> _Tried:
        chosen = self._result()
        return _Tried(chosen, self._heard.fed / RATE - self._last_sound_s, asked_at=self._fed)

    def _put_again(self) -> None:
        self._tried = None
        self._restart()
        for earlier in self._blocks:
            self._hear(earlier)

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """End the utterance (times in seconds since the epoch) and say what it was."""
        if self._tried is not None and self._fed - self._tried.asked_at <= _RESUMED * BLOCK:
            chosen = self._tried.chosen
        else:
            chosen = self._result()
        seconds = ended_at - started_at
        if self._closed and not self._is_phrase(chosen.text):
            chosen = self._forced()
        text, sure = chosen.text, chosen.confidence
        words = tuple(Word(word, sure) for word in text.split())
        # Free speech sounds like a phrase now and then: only a sure one ends a note.
        least = self.limits.moving if self._grammar.dictation else LEAST_CONFIDENCE
        if self._is_phrase(text) and (self._closed or (sure >= least and seconds <= PHRASE_S)):
            clarity = Clarity.PHRASE
        elif self._grammar.dictation and self._free is not None:
            self._free_pieces.append(json.loads(self._free.FinalResult()))
            words = tuple(word for word in _words(self._free_pieces) if word.text != UNKNOWN)
            text = " ".join(word.text for word in words)
            sure = sum(word.confidence for word in words) / len(words) if words else 0.0
            clarity = Clarity.DICTATION if text else Clarity.SPEECH
        else:
            # A noise gives no word at all; speech gives words or the unknown word.
            clarity = Clarity.UNCLEAR if words and seconds <= UNCLEAR_S else Clarity.SPEECH
            text, words = self._sounded_like() if clarity is Clarity.UNCLEAR else "", ()
        return Heard(text, sure, started_at, ended_at, clarity, words=words if text else (), words_s=chosen.words_s)

    def _sounded_like(self) -> str:
        """Return the words that an utterance which is no phrase sounded like; "" where most of it was unknown."""
        words = self.best.split()
        known = [word for word in words if word != UNKNOWN]
        return " ".join(known) if 2 * len(known) > len(words) else ""

    def _restart(self) -> None:
        self._heard.recogniser.Reset()
        self._last_sound_s = self._heard.fed / RATE
        self._pieces: list[list[Candidate]] = []

    def _hear(self, block: Samples) -> None:
        # The engine may see an end of its own; the utterance is ours to end, so the pieces are joined.
        self._heard.fed += block.size
        if self._heard.recogniser.AcceptWaveform(block.tobytes()):
            self._take(self._heard.recogniser.Result())

    def _result(self) -> Chosen:
        self._take(self._heard.recogniser.FinalResult())
        self.ways = joined(self._pieces)
        self.best = self.ways[0].text
        ways = likelier(self.ways, self._times)
        return choose(ways, self.may_be_said, 0.0 if self._closed else SAYABLE, self._alike)

    def _take(self, told: str) -> None:
        self._pieces.append(_ways(told))
        self._last_sound_s = max(self._last_sound_s, _last_end_s(told))

    def _is_phrase(self, text: str) -> bool:
        return is_whole_phrase(self._grammar, text, self._language.numbers)

    def may_be_said(self, text: str) -> bool:
        """Return whether somebody may say ``text``: a phrase, one word alone, or words that are in no phrase."""
        if self._is_phrase(text):
            return True
        return not self._closed and (" " not in text or not self._others.isdisjoint(text.split()))

    def _forced(self) -> Chosen:
        """Return the phrase that fits the utterance best when each is all that may have been said."""
        data = b"".join(block.tobytes() for block in self._blocks)
        likely: dict[str, float] = {}
        for phrase in self._grammar.phrases:
            alone = self._recogniser([phrase])
            alone.SetMaxAlternatives(WAYS)  # silence may be likelier than any word
            told = alone.Result() if alone.AcceptWaveform(data) else alone.FinalResult()
            found = [way.score for way in _ways(told) if way.text == phrase]
            if found:
                likely[phrase] = found[0]
        text = max(likely, key=likely.__getitem__, default="")
        return Chosen(text, 1.0 if text else 0.0)

    def _recogniser(self, phrases: list[str] | None) -> vosk.KaldiRecognizer:
        arguments = (self._model, RATE) if phrases is None else (self._model, RATE, json.dumps(phrases))
        try:
            return vosk.KaldiRecognizer(*arguments)
        except Exception as error:  # vosk raises bare Exception
            raise VoiceFault(
                f"The speech model {self._folder} takes no phrases at run time: use a model with HCLr.fst and Gr.fst."
            ) from error

    def _knows(self, word: str) -> bool:
        return bool(self._model.vosk_model_find_word(word) >= 0)


def _ways(told: str) -> list[Candidate]:
    return [
        Candidate(
            as_said(str(one["text"])),
            float(one["confidence"]),
            sum(float(word["end"]) - float(word["start"]) for word in one.get("result", ())),
        )
        for one in json.loads(told)["alternatives"]
    ]


def _last_end_s(told: str) -> float:
    """Return when the last word of the likeliest way ended [s], as the engine counts; 0 when there is none."""
    words = json.loads(told)["alternatives"][0].get("result", ())
    return float(words[-1]["end"]) if words else 0.0


def _words(pieces: Iterable[Mapping[str, Any]]) -> tuple[Word, ...]:
    return tuple(Word(str(word["word"]), float(word["conf"])) for piece in pieces for word in piece.get("result", ()))
