"""The words decide nothing: in a language that nobody speaks, a job leaves the very same journal.

All typed talks are played in both languages at the same moments: what is a phrase is said in the other language, free
words are the same. What was stored is equal byte for byte; what may be shown is equal but for what was said.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from assistant.customer.answer import customer_answer
from assistant.events import Clarity, Heard, Say, Thresholds
from assistant.facts.inputs import NotUnderstood
from assistant.facts.scan import ScanFrom
from assistant.journal.canonical import canonical
from assistant.journal.memory import MemoryJournal
from assistant.language.en import ENGLISH
from assistant.language.port import Language
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from assistant.rehearsal.talk import Answering, Passing, Scanning, Setting, TalkLine, read_talk
from assistant.session.session import Reply, Session
from assistant.session.understanding import is_phrase
from tests.language.nonsense import moved, nonsense
from tests.session.bench import START, opened
from tests.typed.play import ROOT, procedure_named

TALKS = sorted((ROOT / "tests/typed/talks").glob("*.txt"))
_SAID = ("last_said", "heard", "missing", "troubles", "card", "next", "say", "asks", "beside")
"""What the view has of the language: what was said and heard, and how things of the preparation are called."""


class Job:
    """One job in one language, with a journal: what was said, and what may be shown, at every moment."""

    def __init__(self, procedure: Procedure, language: Language, tools: str) -> None:
        self.language = language
        self.session = Session(procedure, language=language, limits=Thresholds())
        self.now = START
        self.said: list[str] = []
        self.views: list[Mapping[str, Any]] = []
        first = self.session.open(opened(procedure, tools), self.now)
        self.kept = MemoryJournal().create(first.facts, round(1000 * self.now))
        self.look(first)

    def take(self, reply: Reply) -> None:
        if reply.facts:
            self.kept.append(reply.facts, round(1000 * self.now))
        self.look(reply)

    def look(self, reply: Reply) -> None:
        self.said += [effect.text for effect in reply.effects if isinstance(effect, Say)]
        view = {key: value for key, value in self.session.view(self.now).items() if key not in _SAID}
        for asked in ("pending", "second"):
            if view[asked]:
                view[asked] = {key: value for key, value in view[asked].items() if key != "question"}
        self.views.append(view)

    @property
    def stored(self) -> list[bytes]:
        """The bytes of every entry, before personal values are sealed with a salt of chance.

        A phrase at the wrong moment, or nearly one, is kept as the person said it, so it is looked at in English.
        """
        found = []
        for entry in self.kept.entries():
            data = dict(entry.data)
            if isinstance(entry.fact, NotUnderstood) and self.language is not ENGLISH:
                text = moved(entry.fact.text)
                if entry.fact.clarity is Clarity.UNCLEAR or is_phrase(text, ENGLISH):
                    data["text"] = text
            whole = [entry.seq, entry.at_ms, entry.kind, entry.version, entry.cause, data]
            found.append(canonical(whole).encode())
        return found

    def wait(self, seconds: float) -> None:
        end = round(self.now + seconds, 3)
        while (due := self.session.next_tick()) is not None and due <= end:
            self.now = max(self.now, due)
            self.take(self.session.tick(self.now))
        self.now = end

    def play(self, line: TalkLine) -> None:
        if isinstance(line, Passing):
            self.wait(line.seconds)
        elif isinstance(line, Setting):
            self.take(self.session.clock_set(line.seconds, self.now))
        elif isinstance(line, Answering):
            for work in self.session.for_customer:
                if work.number == line.number:
                    self.take(
                        self.session.customer(customer_answer(work, None, self.now, granted=line.granted), self.now)
                    )
        elif isinstance(line, Scanning):
            self.take(self.session.scan(line.text, ScanFrom.KEYS, self.now))
        else:
            self.wait(line.after_s or 5.0)
            text = line.text
            if self.language is not ENGLISH and (line.clarity is Clarity.UNCLEAR or is_phrase(text, ENGLISH)):
                text = moved(text)
            unsaid = "" if line.after_s is None else str(self.session.view(self.now)["last_said"])
            heard = Heard(text, 1.0, self.now - 0.5, self.now, line.clarity, line.source, unsaid=unsaid)
            self.take(self.session.hear(heard, self.now))


def played(path: Path, language: Language) -> Job:
    text = path.read_text("utf-8")
    head = dict(
        line[2:].strip().split(": ", 1) for line in text.splitlines() if line.startswith("#> ") and ": " in line
    )
    procedure = read_procedure(procedure_named(head["procedure"])).procedure
    assert procedure is not None
    words = head.get("options", "").split()
    tools = (ROOT / words[words.index("--tools") + 1]).read_text("utf-8") if "--tools" in words else ""
    job = Job(procedure, language, tools)
    for line in read_talk(text.encode(), path.name):
        job.play(line)
    return job


@pytest.mark.parametrize("path", TALKS, ids=lambda path: path.stem)
def test_a_job_leaves_the_same_journal_whatever_is_spoken(path: Path) -> None:
    one, other = played(path, ENGLISH), played(path, nonsense())
    assert one.stored == other.stored
    assert one.views == other.views
    assert len(one.said) == len(other.said)
    assert not set(one.said) & set(other.said)


def test_the_talks_ask_for_most_of_the_language() -> None:
    """Were little said in them, they would show little."""
    language = nonsense()
    entries = [entry for path in TALKS for entry in played(path, language).stored]
    assert len(entries) > 1000
    topics = [language.steps, language.answers, language.bolts, language.lists, language.timers, language.talk]
    topics.append(language.questions)
    asked = {name for topic in topics for name in topic.asked}
    assert len(asked) > 60
