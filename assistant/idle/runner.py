"""Carries out what comes of an input between jobs: the owner of the loop when no job is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.bay.around import Outward
from assistant.bay.screen import Screen
from assistant.events import Grammar, Hush, Show, Source, Thresholds
from assistant.events import Heard as HeardNow
from assistant.facts import Fact
from assistant.facts.customer import CustomerAnswered
from assistant.facts.scan import ScanFrom
from assistant.idle.deciding import answer_to
from assistant.idle.intents import WAKE
from assistant.idle.passing import alone_ms, asleep, kept_awake, pass_time
from assistant.idle.state import AtHand, Between, CodeRead, IdleInput, Outcome, Pressed, Uttered, Wish
from assistant.idle.understanding import idle_grammar, understood_as
from assistant.idle.view import idle_view
from assistant.language.chosen import LANGUAGE
from assistant.terminal.trouble import failure_sentence
from assistant.voice.ports import Speaker
from assistant.voice.speaking.own_words import OWN_WORDS_S, are_own_words
from assistant.worker import Failure, OnFailure

_LOOKS = (WAKE, "list_jobs", "list_procedures", "new_job", "search", "next_one", "resume_job")
"""Intents before which is looked again at what jobs and procedures there are."""


class IdleRunner(Outward):
    """A bay that waits; it ends with a :attr:`wish`."""

    def __init__(
        self,
        begins: Outcome,
        speaker: Speaker,
        screen: Screen,
        *,
        known: Callable[[], AtHand],
        limits: Thresholds,
        listen_for: Callable[[Grammar], None] = lambda _grammar: None,
        on_failure: OnFailure | None = None,
    ) -> None:
        """Begin with ``begins``: the state, and what is said first; ``known`` looks what there is to be done.

        ``limits`` are the least confidences; ``listen_for`` gets what may be said when that changes.
        """
        super().__init__(speaker, screen, on_failure)
        self._begins, self._known, self._limits, self._listen_for = begins, known, limits, listen_for
        self.state: Between = begins.state
        self.wish: Wish | None = None
        """The job that is wanted."""
        self._grammar: Grammar | None = None

    @property
    def closed(self) -> bool:
        """Return whether a job is wanted."""
        return self.wish is not None

    def begin(self, now: float, welcome: Sequence[str] = ()) -> None:
        """Show the bay, print the sentences of ``welcome``, and say what there is to say first."""
        for text in welcome:
            self.tell(text, now)
        self._carry_out(self._begins, now)

    def hear(self, heard: HeardNow, now: float) -> None:
        """Answer one utterance or key; what is left of the own voice is no answer."""
        if heard.over:
            unsaid = self._speaker.unsaid(max(0.0, now - heard.started_at) + OWN_WORDS_S)
            if are_own_words(heard.text, unsaid):
                return
        given = understood_as(heard, self.state, self._limits, LANGUAGE)
        if given is None:
            return
        if isinstance(given, Uttered) or heard.source is not Source.VOICE:
            self._screen.heard(heard, now)
        self.state = replace(self.state, heard=heard.text)
        self.take(given, now)

    def handing(self, now: float) -> str:  # noqa: ARG002 - a job that nobody works on is handed over as it is chosen
        """No job is there to be handed over."""
        return ""

    def scan(self, text: str, source: ScanFrom, now: float) -> None:
        """Take a code that a reader read."""
        self.take(CodeRead(text, source), now)

    def take(self, given: IdleInput, now: float) -> None:
        """Answer what was understood, pressed or scanned."""
        if isinstance(given, Pressed | CodeRead) or (isinstance(given, Uttered) and given.intent in _LOOKS):
            self.state = replace(self.state, known=self._known())
        if isinstance(given, CodeRead) and self.state.known.orders_fault:
            self.tell(self.state.known.orders_fault, now)
        if self._speaker.is_sounding():
            self.carry(Hush(), now)
        self._carry_out(answer_to(self.state, given, round(now * 1000), LANGUAGE), now)

    def _carry_out(self, answer: Outcome, now: float) -> None:
        self.state = answer.state
        for effect in answer.effects:
            self.carry(effect, now)
        self.wish = answer.wish
        self._show(now)

    def _show(self, now: float) -> None:
        self.carry(Show(idle_view(self.state, LANGUAGE, round(now * 1000))), now)
        heard_now = idle_grammar(self.state, LANGUAGE)
        if heard_now != self._grammar:
            self._grammar = heard_now
            self._listen_for(heard_now)

    def next_tick(self) -> float | None:
        """Return when somebody is taken to have gone away [s since the epoch]; None while nobody is there."""
        due = alone_ms(self.state)
        return None if due is None else due / 1000

    def tick(self, now: float) -> None:
        """Let what was chosen and asked run out, from the end of speech on."""
        now_ms = round(now * 1000)
        if self._speaker.is_sounding():
            self.state = kept_awake(self.state, now_ms)
            return
        after = pass_time(self.state, now_ms)
        if after is not self.state:
            self.state = after
            self._show(now)

    def start_again(self, now: float) -> None:
        """Begin anew, with nobody there."""
        self.state = asleep(self.state)
        self._show(now)

    def clock_set(self, by_s: float, now: float) -> bool:  # noqa: ARG002 - nothing here is kept by the clock on the wall
        """Take up that the computer's clock was set: nothing here goes by it."""
        return True

    def failed(self, failure: Failure, now: float) -> None:
        """Tell that a part broke, aloud only where somebody is there: else nothing is said all day."""
        if self.state.is_awake:
            super().failed(failure, now)
        else:
            self._tell_only(failure_sentence(failure), now)

    def warn(self, text: str, now: float) -> None:
        """Show a sentence about the equipment, with a tone where somebody is there."""
        if self.state.is_awake:
            super().warn(text, now)
        else:
            self._tell_only(text, now)

    def announce(self, text: str, now: float, *, trouble: bool = True) -> None:
        """Say something about the equipment where somebody is there; else it is shown and printed."""
        if self.state.is_awake:
            super().announce(text, now, trouble=trouble)
        else:
            self._tell_only(text, now, trouble=trouble)

    def _tell_only(self, text: str, now: float, *, trouble: bool = True) -> None:
        self.tell(text, now)
        self._screen.notice(text, trouble=trouble)

    def customer(self, answered: CustomerAnswered, now: float, *more: Fact) -> bool:  # noqa: ARG002
        """Keep no answer: no job is there to keep it."""
        return False

    def record(self, fact: Fact, now: float) -> None:
        """Write nothing down: a journal is a job's."""
