"""What a mechanic hears when the disk is full while a timer runs out, and when a voice knob is at its end."""

import io
from dataclasses import replace

import pytest

from assistant.bay.job_opening import open_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Clarity, Heard, Thresholds
from assistant.facts.bay import LostWhy, SoundLost
from assistant.journal.opening import open_journal
from assistant.journal.port import JournalFault
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.speaking.file_speaker import FileSpeaker
from tests.fakes.mechanic import next_words
from tests.fakes.silent_speaker import SilentSpeaker
from tests.journal import independent
from tests.journal.disk import fill
from tests.whole_jobs.talks import ROOT

PROCEDURE = ROOT / "procedures" / "coolant-pump-cover.yaml"
NOON = 1_790_000_000.0
NOT_STORED = "That was not stored."


def test_a_timer_that_cannot_be_stored_is_told_once_and_stored_when_there_is_room(tmp_path):
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Thresholds(), NOON)
        out, now = io.StringIO(), NOON
        runner = JobRunner(opened, SilentSpeaker(), Screen(Dialogue(out)))
        while (words := next_words(runner.session.view(now))) is not None:
            now += 2.0
            runner.hear(Heard(words, 0.95, now - 1.0, now), now)
        fill(journal)
        with pytest.raises(JournalFault, match="full"):
            while True:
                opened.job.append([SoundLost(pieces=1, why=LostWhy.BUSY)], round(now * 1000))
        kept = independent.check(tmp_path, opened.job.id)

        due = runner.next_tick()
        for tenth in range(100):  # ten seconds of a loop that looks all the time
            runner.tick(due + tenth / 10)
        assert out.getvalue().count(NOT_STORED) == 1
        assert independent.check(tmp_path, opened.job.id) == kept

        fill(journal, 10_000)
        runner.tick(runner.next_tick())
        assert [kind for _, kind, _ in independent.check(tmp_path, opened.job.id)[len(kept) :]] == [
            "clock",
            "timer_ended",
        ]
        assert out.getvalue().count(NOT_STORED) == 1


def test_the_lease_is_kept_through_a_silence(tmp_path):
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Thresholds(), NOON)
        runner = JobRunner(opened, SilentSpeaker(), Screen())
        for second in range(600):
            runner.tick(NOON + second)
            assert journal.lease(opened.job.id).until_ms > (NOON + second + 30) * 1000
        assert len(independent.check(tmp_path, opened.job.id)) == len(opened.job.entries())


@pytest.mark.parametrize(
    ("phrase", "words"),
    [
        ("faster", "I cannot speak faster."),
        ("slower", "I cannot speak more slowly."),
        ("louder", "I cannot speak louder."),
        ("quieter", "I cannot speak more quietly."),
    ],
)
def test_a_knob_at_its_end_says_so_and_before_that_it_turns_without_a_word(tmp_path, phrase, words):
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Thresholds(), NOON)
        out, now = io.StringIO(), NOON
        speaker = FileSpeaker(Pyttsx3Synthesiser(), lambda: now, None, rate=165, volume=-10)
        runner = JobRunner(opened, speaker, Screen(Dialogue(out)))
        told = []
        for _ in range(30):
            now += 2.0
            runner.hear(Heard(phrase, 0.95, now - 1.0, now), now)
            told.append(out.getvalue().count(words))
        silent = told.count(0)
        assert 0 < silent < 30
        assert told == [0] * silent + list(range(1, 31 - silent))


class Speaking(SilentSpeaker):
    """A speaker that is in the middle of ``left`` and keeps what it is asked to say."""

    def __init__(self, left):
        self.left, self.said = left, []

    def say(self, text, *, cut=True):
        self.said.append((text, cut))

    def unsaid(self, ago_s):
        return self.left


@pytest.mark.parametrize(
    ("heard", "left", "counts"),
    [
        (Heard("next", 0.95, 0.0, 0.5, over=True), "Fit the cover. Count the bolts.", True),
        (Heard("next", 0.95, 0.0, 0.5), "Say next when they are in.", True),
        # What it says itself at that moment is no command, nor what is unsure, unclear, talk, or no command here.
        (Heard("next", 0.95, 0.0, 0.5, over=True), "Say next when they are in.", False),
        (Heard("next", 0.95, 0.0, 0.5, over=True), "One of two. Two of two. Then say next.", True),
        (Heard("next", 0.2, 0.0, 0.5, over=True), "Fit the cover.", False),
        (Heard("", 0.0, 0.0, 0.5, Clarity.UNCLEAR, over=True), "Fit the cover.", False),
        (Heard("", 0.0, 0.0, 0.5, Clarity.SPEECH, over=True), "Fit the cover.", False),
        (Heard("count four", 0.95, 0.0, 0.5, over=True), "Fit the cover.", False),
    ],
)
def test_what_is_said_over_the_voice_counts_when_it_is_plain_and_else_is_asked_for(tmp_path, heard, left, counts):
    limits = Thresholds(0.6, 0.75, 0.9)
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), limits, NOON)
        speaker = Speaking(left)
        runner = JobRunner(opened, speaker, Screen(Dialogue(io.StringIO())))
        before = independent.check(tmp_path, opened.job.id)
        runner.hear(replace(heard, started_at=NOON + 1, ended_at=NOON + 1.4), NOON + 2)
        assert (len(independent.check(tmp_path, opened.job.id)) > len(before)) is counts
        assert (speaker.said == [("Yes?", False)]) is not counts
        if not counts:  # nothing is lost: what was cut is said again, whole
            speaker.left, speaker.said = "", []
            runner.hear(Heard("repeat", 0.95, NOON + 3, NOON + 3.5), NOON + 4)
            [(again, _)] = speaker.said
            assert len(again.split()) > 3
