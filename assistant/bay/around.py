"""Who owns the loop of a bay: a job, or the bay between jobs; and what both do with the voice and the screen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from assistant.bay.screen import Screen
from assistant.events import Adjust, DropPhoto, Effect, Expect, Heard, Hush, Say, Show, TakePhoto, Tone, ToneKind
from assistant.facts import Fact
from assistant.facts.customer import CustomerAnswered
from assistant.facts.scan import ScanFrom
from assistant.language.chosen import LANGUAGE
from assistant.terminal.trouble import failure_sentence
from assistant.voice.ports import Speaker
from assistant.worker import Failure, Guard, OnFailure


class Runner(Protocol):
    """Whoever the loop works for. Each method is called by the loop alone; ``now`` is in seconds since the epoch."""

    @property
    def closed(self) -> bool:
        """Whether the loop is to end."""

    def begin(self, now: float, welcome: Sequence[str] = ()) -> None:
        """Show what there is, print the sentences of ``welcome``, and say what there is to say first."""

    def hear(self, heard: Heard, now: float) -> None:
        """Answer one utterance or key."""

    def handing(self, now: float) -> str:
        """Return where in a hand-over the job is: "may", "sure", "who"; "" when none can be."""

    def scan(self, text: str, source: ScanFrom, now: float) -> None:
        """Take a code that a reader read; it is never a command."""

    def customer(self, answered: CustomerAnswered, now: float, *more: Fact) -> bool:
        """Take an answer of the customer, with ``more`` facts of the bay; return whether it is kept."""

    def next_tick(self) -> float | None:
        """Return when :meth:`tick` has something to do [s since the epoch]; None when nothing is awaited."""

    def tick(self, now: float) -> None:
        """Do what the time brings."""

    def clock_set(self, by_s: float, now: float) -> bool:
        """Take up that the computer's clock was set by ``by_s`` seconds (negative: back); return whether it is kept."""

    def start_again(self, now: float) -> None:
        """Go on from what is kept, because an input broke the owner of the loop."""

    def record(self, fact: Fact, now: float) -> None:
        """Write down what happened around the work, where there is a journal for it."""

    def failed(self, failure: Failure, now: float) -> None:
        """Tell that a part broke and what followed."""

    def warn(self, text: str, now: float) -> None:
        """Show a sentence about the equipment, with a tone; it is not spoken."""

    def announce(self, text: str, now: float, *, trouble: bool = True) -> None:
        """Say something that is about the equipment; ``trouble``: something is wrong with it."""

    def tell(self, text: str, now: float) -> None:
        """Print what the program itself has to say; it is not spoken."""


class Outward:
    """Says, shows and prints; with ``on_failure``, a part that breaks on it is told, and the rest goes on."""

    def __init__(self, speaker: Speaker, screen: Screen, on_failure: OnFailure | None = None) -> None:
        """Speak with ``speaker`` and show on ``screen``."""
        self._speaker, self._screen = speaker, screen
        self._guard = Guard("speaker", on_failure) if on_failure else None
        if on_failure:
            screen.guard(on_failure)

    def failed(self, failure: Failure, now: float) -> None:
        """Tell that a part broke and what followed, by a tone, on the screen, and aloud if that is useful."""
        self.warn(failure_sentence(failure), now)
        if failure.sentence:
            self.tell(failure.sentence, now)
        if words := LANGUAGE.equipment.part_failed(failure.part, failure.then):
            self._screen.said(words, now)
            self._speak(lambda: self._speaker.say(words, cut=False))

    def warn(self, text: str, now: float) -> None:
        """Show a sentence about the equipment, with a tone; it is not spoken."""
        self._speak(lambda: self._speaker.tone(ToneKind.TROUBLE))
        self._screen.tone(ToneKind.TROUBLE, now)
        self.tell(text, now)
        self._screen.notice(text)

    def announce(self, text: str, now: float, *, trouble: bool = True) -> None:
        """Say something that is about the equipment, not the job; ``trouble``: something is wrong with it."""
        self._screen.said(text, now)
        self._speak(lambda: self._speaker.say(text, cut=False))
        self._screen.notice(text, trouble=trouble)

    def tell(self, text: str, now: float) -> None:
        """Print what the program itself has to say; it is not spoken."""
        self._screen.told(text, now)

    def carry(self, effect: Effect, now: float) -> None:
        """Carry out one effect."""
        match effect:
            case Say(text, cut):
                self._screen.said(text, now)
                self._speak(lambda: self._speaker.say(text, cut=cut))
            case Tone(kind):
                self._screen.tone(kind, now)
                self._speak(lambda: self._speaker.tone(kind))
            case Hush():
                self._speak(self._speaker.hush)
            case Adjust():
                self._speak(lambda: self._adjust(effect, now))
            case Expect(texts):
                self._speak(lambda: self._speaker.expect(texts))
            case TakePhoto() | DropPhoto():
                self._screen.photos(effect)
            case Show(view):
                self._screen.show(view)

    def _speak(self, call: Callable[[], object]) -> None:
        """Let the speaker do something; what it breaks on must not keep the rest of an answer back."""
        if self._guard is None:
            call()
        else:
            self._guard(call)

    def _adjust(self, effect: Adjust, now: float) -> None:
        if not self._speaker.adjust(effect):
            at_its_end = LANGUAGE.equipment.at_its_end(effect.knob, up=effect.steps > 0)
            self.announce(at_its_end, now, trouble=False)  # without it nobody knows whether it was heard
