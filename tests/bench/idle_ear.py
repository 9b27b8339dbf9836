"""A bay between jobs that waits beside recorded sound, faster than real time, and what it took for said to it.

The sound goes the way of the microphone's: voice detector, the search for ends, the engine that attends to everything,
the phrases that a bay between jobs listens for, the limits, and its real loop of between jobs.
"""

from __future__ import annotations

import io
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.bay.screen import Screen
from assistant.desk.pages import BayDesk
from assistant.display.board import Board
from assistant.events import Clarity, Heard
from assistant.idle.intents import WAKE
from assistant.idle.known import KnownHere
from assistant.idle.runner import IdleRunner
from assistant.idle.state import AtHand, Between, IdleInput, Outcome, StartJob, Uttered
from assistant.journal.opening import open_journal
from assistant.language.chosen import LANGUAGE
from assistant.rehearsal.clock import TalkClock
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import BLOCK, RATE, Block
from assistant.voice.speaking.timed_speaker import TimedSpeaker
from tests.bench.radio import Aired, Piece, air, material
from tests.jobs import ROOT, SHORT, START_S, opening

SETTINGS = Settings(operators="Kim, Lee", operator="Kim")


@dataclass(frozen=True, slots=True)
class Acted:
    """Something that the bay took for said to it: at what second of the piece, how surely, and whether awake."""

    at_s: float
    intent: str
    text: str
    confidence: float
    awake: bool
    file: str


@dataclass(frozen=True, slots=True)
class Waited:
    """What came of a piece: seconds of sound, how many of them awake, of one core, and what the bay did."""

    hour: int
    number: int
    kind: str
    wake: str
    woken_s: float
    level_db: float
    snr_db: float | None
    seconds: float
    awake_s: float
    windows: int
    """How often it was woken, by itself or as asked for."""
    core_s: float
    acted: tuple[Acted, ...]
    begun: tuple[str, ...]
    """Jobs that would have been begun, or gone on with."""
    unsure: tuple[Acted, ...]
    """Its phrases that were heard while nobody was there, but too unsurely to be taken."""


class WatchedIdle(IdleRunner):
    """A bay between jobs that notes what it takes up."""

    def __init__(self, wake: str, known: AtHand, **parts: Any) -> None:
        """Wait with ``wake`` as its wake phrase."""
        super().__init__(Outcome(Between(known, wake)), known=lambda: known, **parts)
        self.taken: list[tuple[str, bool]] = []
        """The intent of each, and whether the bay was awake."""

    def take(self, given: IdleInput, now: float) -> None:
        """Note it, and answer it."""
        if isinstance(given, Uttered):
            self.taken.append((given.intent, self.state.is_awake))
        super().take(given, now)


class IdleEar:
    """What one process keeps: the loaded model, the recordings, and what the bay knows."""

    def __init__(self, shared: Path, model: Path, woken_s: float) -> None:
        """Wait; ``woken_s`` is after how long the bay is woken each time [s], 0 for never."""
        self._loaded = VoskRecogniser(LANGUAGE, model)
        self._material = material(shared)
        self._woken_s = woken_s
        self._known = known_here()

    def wait(self, piece: Piece, wakes: Sequence[str]) -> list[Waited]:
        """Let a bay for each wake phrase of ``wakes`` wait beside the sound of ``piece``."""
        aired = air(piece, self._material)
        return [self.wait_beside(aired, piece, wake) for wake in wakes]

    def wait_beside(self, aired: Aired, piece: Piece, wake: str) -> Waited:
        """Let a bay with the wake phrase ``wake`` wait beside ``aired``."""
        began = time.process_time()
        clock = TalkClock(START_S)
        speaker = TimedSpeaker(clock.now)
        recogniser = self._loaded.fresh()
        heard: list[Heard] = []
        listener = Listener(recogniser, heard.append, is_sounding=speaker.is_sounding)
        bay = self._bay(wake, clock, speaker, listener)
        acted: list[Acted] = []
        unsure: list[Acted] = []
        begun: list[str] = []
        awake, windows, wake_at = 0, 0, self._woken_s

        def noted(one: Heard, intent: str, was_awake: bool) -> Acted:
            at_s = round(one.started_at - START_S, 2)
            file = max((begin for begin in aired.begins if begin[0] <= max(at_s, 0.0)), default=(0.0, ""))[1]
            return Acted(at_s, intent, one.text, round(one.confidence, 3), was_awake, file)

        for at in range(0, aired.samples.size - BLOCK + 1, BLOCK):
            clock.go_to(START_S + (at + BLOCK) / RATE)
            now = clock.now()
            due = bay.next_tick()
            if due is not None and now >= due:
                bay.tick(now)
            if wake_at and now - START_S >= wake_at:
                wake_at += self._woken_s
                windows += not bay.state.is_awake
                IdleRunner.take(bay, Uttered(WAKE), now)
            listener.push(Block(aired.samples[at : at + BLOCK], clock.at))
            while heard:
                one, was_awake, before = heard.pop(0), bay.state.is_awake, len(bay.taken)
                bay.hear(one, now)
                acted += [noted(one, intent, was_awake) for intent, _ in bay.taken[before:]]
                windows += bay.state.is_awake and not was_awake
                if len(bay.taken) == before and not was_awake and one.clarity is Clarity.PHRASE:
                    unsure.append(noted(one, "", was_awake))
                if bay.wish is not None:
                    begun.append(f"{'start' if isinstance(bay.wish, StartJob) else 'resume'} {bay.wish.row.title}")
                    bay = self._bay(wake, clock, speaker, listener)
            awake += bay.state.is_awake
        return Waited(
            piece.hour, piece.number, piece.kind, wake, self._woken_s, round(aired.level_db, 1), aired.snr_db,
            aired.samples.size / RATE, awake * BLOCK / RATE, windows, round(time.process_time() - began, 1),
            tuple(acted), tuple(begun), tuple(unsure),
        )  # fmt: skip

    def _bay(self, wake: str, clock: TalkClock, speaker: TimedSpeaker, listener: Listener) -> WatchedIdle:
        bay = WatchedIdle(
            wake,
            self._known,
            speaker=speaker,
            screen=Screen(Dialogue(io.StringIO()), Board()),
            limits=self._loaded.limits,
            listen_for=listener.set_grammar,
        )
        bay.begin(clock.now())
        return bay


def known_here() -> AtHand:
    """Return what the bay knows: the demo procedures, one open job, and the names of two people."""
    session, first = opening(SHORT)
    with open_journal(None) as journal:
        journal.create(session.open(first, START_S).facts, round(START_S * 1000))
        return KnownHere(journal, BayDesk(ROOT / "procedures"), SETTINGS).now()
