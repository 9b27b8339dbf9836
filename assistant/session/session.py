"""The session: the one entrance of this room. Pure: it reads no clock and does no I/O."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.events import (
    Command,
    Effect,
    Expect,
    Grammar,
    Heard,
    Limits,
    Record,
    Say,
    Show,
    Source,
    ToneKind,
)
from assistant.fastening.quantities import plain
from assistant.procedure.format.tool_file import read_kept_tools
from assistant.procedure.model import Procedure
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import (
    clocks,
    critical,
    dispatch,
    handover,
    hazards,
    moving,
    presenting,
    questions,
    replies,
    replies_lists,
    sentences,
)
from assistant.session.engine import Engine
from assistant.session.facts import INPUT_KINDS
from assistant.session.grammar import QUESTIONS, Unclear, accepted, grammar_of, understand
from assistant.session.machine import OVERLAYS
from assistant.session.view import standing, view

RULES = 3
"""The rules that a new job is opened under; :mod:`assistant.session.facts` marks what came with them."""
MISHEARD_MS = 20_000
"""Within this time, misunderstandings in a row are counted together."""


class Session:
    """One job. Feed it what was heard and the time; carry out the effects it answers, its records first.

    Its state follows from its inputs and their times alone, so :meth:`replay` of a journal builds it again.
    """

    def __init__(self, procedure: Procedure, *, limits: Limits = Limits()) -> None:  # noqa: B008
        """Begin at the start of ``procedure``.

        ``limits`` are the least confidences (0 to 1), by weight of a phrase.
        """
        self._engine = Engine(procedure)
        self._limits = limits

    @property
    def closed(self) -> bool:
        """Whether the job is closed."""
        return self._engine.state.closed

    @property
    def procedure(self) -> Procedure:
        """What is worked through."""
        return self._engine.procedure

    def open(self, now: float, facts: Mapping[str, Any]) -> list[Effect]:
        """Open the job at ``now`` [s since the epoch]; ``facts`` (JSON values) go into its first entry as they are."""
        return self._apply("opened", {"rules": RULES, **facts}, now)

    def hear(self, heard: Heard, now: float) -> list[Effect]:
        """Answer one utterance, key or pedal at ``now`` [s since the epoch]; [] for talk that was not for us."""
        e = self._engine
        if self.closed or e.phase == "new":
            return []
        under = e.listening
        takes_words = e.phase == "dictation" or (
            e.phase == "hand_over" and heard.source is Source.KEY
        )  # no name by voice
        meant = understand(heard, accepted(self._state(), under), self._limits, dictation=takes_words)
        if meant is None:
            return []
        data: dict[str, Any] = {
            "text": heard.text,
            "confidence": f"{heard.confidence:.3f}",
            "started_ms": round(heard.started_at * 1000),
            "ended_ms": round(heard.ended_at * 1000),
            "source": heard.source.value,
            "clarity": heard.clarity.value,
        }
        if e.rules >= 3 and (far := hazards.heard_now(e, heard.unsaid)):
            data["hazard_heard"] = far
        if isinstance(meant, Unclear):
            return self._apply("unclear", data | {"why": meant.why}, now)
        number = None if meant.number is None else plain(meant.number)
        return self._apply("heard", data | {"intent": meant.intent, "number": number, "words": meant.text}, now)

    def tick(self, now: float) -> list[Effect]:
        """Let happen what the time brings by ``now`` [s since the epoch]; [] when there is nothing."""
        due = clocks.next_ms(self._engine)
        if self.closed or due is None or due > round(now * 1000):
            return []
        return self._apply("clock", {"due_ms": due}, now)

    def next_tick(self) -> float | None:
        """Return when :meth:`tick` should be called next [s since the epoch], or None."""
        due = None if self.closed else clocks.next_ms(self._engine)
        return None if due is None else due / 1000

    def grammar(self) -> Grammar:
        """Return what may be said now; the same object as long as it is the same."""
        return grammar_of(self._state(), self._engine.listening if self._engine.phase == "confirming" else "")

    def brief(self, now: float, facts: Mapping[str, Any] | None = None) -> list[Effect]:
        """Say in one breath where the job is, after it was taken up again at ``now`` [s since the epoch].

        ``facts`` (JSON values) may bring another tool file.
        """
        return [] if self.closed else self._apply("resumed", dict(facts or {}), now)

    def clock_stepped(self, by_s: float, now: float, *, between: bool = False) -> list[Effect]:
        """Take up at ``now`` [s since the epoch] that the computer's clock was set by ``by_s`` seconds (below 0: back).

        It happened while the program ran, or ``between`` its end and now. The job's own time is not that of the
        computer's clock, so nothing moves; but what a running timer began with may have been wrong, so each is asked
        about.
        """
        data = {"by_ms": round(by_s * 1000), "when": clocks.BETWEEN if between else clocks.RUNNING}
        return [] if self.closed else self._apply("clock_stepped", data, now)

    def replay(self, kind: str, data: Mapping[str, Any], now: float) -> list[Record]:
        """Take one input of the journal (one of INPUT_KINDS) at ``now`` [s]; return its records, itself first.

        Raises:
            ValueError: ``kind`` is no input.
        """
        if kind not in INPUT_KINDS:
            raise ValueError(f"{kind} is no input of a session.")
        return [effect for effect in self._apply(kind, data, now, ahead=False) if isinstance(effect, Record)]

    def view(self, now: float) -> Mapping[str, Any]:
        """Return what a display may show at ``now`` [s since the epoch]: plain JSON values."""
        self._engine.now_ms = round(now * 1000)
        return self._view()

    def _view(self) -> Mapping[str, Any]:
        return view(self._engine)

    def _state(self) -> str:
        phase = self._engine.phase
        return phase if phase in (*OVERLAYS, "new", "closed") else self._engine.listening

    def _apply(self, kind: str, data: Mapping[str, Any], now: float, *, ahead: bool = True) -> list[Effect]:
        e = self._engine
        e.begin(round(now * 1000), str(data.get("source", Source.CLOCK.value)) if kind == "heard" else "clock")
        e.records.append(Record(kind, dict(data)))
        asked = e.phase
        waiting = None if e.phase == "new" or e.unread is None else (e.place.key, e.unread)
        e.heard_of_hazard = str(data.get("hazard_heard", hazards.ALL))
        clocks.expire(e)
        if kind in ("heard", "unclear"):
            e.last_heard = {"text": data.get("text", ""), "why": data.get("why", ""), "understood": kind == "heard"}
        if kind == "heard":
            before = standing(e)
            self._heard(data, too_late=asked != e.phase)
            e.refused = data["intent"] not in QUESTIONS and not e.others and before == standing(e)
        elif kind == "unclear":
            self._unclear()
        elif kind == "opened":
            self._opened(data)
        elif kind == "resumed":
            self._resumed(data)
        elif kind == "clock_stepped":
            clocks.stepped(e, int(data["by_ms"]))
        if kind == "heard":
            hazards.follow(e, waiting)
        effects = e.answer()
        if ahead:
            effects.append(Show(self._view()))
            effects += self._expect()
        return effects

    def _opened(self, facts: Mapping[str, Any]) -> None:
        e = self._engine
        e.rules = int(facts.get("rules", 1))
        self._take_tools(facts)
        handover.begin(e, str(facts.get("operator") or ""))
        invented = e.procedure.values == "invented"
        e.say(*replies.hello(e.procedure.title, len(e.procedure.steps), invented=invented))
        e.say(replies_lists.book_time(e.procedure.book_time), *replies_lists.due_again(e.procedure.due))
        if facts.get("keep_audio"):
            e.say(sentences.AUDIO_KEPT)
        e.settle()
        moving.announce(e)

    def _resumed(self, facts: Mapping[str, Any]) -> None:
        e = self._engine
        if e.phase in ("confirming", "dictation"):
            critical.cancel(e, "silence")
        self._take_tools(facts)
        if handover.go_on(e, str(facts.get("operator") or "")):
            return
        if e.phase == "hand_over":
            handover.ask_who(e)
            return
        if e.phase != "paused" and e.unread is None and not isinstance(e.step, TightenStep):
            moving.announce(e)
            return
        questions.where(e)
        if e.phase == "paused":
            e.say(sentences.PAUSED)
        elif e.unread is None:
            e.say(*presenting.after_break(e))
        else:
            e.say(replies.hazard(e.place.hazards[e.unread]))  # whoever goes on may not have heard it
            e.state.cut_hazard = None

    def _take_tools(self, facts: Mapping[str, Any]) -> None:
        """Take the tool file that came with an input; its bytes travel in the input, so that a replay has the same."""
        text = facts.get("tools_yaml")
        if text is None:
            return
        box = read_kept_tools(str(text).encode(), str(facts["tools_file"]))
        if box is None:
            raise ValueError("a value of its tool file cannot be read any more")
        clicks = facts.get("tool_clicks", {})
        self._engine.tools = box.with_clicks({str(tool): int(number) for tool, number in clicks.items()})
        self._engine.plans.clear()

    def _heard(self, data: Mapping[str, Any], *, too_late: bool) -> None:
        e = self._engine
        intent = str(data["intent"])
        e.state.misheard = 0
        silence_ms = e.state.silence_ms
        if intent == "confirmed" and silence_ms and int(data.get("started_ms", e.now_ms)) <= silence_ms:
            too_late = True  # it was begun before the end of what it answers was told
        if too_late and intent not in QUESTIONS:
            e.say(sentences.TOO_LATE)  # what it answered ended a moment before it was heard
            return
        number = data.get("number")
        command = Command(intent, None if number is None else Decimal(str(number)), str(data.get("words", "")))
        dispatch.act(e, command)

    def _unclear(self) -> None:
        e = self._engine
        state = e.state
        e.keep_last = True
        state.misheard = state.misheard + 1 if e.now_ms - state.misheard_ms <= MISHEARD_MS else 1
        state.misheard_ms = e.now_ms
        if e.phase == "paused":
            e.tone(ToneKind.NOT_UNDERSTOOD)
        elif state.misheard == 2:
            e.say(sentences.SAY_AGAIN)
        elif state.misheard == 3:
            questions.help_(e)
        else:
            e.tone(ToneKind.NOT_UNDERSTOOD)

    def _expect(self) -> list[Effect]:
        """Return the sentences that will probably be said next: those that the likely commands would bring about."""
        e = self._engine
        if e.state.closed:
            return []
        texts: list[str] = []
        for command in self._likely():
            kept, state = (e.records, e.words, e.others, e.keep_last, e.by), e.state
            e.state = state.copy()
            e.begin(e.now_ms, e.by)
            try:
                dispatch.act(e, command)
                texts += [effect.text for effect in e.answer() if isinstance(effect, Say)]
            finally:
                e.state = state
                e.records, e.words, e.others, e.keep_last, e.by = kept
        return [Expect(tuple(dict.fromkeys(texts)))] if texts else []

    def _likely(self) -> list[Command]:
        e = self._engine
        match self._state():
            case "hazard" | "confirming" | "renewing":
                return [Command("confirmed")]
            case "tightening" | "one_bolt":
                return [Command("next"), Command("which_bolts"), Command("what_value")]
            case "counting" | "fitting":
                asked = view(e)["ask"]
                return [Command("count", Decimal(asked["expected"]))]
            case "checking":
                return [Command(str(view(e)["ask"]["expected"]))]
            case "dictation" | "paused" | "hand_over" | "reading" | "reading_signed" | "out_of_limits":
                return []
        return [Command("next")]
