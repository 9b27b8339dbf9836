"""Carries out what the session asks, in the one order that loses nothing: commit, then speak, then show."""

from __future__ import annotations

import contextlib
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.bay.around import Outward
from assistant.bay.job_opening import OpenJob
from assistant.bay.screen import Screen
from assistant.customer.answer import as_it_counts
from assistant.events import Clarity, Grammar, Heard, Source, ToneKind
from assistant.facts import Fact
from assistant.facts.bay import PartFailed
from assistant.facts.customer import CustomerAnswered
from assistant.facts.inputs import NotUnderstood
from assistant.facts.scan import ScanFrom
from assistant.journal.port import JournalFault
from assistant.language.chosen import LANGUAGE
from assistant.session.session import Reply, Session
from assistant.voice.ports import Speaker
from assistant.voice.speaking.own_words import OWN_WORDS_S, are_own_words
from assistant.worker import Failure, OnFailure

_TRY_AGAIN_S = 20.0
_BROKEN_S = 60.0
"""For how long nothing happens by itself after the session broke on something [s]."""
_OWED_MOST = 200
"""So many things that happened around the job wait for a journal that takes nothing; then the oldest are dropped."""


class JobRunner(Outward):
    """One job: its session, its journal and its speaker.

    Every answer of the session is committed before a word of it is spoken. When the journal cannot take it, the session
    is built again from what is on disk, so that what is said next is never ahead of what is kept.
    """

    def __init__(
        self,
        opened: OpenJob,
        speaker: Speaker,
        screen: Screen,
        *,
        listen_for: Callable[[Grammar], None] = lambda _grammar: None,
        on_failure: OnFailure | None = None,
    ) -> None:
        """Join the parts; ``listen_for`` gets what may be said when that changes.

        With ``on_failure``, a part that breaks while it carries out an answer is told, and the rest is carried out.
        """
        super().__init__(speaker, screen, on_failure)
        self._opened = opened
        self._session = opened.session
        self._job = opened.job
        self._listen_for = listen_for
        self._grammar: Grammar | None = None
        self._not_before = 0.0
        self._renew_at = 0.0
        self._owed: deque[Fact] = deque(maxlen=_OWED_MOST)
        self._owes = False

    def begin(self, now: float, welcome: Sequence[str] = ()) -> None:
        """Show the job, tell the sentences of ``welcome`` on the screen, and say what there is to say first."""
        self._screen.begin(self._session.procedure, now, self._opened.pictures)
        self._screen.kept(self._opened.begun, now)
        for text in welcome:
            self.tell(text, now)
        self.carry_out(Reply(effects=self._opened.first), now)

    @property
    def session(self) -> Session:
        """The session as it is now (it may be a rebuilt one)."""
        return self._session

    @property
    def closed(self) -> bool:
        """Whether the job is closed."""
        return self._session.closed

    def hear(self, heard: Heard, now: float) -> None:
        """Answer one utterance or key."""
        heard = replace(heard, unsaid=self._speaker.unsaid(max(0.0, now - heard.started_at)))
        self._note_quiet(now)
        if heard.over and not self._is_plain(heard, now):
            self.announce(LANGUAGE.equipment.yes(), now, trouble=False)
            return
        reply = self._session.hear(heard, now)
        if reply.facts:
            self._screen.heard(heard, now)
        self.carry_out(reply, now)
        if heard.source is Source.KEY and any(isinstance(fact, NotUnderstood) for fact in reply.facts):
            self._screen.slipped(self._session.view(now)["heard"], now)

    def _is_plain(self, heard: Heard, now: float) -> bool:
        """Return whether what was said over the voice counts: a whole command, in words that it was not saying itself.

        What is left of its own voice must never be a command, however well it was understood.
        """
        unsaid = self._speaker.unsaid(max(0.0, now - heard.started_at) + OWN_WORDS_S)
        return (
            heard.clarity is Clarity.PHRASE
            and not are_own_words(heard.text, unsaid)
            and self._session.takes(heard, now)
        )

    def handing(self, now: float) -> str:
        """Return where in a hand-over the job is: "may", "sure", "who"; "" when none can be."""
        return str(self._session.view(now)["handing"])

    def scan(self, text: str, source: ScanFrom, now: float) -> None:
        """Take a code that a reader read; it is never a command."""
        self._note_quiet(now)
        self.carry_out(self._session.scan(text, source, now), now)

    def customer(self, answered: CustomerAnswered, now: float, *more: Fact) -> bool:
        """Take an answer of the customer; return whether it is kept. It is told when nothing else is asked.

        ``more`` are facts of the bay that are kept with it or not at all.
        """
        self._note_quiet(now)
        reply = self._session.customer(as_it_counts(answered, self._session.for_customer), now)
        return bool(reply.facts) and self.carry_out(replace(reply, facts=(*reply.facts, *more)), now)

    def next_tick(self) -> float | None:
        """Return when :meth:`tick` has something to do, in seconds since the epoch; None when nothing is awaited."""
        due = self._session.next_tick()
        return None if due is None else max(due, self._not_before)

    def tick(self, now: float) -> None:
        """Let timers and read-backs run out, when it is time, and keep the lease of the job through a silence."""
        self._renew(now)
        self._note_quiet(now)
        due = self.next_tick()
        if due is not None and due <= now and not self.carry_out(self._session.tick(now), now):
            self._not_before = now + _TRY_AGAIN_S  # a full disk is not mended in a moment: say it, but do not nag

    def _note_quiet(self, now: float) -> None:
        """Let what waits for an answer wait from the end of what was said of it."""
        self._session.quiet_since = now - self._speaker.quiet_s()

    def clock_set(self, by_s: float, now: float) -> bool:
        """Take up that the computer's clock was set by ``by_s`` seconds (negative: back); return whether it is kept."""
        return self.carry_out(self._session.clock_set(by_s, now), now)

    def failed(self, failure: Failure, now: float) -> None:
        """Write down that a part broke and what followed, and tell it by a tone, on the screen, and aloud if useful."""
        self.record(PartFailed(part=failure.part, error=failure.error, at=failure.at, then=failure.then), now)
        super().failed(failure, now)

    def start_again(self, now: float) -> None:
        """Build the session again from the journal, because it broke on an input; nothing of that was kept.

        Raises:
            JournalFault: the journal cannot be read.
        """
        self._go_on_anew()
        self._not_before = now + _BROKEN_S
        self._screen.show(self._session.view(now))
        self._hear_what_may_be_said()

    def _go_on_anew(self) -> None:
        """Go on with the session that the journal gives, and what the present one said and heard last."""
        anew = self._opened.rebuild()
        anew.remember(self._session)
        self._session = anew

    def record(self, fact: Fact, now: float) -> None:
        """Put something that happened around the job (a lost device, an interruption) into the journal.

        Nobody can say it again, so what the journal cannot take now waits for the next thing that it takes.
        """
        self._owed.append(fact)
        self._pay(now)

    def carry_out(self, reply: Reply, now: float) -> bool:
        """Commit the facts of ``reply``, then carry out its effects; return whether the journal took the facts."""
        if reply.facts and not self._commit(reply.facts, now):
            return False
        for effect in reply.effects:
            self.carry(effect, now)
        self._hear_what_may_be_said()
        return True

    def _hear_what_may_be_said(self) -> None:
        grammar = self._session.grammar()
        if grammar is not self._grammar:
            self._grammar = grammar
            self._listen_for(grammar)

    def _commit(self, facts: Sequence[Fact], now: float) -> bool:
        try:
            self._job.append(facts, round(now * 1000))
        except JournalFault as fault:
            self.tell(fault.sentence, now)
            self._go_on_anew()
            self._screen.show(self._session.view(now))
            self._speak(lambda: self._speaker.tone(ToneKind.NOT_UNDERSTOOD))
            self.announce(LANGUAGE.equipment.not_stored(), now)
            self._hear_what_may_be_said()
            return False
        self._screen.kept(facts, now)
        self._pay(now)
        return True

    def _renew(self, now: float) -> None:
        """Keep the job ours while nothing is said."""
        if now < self._renew_at:
            return
        self._renew_at = now + _TRY_AGAIN_S
        with contextlib.suppress(JournalFault):  # what hinders it hinders the next answer too, and is told then
            self._job.renew(round(now * 1000))

    def _pay(self, now: float) -> None:
        """Write down what happened around the job."""
        if not (owed := list(self._owed)):
            return
        try:
            self._job.append(owed, round(now * 1000))
        except JournalFault as fault:
            if not self._owes:
                self.tell(fault.sentence, now)
            self._owes = True
            return
        self._owed.clear()
        self._owes = False
        self._screen.kept(owed, now)
