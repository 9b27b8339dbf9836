"""Whatever is said, in any order: nothing is passed over, there is a way on, and the entries give the job again."""

from __future__ import annotations

import os
import sys
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from assistant import facts
from assistant.events import Clarity, Heard, Source, Thresholds
from assistant.language.en.numbers import number_words
from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from assistant.session.session import Reply
from tests.fakes.mechanic import REASON, SECOND, next_words
from tests.session.bench import Bench
from tests.session.ear import unfit_for_the_ear
from tests.session.examples import TOOLS, around, bolts_only, every_kind, in_passes, measured
from tests.session.gated import gated
from tests.session.ledger import Ledger
from tests.session.turning import lid_and_rail, worn_rail

LIMITS = Thresholds(harmless=0.3, moving=0.5, critical=0.7)
EVERY_PHRASE = sorted(phrase.replace("{}", "two") for intent in INTENTS for phrase in phrases(intent.name))
PROCEDURES = {
    "every kind": every_kind,
    "bolts only": bolts_only,
    "measured": measured,
    "in passes": in_passes,
    "around": around,
    "gated": gated,
    "branching": lid_and_rail,
    "stopping": worn_rail,
}
MOST_PROBABLY_MOVING = (
    "next",
    "go back",
    "yes",
    "no",
    "confirmed",
    "one by one",
    "all together",
    "start timer",
    "cancel",
)


class AnyOrder(RuleBasedStateMachine):
    """A mechanic who says anything at all, now and then what is right; a foreman holds the entries to the rules."""

    @initialize(
        name=st.sampled_from(
            (
                *("every kind", "bolts only", *["every kind", "measured", "in passes", "around", "gated"] * 2),
                *["branching"] * 2,
                "stopping",
            )
        ),
        into_it=st.integers(0, 40),
        tools=st.sampled_from(("", TOOLS)),
    )
    def open(self, name: str, into_it: int, tools: str) -> None:
        self.bench = Bench(PROCEDURES[name](), limits=LIMITS, tools=tools)
        self.ledger = Ledger(self.bench.procedure)
        self.seen = 0
        self.what_is_right(into_it if name in ("every kind", "around") else into_it % 10)

    # What is said

    @rule(times=st.integers(1, 8))
    def what_is_right(self, times: int) -> None:
        """Right words, one after the other, as long as nobody has to wait or to close the job."""
        for _ in range(times):
            words = next_words(self.bench.session.view(self.bench.now))
            if words not in (None, "finish job"):
                self._say(words, source=Source.KEY if words == SECOND else Source.VOICE)

    @rule(data=st.data())
    def something_that_may_be_said(self, data: st.DataObject) -> None:
        phrases = self.bench.session.grammar().phrases
        if phrases:
            self._say(data.draw(st.sampled_from(phrases), label="phrase"))

    @rule(phrase=st.sampled_from(MOST_PROBABLY_MOVING))
    def something_that_moves(self, phrase: str) -> None:
        self._say(phrase)

    @rule(phrase=st.sampled_from(EVERY_PHRASE))
    def any_phrase(self, phrase: str) -> None:
        self._say(phrase)

    @rule(
        prefix=st.sampled_from(("count", "i count", "reading", "it reads", "reading below zero")),
        number=st.integers(0, 40),
    )
    def a_number(self, prefix: str, number: int) -> None:
        self._say(f"{prefix} {number_words(number).replace('-', ' ')}")

    @rule(words=st.sampled_from(("the hole is worn", "it does not fit", "next", "confirmed", "finish job")))
    def free_words(self, words: str) -> None:
        self._say(words, clarity=Clarity.DICTATION)

    @rule(what=st.sampled_from(("skip this", "skip this", "skip this step")))
    def leave_something_out(self, what: str) -> None:
        self._several(what, REASON, "end note", "confirmed")

    @rule(sure=st.sampled_from((False,) * 9 + (True,)))
    def close_it_as_it_is(self, sure: bool) -> None:
        self._several("finish job", REASON, "end note", "confirmed" if sure else "cancel")

    @rule(keep=st.booleans())
    def answer_wrongly(self, keep: bool) -> None:
        self._lead_to_phase("checking", "reading", "counting", "fitting")
        ask = self.bench.session.view(self.bench.now)["ask"]
        wrong = "next"
        if ask and ask["kind"] == "count":
            wrong = f"count {number_words(int(ask['expected']) + 1).replace('-', ' ')}"
        elif ask and ask["kind"] == "yes_no":
            wrong = "no" if ask["expected"] == "yes" else "yes"
        elif ask and ask["kind"] == "reading":
            wrong = "reading nine"
        self._say(wrong)
        if keep and self.bench.phase == "confirming":
            self._several("confirmed", REASON, "end note", "confirmed")

    @rule(
        phrase=st.sampled_from(("next", "done", "yes", "go back", "cancel")),
        phase=st.sampled_from(("hazard", "waiting")),
    )
    def be_impatient(self, phrase: str, phase: str) -> None:
        self._lead_to_phase(phase)
        self._several(phrase, "next")

    @rule(phrase=st.sampled_from([phrase for phrase in EVERY_PHRASE if phrase not in ("carry on", "continue")]))
    def talk_during_a_pause(self, phrase: str) -> None:
        self._say("pause")
        if self.bench.phase == "paused":
            before = self._position()
            self._say(phrase, clarity=Clarity.PHRASE)
            assert self._position() == before

    @rule(seconds=st.sampled_from((1.0, 25.0, 60.0)))
    def hesitate(self, seconds: float) -> None:
        self._several("skip this", REASON, "end note")
        self.bench.wait(seconds)
        self._say("confirmed")

    @rule(bolts=st.integers(0, 5), together=st.booleans())
    def one_by_one(self, bolts: int, together: bool) -> None:
        self._several("one by one", *["next"] * bolts, *["all together"] * together)

    @rule(
        number=st.sampled_from((14, 15, 20, 25, 26, 28, 34, 36, 38, 45, 90)),
        then=st.sampled_from(
            ("do it again", "take a note", "replace the bolt", "next", "skip this", "reading thirty six")
        ),
        sure=st.booleans(),
    )
    def read_off_a_bolt(self, number: int, then: str, sure: bool) -> None:
        self._several("one by one", f"reading {number_words(number).replace('-', ' ')}", then)
        if self.bench.phase == "dictation":
            self._several(REASON, "end note")
        if sure and self.bench.phase == "confirming":
            self._say("confirmed")

    @rule(
        number=st.sampled_from((1, 2, 3, 5, 7, 8, 14, 17, 40)),
        what=st.sampled_from(
            ("bolt {} broke", "bolt {} is stripped", "bolt {} is lost", "bolt {} is the wrong one", "wrong bolt")
        ),
        answer=st.sampled_from(("confirmed", "confirmed", "confirmed", "no", "cancel", "next")),
    )
    def a_bolt_goes_wrong(self, number: int, what: str, answer: str) -> None:
        self._several(what.format(number_words(number)), answer)

    @rule(
        number=st.sampled_from((1, 2, 3, 5, 7, 8, 14, 17, 40)),
        what=st.sampled_from(("bolt {} is replaced", "bolt {} is back in", "found it", "go on without bolt {}")),
        answer=st.sampled_from(("confirmed", "confirmed", "confirmed", "no", "cancel")),
    )
    def a_bolt_is_in_again(self, number: int, what: str, answer: str) -> None:
        self._say(what.format(number_words(number)))
        if self.bench.phase == "dictation":
            self._several(REASON, "end note")
        self._say(answer)

    @rule(out=st.sampled_from(("", "found it", "no", "yes")))
    def something_falls(self, out: str) -> None:
        self._say("dropped a bolt")
        if out:
            self._several(out, "confirmed")

    @rule(unit=st.sampled_from(("use pound feet", "use newton metres", "use pound inches")))
    def another_unit(self, unit: str) -> None:
        self._say(unit)

    @rule(
        why=st.sampled_from(("release the gate", "call a witness", "yes", "no", "next", "filled two")),
        who=st.sampled_from((SECOND, "A. Mechanic", "operator one")),
        word=st.sampled_from(("i release it", "i have seen it", "confirmed", "cancel")),
    )
    def call_a_second_person(self, why: str, who: str, word: str) -> None:
        self._say(why)
        if self.bench.phase == "naming":
            self._say(who, source=Source.KEY)
        if self.bench.phase == "dictation":
            self._several(REASON, "end note")
        self._say(word)

    @rule(
        answer=st.sampled_from(("no", "reading point five", "reading point zero five", "yes", "ask later")),
        who=st.sampled_from(("the customer", "the office", "operator one", "cancel")),
        way=st.sampled_from(("by telephone", "in person")),
        then=st.sampled_from(("next", "start extra work", "extra work declined", "go back", "skip this")),
    )
    def lead_into_more_work(self, answer: str, who: str, way: str, then: str) -> None:
        """Give an answer that leads to more work, and have it granted or not."""
        self._lead_to_phase("checking", "reading", "offering")
        self._several(answer, "confirmed")
        self._several(*["yes"] * (self.bench.phase == "offering"), who, way, "confirmed", then)
        self.what_is_right(3)

    @rule(what=st.sampled_from(("extra work granted", "extra work one granted", "extra work two granted")))
    def grant_it_later(self, what: str) -> None:
        self._several(what, "the customer", "by telephone", "confirmed", "start extra work")

    @rule(how=st.sampled_from(("before it runs", "only watch it", "it is at step two")))
    def find_something(self, how: str) -> None:
        self._several("i found something", REASON, "end note", how, "confirmed")

    @rule()
    def back_and_on_again(self) -> None:
        self._several("go back", "go back", "next", "next")

    @rule(times=st.integers(1, 6), then=st.sampled_from(("next", "confirmed", "tighten again", "what is left")))
    def take_back(self, times: int, then: str) -> None:
        """Take the last confirmations back, one after the other."""
        for _ in range(times):
            self._several("take that back", "confirmed")
        self._several(then, "confirmed")

    @rule(data=st.data(), sure=st.booleans(), steps=st.integers(0, 4))
    def go_elsewhere(self, data: st.DataObject, sure: bool, steps: int) -> None:
        """Go to a place by its name, work there for a while, and perhaps come back."""
        names = [phrase for phrase in self.bench.session.grammar().phrases if phrase.startswith("go to ")]
        if names:
            self._say(data.draw(st.sampled_from(names), label="name"))
            self._several(*["confirmed"] * sure)
            self.what_is_right(steps)
            self._several(*["back to where i was", "confirmed"] * (not sure))

    @rule(number=st.sampled_from(("one", "two", "three")))
    def go_back_by(self, number: str) -> None:
        self._say(f"go back {number}")

    @rule()
    def keep_what_is_read_back(self) -> None:
        self._several("confirmed", REASON, "end note", "confirmed")

    @rule(phrase=st.sampled_from(EVERY_PHRASE), confidence=st.floats(0.0, 0.29))
    def something_unsure(self, phrase: str, confidence: float) -> None:
        before = self._position()
        self._say(phrase, confidence=confidence, clarity=Clarity.PHRASE, after=0.0)
        assert self._position() == before

    @rule(text=st.sampled_from(("", "mumble", "next to the pump")))
    def something_unclear(self, text: str) -> None:
        before = self._position()
        self._say(text, clarity=Clarity.UNCLEAR, after=0.0)
        assert self._position() == before

    @rule(text=st.sampled_from(("next", "confirmed", "skip this", "and then he said")))
    def background_talk(self, text: str) -> None:
        before, entries = self._position(), len(self.bench.entries)
        self._say(text, clarity=Clarity.SPEECH, after=0.0)
        assert (self.bench.last, len(self.bench.entries)) == (Reply(), entries)
        assert self._position() == before

    @rule(phrase=st.sampled_from(EVERY_PHRASE))
    def a_key(self, phrase: str) -> None:
        self._say(phrase, source=Source.KEY)

    # What happens meanwhile

    @rule(seconds=st.sampled_from((2.0, 16.0, 45.0, 130.0, 700.0, 2000.0)))
    def time_passes(self, seconds: float) -> None:
        self.bench.wait(seconds)

    @rule()
    @precondition(lambda self: not self.bench.session.closed)
    def the_plug_is_pulled(self) -> None:
        """The process is gone; another one takes the job up from its entries."""
        self.bench.resume()

    # What must hold

    def _say(self, text: str, *, after: float = 1.0, **how: Any) -> None:
        self.bench.wait(after)
        self._look()
        before = len(self.bench.entries)
        self.bench.hear(text, after=0.0, **how)
        entries = self.bench.entries[before:]
        if entries:
            assert entries[0][0].KIND in ("heard", "heard_of", "heard_alike", "unclear")
            assert self.bench.answered(), "nothing comes back"
        self._look()

    def _lead_to_phase(self, *phases: str) -> None:
        for _ in range(12):
            if self.bench.phase not in phases:
                self.what_is_right(1)

    def _several(self, *texts: str) -> None:
        for text in texts:
            self._say(text)

    def _position(self) -> dict[str, Any]:
        """Everything about the job but what was said and heard last, at the same moment."""
        view = dict(self.bench.session.view(0.0))
        del view["last_said"], view["heard"], view["timers"]
        return view

    def _look(self) -> None:
        new, self.seen = self.bench.entries[self.seen :], len(self.bench.entries)
        for fact, now in new:
            kind, _, data = facts.dump(fact)
            self.ledger.take(kind, data, now)

    @invariant()
    def the_foreman_is_content(self) -> None:
        if hasattr(self, "ledger"):
            self._look()
            for text in self.bench.spoken:
                assert not unfit_for_the_ear(text)
            self.bench.spoken.clear()

    @invariant()
    def something_can_be_said_or_awaited(self) -> None:
        if hasattr(self, "bench") and not self.bench.session.closed:
            assert self.bench.session.grammar().phrases

    def teardown(self) -> None:
        if not hasattr(self, "bench") or sys.exc_info()[0] is not None:
            return
        if not self.bench.session.closed:
            self.bench.resume()  # holds the fold of the entries against the live state
        self.bench.lead_to_end()
        self._look()
        assert self.ledger.closed


AnyOrder.TestCase.settings = settings(
    max_examples=int(os.environ.get("ANY_ORDER_EXAMPLES", "120")),
    stateful_step_count=50,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
    report_multiple_bugs=False,
)
TestAnyOrder = pytest.mark.slow(pytest.mark.timeout(600)(AnyOrder.TestCase))


@pytest.mark.parametrize("heard", [Heard("", 1.0, 0.0, 0.0), Heard("  ", 0.0, 0.0, 0.0, Clarity.DICTATION)])
def test_an_empty_utterance_moves_nothing(heard: Heard) -> None:
    bench = Bench(every_kind())
    before = bench.session.view(bench.now)["place"]
    bench.take(bench.session.hear(heard, bench.now))
    assert bench.session.view(bench.now)["place"] == before
