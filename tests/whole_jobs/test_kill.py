"""A job that is killed again and again: all that was answered is kept, and the job goes on to the same end."""

import contextlib
import os
import random
import re
import select
import signal
import time
from dataclasses import dataclass

from assistant.bay.job_opening import OpenJob, open_job, resume_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Clarity, Heard, Thresholds
from assistant.journal.opening import open_journal
from assistant.language.chosen import LANGUAGE
from assistant.procedure.format.reader import read_procedure
from assistant.session.intents import BY_NAME
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from tests.fakes.mechanic import next_words
from tests.fakes.silent_speaker import SilentSpeaker
from tests.journal import independent
from tests.whole_jobs.talks import ROOT, facts_of

PROCEDURE = ROOT / "procedures" / "hub-drive-reseal.yaml"
KILLS = 100
NOON = 1_790_000_000.0
LINE = re.compile(r"\s*\d+:\d\d  (\w+) +(.*)")


def begin(journal) -> OpenJob:
    """Open a job."""
    return open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Thresholds(), NOON)


def go_on(opened: OpenJob, now: float, out) -> None:
    """Lead the job to its end with the parts of a live job, but for the sound; the clock makes no one wait."""
    runner = JobRunner(opened, SilentSpeaker(), Screen(Dialogue(out)))
    runner.begin(now)
    while not runner.closed:
        view = runner.session.view(now)
        words = next_words(view)
        if words is None:
            now = runner.session.next_tick()
            runner.tick(now)
            continue
        now += 2.0
        dictated = view["phase"] == "dictation" and words != "end note"
        clarity = Clarity.DICTATION if dictated else Clarity.PHRASE
        runner.hear(Heard(words, 0.95, now - 1.0, now, clarity), now)


def resume(home, name, out) -> None:
    """Be the process that resumes the job and goes on with it."""
    with open_journal(home) as journal:
        now = journal.read(name).entries[-1].at_ms / 1000 + 2.0
        go_on(resume_job(journal, name, Thresholds(), now), now, out)


@dataclass
class Run:
    """One life of the process: its dialogue as (label, text), and whether the kill ended it."""

    lines: list
    killed: bool

    @property
    def answered(self):
        """What was heard and then answered by speech: the confirmation was begun."""
        pairs = zip(self.lines, self.lines[1:], strict=False)
        return [text.split('"')[1] for (label, text), (after, _) in pairs if (label, after) == ("heard", "said")]

    @property
    def left_hanging(self):
        return bool(self.lines) and self.lines[-1][0] == "heard"


def killed_after(path, name, lines: int, seconds: float) -> Run:
    """Let a process go on with the job and kill it ``seconds`` after it printed so many ``lines``."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        with contextlib.suppress(BaseException):
            os.close(read)
            resume(path, name, os.fdopen(write, "w"))
            os._exit(0)
        os._exit(1)
    os.close(write)
    printed = b""
    kill_at = None
    while kill_at is None or (left := kill_at - time.monotonic()) > 0:
        if kill_at is None and printed.count(b"\n") >= lines:
            kill_at = time.monotonic() + seconds
            continue
        if select.select([read], [], [], 30 if kill_at is None else left)[0]:
            more = os.read(read, 65536)
            if not more:
                break
            printed += more
    os.kill(child, signal.SIGKILL)
    status = os.waitpid(child, 0)[1]
    while more := os.read(read, 65536):
        printed += more
    os.close(read)
    assert status in (0, signal.SIGKILL), "the job broke by itself"
    found = [LINE.fullmatch(line) for line in printed.decode().splitlines()]
    return Run([match.groups() for match in found if match], status == signal.SIGKILL)


def kept_in(home, name):
    """Open the journal as ``assistant show`` does, which undoes a half-written entry, then read it without our code."""
    with open_journal(home, read_only=True) as journal:
        assert journal.verify(name).good
    return independent.check(home, name)


def facts(entries):
    """What was done. Left out: times, and read-backs: one that a kill cut off is asked again."""
    return [
        (kind, {key: value for key, value in data.items() if key not in ("at_ms", "ends_ms")})
        for kind, data in facts_of(entries)
        if kind not in ("asked", "cancelled")
    ]


def meaning(text):
    """Return the intent of what was heard; words that are no phrase were dictated."""
    phrases = {phrase: intent for intent in BY_NAME for phrase in LANGUAGE.phrases.phrases(intent)}
    found = [phrase for phrase in phrases if f"{text} ".startswith(f"{phrase} ")]
    return phrases[max(found, key=len)] if found else text


def test_kill_9_at_100_random_moments_of_jobs_loses_nothing_and_they_end_as_if_undisturbed(tmp_path):
    calm = tmp_path / "calm"
    with open_journal(calm) as journal, (tmp_path / "calm.txt").open("w") as out:
        opened = begin(journal)
        go_on(opened, NOON, out)
    undisturbed = facts(independent.check(calm, opened.job.id))
    assert undisturbed[-1][0] == "closed"

    chance = random.Random(11)
    kills = unanswered = 0
    places = set()
    while kills < KILLS:
        with open_journal(tmp_path) as journal:
            name = begin(journal).job.id
        before = kept_in(tmp_path, name)
        while before[-1][1] != "closed":
            lines = 0 if kills >= KILLS else chance.choice([0, 1, 1, 2, 3, 5, 8])
            # Short after a line, so that the kill falls into a commit or an answer; from the start, into the replay.
            seconds = chance.uniform(0, 0.4 if lines == 0 else 0.03)
            run = killed_after(tmp_path, name, 10_000 if kills >= KILLS else lines, seconds)
            after = kept_in(tmp_path, name)
            assert after[: len(before)] == before, "what was kept has changed"
            more = [(kind, data) for _, kind, data in after[len(before) :]]
            new = [data["words"] or data["intent"] for kind, data in more if kind in ("heard", "heard_alike")]
            answered = [meaning(text) for text in run.answered]
            assert new[: len(answered)] == answered, "something was answered but not kept"
            assert len(new) <= len(run.answered) + 1
            if run.lines:
                done = sum(kind == "step_done" for _, kind, _ in before)
                assert "resumed" in [kind for kind, _ in more]
                assert run.lines[0][0] == "said", "it must say where it is before anything else"
                places.add(done)
            kills += run.killed
            unanswered += run.left_hanging
            before = after
        assert facts(before) == undisturbed
    assert kills >= KILLS
    assert len(places) > 25, "the kills must fall into all parts of the job"
    assert unanswered > 2, "some kills must fall between the word and its answer"
