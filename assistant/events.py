"""The words that the rooms exchange.

Every value here is frozen and knows nothing of sound cards, databases or clocks, so each room can be tested alone.
Times are seconds since the epoch (UTC) unless a docstring says otherwise; the caller always passes them in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Any


class Source(StrEnum):
    """Where an input came from."""

    VOICE = "voice"
    KEY = "key"
    PEDAL = "pedal"
    TOUCH = "touch"


class Clarity(StrEnum):
    """What the recogniser made of one utterance.

    ``PHRASE``: it is exactly one phrase of the present grammar. ``UNCLEAR``: short and close to the microphone, but no
    phrase. ``SPEECH``: background talk, a cough, a bang: nothing that was meant for us. ``DICTATION``: free speech that
    was asked for (a note is being taken).
    """

    PHRASE = "phrase"
    UNCLEAR = "unclear"
    SPEECH = "speech"
    DICTATION = "dictation"


class Weight(StrEnum):
    """What a phrase wrongly heard would cost; stricter weights need a surer recogniser."""

    HARMLESS = "harmless"
    MOVING = "moving"
    CRITICAL = "critical"


@dataclass(frozen=True, slots=True)
class Word:
    """One recognised word; ``confidence`` from 0 to 1."""

    text: str
    confidence: float


@dataclass(frozen=True, slots=True)
class Heard:
    """One utterance between two silences.

    ``confidence`` is that of the whole utterance, 0 to 1. ``started_at`` and ``ended_at`` are seconds since the epoch
    of its first and last sound.
    """

    text: str
    confidence: float
    started_at: float
    ended_at: float
    clarity: Clarity = Clarity.PHRASE
    source: Source = Source.VOICE
    words: tuple[Word, ...] = ()
    unsaid: str = ""
    """What the assistant had not yet spoken to its end when it began, in whole sentences."""
    over: bool = False
    """Whether it began while the assistant was sounding, and what was heard had that voice taken out."""
    words_s: float = 0.0
    """For how long its words sound, without what lies between them [s]; 0 where nobody knows."""
    drowned: bool = False
    """Whether the noise before it was as loud as its words: how surely it was heard tells nothing then."""


SURE_READING = 0.9
"""Where no model says how surely a reading must be heard."""


@dataclass(frozen=True, slots=True)
class PhraseLimits:
    """The least confidences (0 to 1) for one phrase, where people showed what they must be.

    At ``believed`` it is taken, at ``expected`` when it is what the job waits for, and from ``asked`` on it is asked
    back then. The recogniser takes it then to be so many times ``likelier`` than it sounded.
    """

    believed: float
    expected: float
    asked: float
    likelier: float = 1.0


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The least confidence (0 to 1) at which a phrase of each weight is believed, and a ``reading`` is not read back.

    ``phrases`` has limits of their own for some; another phrase that is expected is asked back from ``asked`` on, where
    that is below its limit, and so many times ``likelier`` than it sounded.
    """

    harmless: float = 0.0
    moving: float = 0.0
    critical: float = 0.0
    reading: float = SURE_READING
    asked: float = 1.0
    likelier: float = 1.0
    phrases: Mapping[str, PhraseLimits] = field(default_factory=dict)

    def of(self, weight: Weight, phrase: str = "", *, expected: bool = False) -> float:
        """Return the limit for ``phrase``, which weighs ``weight``; that of a critical one is never lowered."""
        kind = {Weight.HARMLESS: self.harmless, Weight.MOVING: self.moving, Weight.CRITICAL: self.critical}[weight]
        own = None if weight is Weight.CRITICAL else self.phrases.get(phrase)
        if own is None:
            return kind
        return own.expected if expected else own.believed

    def times(self, phrase: str) -> float:
        """Return how many times likelier than it sounded ``phrase`` is when it is expected."""
        own = self.phrases.get(phrase)
        return self.likelier if own is None else own.likelier

    def asked_from(self, phrase: str) -> float:
        """Return from where on ``phrase`` is asked back when it is expected."""
        own = self.phrases.get(phrase)
        return self.asked if own is None else own.asked


class SlotKind(StrEnum):
    """What a phrase may hold: a whole number from 0 to 99, one with decimals from 0 to 999.99, or a name of the job.

    A fine number has up to three decimals: a gauge in inches shows thousandths.
    """

    WHOLE = "whole"
    DECIMAL = "decimal"
    FINE = "fine"
    NAME = "name"

    @property
    def decimals(self) -> int:
        """Return how many digits may follow the point."""
        return {SlotKind.DECIMAL: 2, SlotKind.FINE: 3}.get(self, 0)


NUMBERS = (SlotKind.WHOLE, SlotKind.DECIMAL)
"""The slots that hold a number."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A phrase with a spoken number in it: what stands before it, and behind it; "count" and "twelve" for example.

    One of ``endings`` may follow the number, and be left out: its unit. ``likely`` are numbers in words that are said
    sooner than others.
    """

    before: str
    kind: SlotKind
    after: str = ""
    endings: tuple[str, ...] = ()
    likely: tuple[str, ...] = ()

    @classmethod
    def of(cls, phrase: str, kind: SlotKind, endings: tuple[str, ...] = (), likely: tuple[str, ...] = ()) -> Slot:
        """Return the slot of a ``phrase`` that marks the place of its number with ``{}``, or has it at its end."""
        before, _, after = phrase.partition("{}")
        return cls(before.strip(), kind, after.strip(), endings, likely)

    def with_inside(self, words: str) -> str:
        """Return the phrase with ``words`` in the place of the number."""
        return " ".join(part for part in (self.before, words, self.after) if part)

    def inside(self, text: str) -> str | None:
        """Return the words of ``text`` in the place of the number; None when the others are not those of the phrase."""
        before, after = (f"{self.before} " if self.before else ""), (f" {self.after}" if self.after else "")
        if not text.startswith(before) or not text.endswith(after) or len(text) <= len(before) + len(after):
            return None
        inside = text[len(before) : len(text) - len(after)]
        behind = [f" {one}" for one in self.endings if inside.endswith(f" {one}")]
        return inside.removesuffix(max(behind, key=len, default=""))


@dataclass(frozen=True, slots=True)
class Grammar:
    """All that may be said now: whole phrases, phrases with a number, and whether free speech is being taken down."""

    phrases: tuple[str, ...]
    slots: tuple[Slot, ...] = ()
    dictation: bool = False
    values: frozenset[str] = frozenset()
    """Those of the phrases that are a number alone."""
    expected: tuple[str, ...] = ()
    """Those of the phrases for which the job waits."""
    by: str = ""
    """Who works, and will say it; "" where no name was given. A recogniser may know the voice."""
    alike: tuple[tuple[str, ...], ...] = ()
    """Phrases that mean the same, where a meaning has several."""

    def has_number(self, phrase: str) -> bool:
        """Return whether the whole phrase ``phrase`` tells a number."""
        return phrase in self.values or phrase not in self.phrases

    def has_reading(self, phrase: str) -> bool:
        """Return whether the whole phrase ``phrase`` tells a value that was read off: a number with decimals, or alone.

        Other numbers are checked in another way: counts against what is expected, and bolts are read back.
        """
        return phrase in self.values or any(
            slot.kind in (SlotKind.DECIMAL, SlotKind.FINE) and slot.inside(phrase) is not None for slot in self.slots
        )


@dataclass(frozen=True, slots=True)
class Command:
    """An understood intent; ``number`` or ``name`` (id) for those with a slot, ``text`` for dictated words.

    ``alike`` are other numbers that can be here and are easily heard as this one.
    """

    intent: str
    number: Decimal | None = None
    text: str = ""
    name: str = ""
    alike: tuple[Decimal, ...] = ()


class End(StrEnum):
    """Which end of the conversation a device serves."""

    MICROPHONE = "microphone"
    LOUDSPEAKER = "loudspeaker"
    PHONE = "phone"
    """A phone that is both, in place of the bay's own."""


class Then(StrEnum):
    """What follows on a failure."""

    AGAIN = "built_again"
    OTHER = "other_way"
    ENDED = "ended"


class ToneKind(StrEnum):
    """The short tones (60 to 150 ms)."""

    ACCEPTED = "accepted"
    NOT_UNDERSTOOD = "not_understood"
    TIMER = "timer"
    TROUBLE = "trouble"
    """Something is wrong with the equipment, and the screen says what."""


@dataclass(frozen=True, slots=True)
class Say:
    """Words for the ear, already written out: no digits, no unit symbols. ``cut`` stops what is being said first."""

    text: str
    cut: bool = True


@dataclass(frozen=True, slots=True)
class Tone:
    """Sound one of the short tones."""

    kind: ToneKind


@dataclass(frozen=True, slots=True)
class Hush:
    """Stop speaking at once."""


class VoiceKnob(StrEnum):
    """What can be changed about the assistant's voice while it works."""

    VOLUME = "volume"
    RATE = "rate"


@dataclass(frozen=True, slots=True)
class Adjust:
    """Turn a voice knob by ``steps`` (one step is what a person notices; negative is quieter or slower)."""

    knob: VoiceKnob
    steps: int


@dataclass(frozen=True, slots=True)
class TakePhoto:
    """Take a photo; it comes as an input of its own."""


@dataclass(frozen=True, slots=True)
class DropPhoto:
    """Remove the file of a photo that does not count any more: its hash."""

    sha256: str


@dataclass(frozen=True, slots=True)
class Show:
    """What a display may show: plain JSON values only."""

    view: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Expect:
    """Sentences that are likely to be said next, so that the speaker can render them ahead."""

    texts: tuple[str, ...]


Effect = Say | Tone | Hush | Adjust | TakePhoto | DropPhoto | Show | Expect
"""What the session asks for, once the facts of its answer are on disk."""
