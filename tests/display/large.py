"""A job with very many entries, to see what looking at it costs."""

from __future__ import annotations

import time
from pathlib import Path

from assistant.bay.job_opening import open_job
from assistant.events import Clarity, Heard, Source, Thresholds
from assistant.facts import Fact
from assistant.journal.opening import open_journal
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from tests.display.play import SHORT

_WORDS = ("where am i", "what is left", "next", "go back")


def large_job(home: Path, entries: int) -> str:
    """Put a job with ``entries`` entries or a few more into the journal in ``home``; return its name.

    Its entries are what a session makes of questions and of going to and fro, a second apart and ending now.
    """
    with open_journal(home) as journal:
        now = time.time() - entries
        opened = open_job(journal, read_procedure(SHORT), SHORT.name, Settings(), Thresholds(), now)
        facts: list[Fact] = []
        count, kept = len(opened.job.entries()), 0
        while count + kept < entries:
            now += 1.0
            word = _WORDS[kept % len(_WORDS)]
            heard = Heard(word, 0.95, now - 0.5, now, Clarity.PHRASE, Source.VOICE)
            facts += opened.session.hear(heard, now).facts
            kept = len(facts)
            if kept >= 1000:
                opened.job.append(facts, round(now * 1000))
                count, kept, facts = count + kept, 0, []
        opened.job.append(facts, round(now * 1000))
        name = opened.job.id
        opened.job.close()
    return name
