"""The embedded recogniser. The only module that knows pocketsphinx; the English model lies in its wheel.

Up to three recognisers hear an utterance side by side: one knows the phrases of the present grammar, one names bare
phones (what the phrases are weighed against, see ``assistant.voice.evidence``), and one writes down free speech while a
note is taken.
"""

from __future__ import annotations

import math
import re
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from pathlib import Path

from pocketsphinx import Decoder, get_model_path

from assistant.events import Clarity, Grammar, Heard, Limits, SlotKind, Word
from assistant.fastening.numbers import jsgf_rules, parse_number_words
from assistant.voice.evidence import FRAME_S, Span, is_filler, is_speech_like, weigh
from assistant.voice.ports import Samples, VoiceFault

LEAST_CONFIDENCE = 0.25
"""Below this a phrase is taken for something else that was forced onto it."""
UNCLEAR_S = 2.0
"""Speech up to this length [s] may have been meant for us; longer speech that is no phrase was not."""
PHRASE_S = 6.0
"""No phrase takes longer [s]."""
WORD_GAP_S = 0.20
"""Words of one phrase stand closer together than this [s]."""
GRAMMARS_KEPT = 64
WORD_PENALTY = 0.05
"""What each word costs (probability): a weak sound is seldom one more word. The decoder's own 0.65 adds digits."""
GRAMMAR_WEIGHT = 6.5
"""How much the penalty and the weights of a grammar count against the sound (the decoder's own value)."""
FIRST_MEAN = "52,5,-1,10,2,-7,5,-6,-4,2,0,2,0"
"""Cepstral mean before anything was heard: that of synthetic voices at a usual level (``tests/bench/hearing.py``)."""
FIRST_MEMORY = 100
"""How many frames the first mean is worth against what is heard: a voice is known after a phrase or two."""
_DECODER_MEMORY = 500
"""How many frames a mean is worth inside the decoder (CMN_WIN in its cmn.h)."""
_WORD = re.compile(r"[a-z][a-z'.\-]*")
_SCALE = 1024.0
"""Segment scores come out in units of 1024 nats (the decoder's senone scores are shifted by ten bits)."""
_REFUND = -GRAMMAR_WEIGHT * math.log(WORD_PENALTY)
"""The decoder counts the word penalty [nats] as sound; what is weighed is the sound alone."""


class PocketsphinxRecogniser:
    """Hears the phrases of a grammar with the English model of the wheel. One instance serves one thread."""

    limits = Limits(harmless=0.3, moving=0.5, critical=0.6)

    def __init__(self, model: Path | None = None) -> None:
        """Load the model in ``model``, laid out as in the wheel, or the wheel's own (about half a second).

        Raises:
            VoiceFault: the model cannot be read.
        """
        self._model = model or Path(get_model_path("en-us"))
        self._phrases = self._decoder()
        self._phones = self._decoder()
        self._phones.add_allphone_file("phones")
        self._phones.activate_search("phones")
        self._free: Decoder | None = None
        self._known: OrderedDict[Grammar, str] = OrderedDict()
        self._made = 0
        self._mean = FIRST_MEAN
        self._learnt = 0
        self._active: list[Decoder] = []
        self._writing = False
        self.set_grammar(Grammar(()))

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on. Phrases with an unknown word cannot be heard."""
        self._grammar = grammar
        self._whole = frozenset(grammar.phrases)
        self._beginnings = frozenset(
            " ".join(words[:n]) for words in map(str.split, grammar.phrases) for n in range(1, len(words))
        )
        self._prefixes = tuple(slot.prefix for slot in grammar.slots)
        self._counts = tuple(f"{slot.prefix} " for slot in grammar.slots if slot.kind is SlotKind.WHOLE)
        if grammar in self._known:
            self._known.move_to_end(grammar)
        elif source := self._jsgf(grammar):
            name = f"grammar{self._made}"
            self._made += 1
            self._phrases.add_jsgf_string(name, source)
            self._known[grammar] = name
            if len(self._known) > GRAMMARS_KEPT:
                self._phrases.remove_search(self._known.popitem(last=False)[1])
        self._search = self._known.get(grammar)
        if grammar.dictation and self._free is None:
            self._free = self._decoder(lm=str(self._model / "en-us.lm.bin"))

    def unknown_words(self, words: Iterable[str]) -> list[str]:
        """Return the words that the model's dictionary lacks, in rising order."""
        return sorted({word for word in words if not self._knows(word)})

    def start(self) -> None:
        """Begin an utterance."""
        self._end()
        self._active = [self._phones]
        if self._search is not None:
            self._phrases.activate_search(self._search)
            self._active.append(self._phrases)
        self._writing = self._grammar.dictation
        if self._writing and self._free is not None:
            self._active.append(self._free)
        for decoder in self._active:
            decoder.set_cmn(self._mean)
            decoder.start_utt()

    def feed(self, block: Samples) -> None:
        """Take the next block, shape (n,), of the utterance."""
        data = block.tobytes()
        for decoder in self._active:
            decoder.process_raw(data)

    def settled(self) -> bool:
        """Return whether a whole phrase was heard that nothing continues, or that a pause has ended."""
        if self._search is None:
            return False
        spans = _spans(self._phrases, _REFUND)
        text = _text(spans)
        if not self._is_phrase(text):
            return False
        if self._writing:
            # Free speech begins like a phrase now and then: only one that fits ends a note.
            return weigh(spans, _spans(self._phones))[0] >= self.limits.critical
        rest = next((span for span in reversed(spans) if span.frames > 0), None)
        paused = rest is not None and is_filler(rest.name) and rest.frames * FRAME_S >= WORD_GAP_S
        if text in self._whole:
            return paused or text not in self._beginnings
        # A count may go on ("twenty", "twenty six"), so it takes a pause to end it; a reading is often said in pieces.
        return paused and text.startswith(self._counts)

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """End the utterance (times in seconds since the epoch) and say what it was."""
        self._end()
        phones = _spans(self._phones)
        spans = _spans(self._phrases, _REFUND) if self._search is not None else []
        text = _text(spans)
        seconds = ended_at - started_at
        sure, words = weigh(spans, phones) if self._is_phrase(text) and seconds <= PHRASE_S else (0.0, [])
        least = self.limits.moving if self._writing else LEAST_CONFIDENCE
        if sure >= least:
            clarity = Clarity.PHRASE
        elif self._writing:
            text, sure, words = self._dictated()
            clarity = Clarity.DICTATION if text else Clarity.SPEECH
        elif seconds <= UNCLEAR_S and is_speech_like(phones):
            clarity = Clarity.UNCLEAR
        else:
            clarity = Clarity.SPEECH
        if clarity is not Clarity.SPEECH:
            # A bang or a far voice must not move the mean that the mechanic's voice is measured from.
            self._learn_mean(phones)
        return Heard(
            text=text if clarity in {Clarity.PHRASE, Clarity.DICTATION} else "",
            confidence=sure,
            started_at=started_at,
            ended_at=ended_at,
            clarity=clarity,
            words=tuple(Word(name, value) for name, value in words),
        )

    def _learn_mean(self, phones: Sequence[Span]) -> None:
        """Move the cepstral mean towards that of this utterance: fast at first, then as the decoder would itself."""
        frames = phones[-1].last + 1 if phones else 0
        if not frames:
            return
        old = [float(number) for number in self._mean.split(",")]
        new = [float(number) for number in self._phones.get_cmn(True).split(",")]
        weight = min(_DECODER_MEMORY, FIRST_MEMORY + self._learnt)
        share = (frames + _DECODER_MEMORY) / (frames + weight)
        self._mean = ",".join(f"{a + (b - a) * share:.4f}" for a, b in zip(old, new, strict=True))
        self._learnt += frames

    def _end(self) -> None:
        for decoder in self._active:
            decoder.end_utt()
        self._active = []

    def _decoder(self, **options: str) -> Decoder:
        folder = self._model
        try:
            return Decoder(
                hmm=str(folder / "en-us"),
                dict=str(folder / "cmudict-en-us.dict"),
                lm=options.get("lm"),
                # All senones are scored, so that scores of different searches have the same zero.
                compallsen=True,
                wip=WORD_PENALTY,
                lw=GRAMMAR_WEIGHT,
                bestpath="lm" in options,
                # A second pass over a note would take half a second after its end.
                fwdflat=False,
                loglevel="FATAL",
            )
        except (RuntimeError, ValueError) as error:
            raise VoiceFault(
                f"The English model of pocketsphinx in {folder} cannot be read: install pocketsphinx again."
            ) from error

    def _knows(self, word: str) -> bool:
        return bool(_WORD.fullmatch(word)) and self._phrases.lookup_word(word) is not None

    def _jsgf(self, grammar: Grammar) -> str:
        """Write the grammar down for the decoder; empty when none of its phrases can be heard."""
        bodies = [(phrase, phrase) for phrase in grammar.phrases]
        bodies += [(slot.prefix, f"{slot.prefix} <{slot.kind.value}>") for slot in grammar.slots]
        lines = [body for words, body in bodies if words and all(self._knows(word) for word in words.split())]
        if not lines:
            return ""
        rules = jsgf_rules() if grammar.slots else ""
        return f"#JSGF V1.0;\ngrammar said;\n{rules}public <said> = {' | '.join(lines)};\n"

    def _is_phrase(self, text: str) -> bool:
        """Return whether ``text`` is exactly one whole phrase, with its number where one belongs."""
        if text in self._whole:
            return True
        return any(
            text.startswith(prefix + " ") and parse_number_words(text[len(prefix) + 1 :]) is not None
            for prefix in self._prefixes
        )

    def _dictated(self) -> tuple[str, float, list[tuple[str, float]]]:
        """Return the free words, their mean confidence and each one's (posteriors of the decoder's word lattice)."""
        if self._free is None:
            return "", 0.0, []
        words = [
            (_plain(segment.word), min(1.0, max(0.0, segment.prob)))
            for segment in self._free.seg() or ()
            if not is_filler(segment.word)
        ]
        mean = sum(value for _, value in words) / len(words) if words else 0.0
        return " ".join(name for name, _ in words), mean, words


def _spans(decoder: Decoder, refund: float = 0.0) -> list[Span]:
    """Return the pieces that the decoder has heard so far, ``refund`` nats added to the score of each."""
    return [
        Span(_plain(s.word), s.start_frame, s.end_frame, _nats(s.ascore) + refund)
        for s in decoder.seg() or ()
        if s.end_frame >= s.start_frame and s.word not in {"<s>", "</s>", "(NULL)"}
    ]


def _nats(likelihood: float) -> float:
    return _SCALE * math.log(max(likelihood, 1e-300))


def _plain(word: str) -> str:
    """Take off the mark of a second pronunciation: ``next(2)`` is ``next``."""
    return word.partition("(")[0]


def _text(spans: Sequence[Span]) -> str:
    return " ".join(span.name for span in spans if not is_filler(span.name))
