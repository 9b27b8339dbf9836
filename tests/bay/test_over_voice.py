"""Whoever speaks over the assistant: nothing that was cut counts as heard, and no word of its own as a command."""

import io

import pytest

from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import open_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Clarity, Heard, Thresholds
from assistant.journal.opening import open_journal
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.voice.listening.over_echo import LostBy
from assistant.voice.speaking.own_words import are_own_words
from assistant.voice.speaking.timed_speaker import TimedSpeaker
from tests.fakes.mechanic import next_words
from tests.journal import independent
from tests.whole_jobs.talks import ROOT

PROCEDURE = ROOT / "procedures" / "coolant-pump-cover.yaml"
NOON = 1_790_000_000.0
GRAVE = "Hot coolant is under pressure"
AVOID = "Do not open the cap or the tap until the engine is cold."


class Bay:
    """A job at a bench on a clock that stands until it is turned; what is spoken takes its time."""

    def __init__(self, journal):
        self.now = NOON
        opened = open_job(
            journal, read_procedure(PROCEDURE), PROCEDURE.name, Settings(), Thresholds(0.6, 0.75, 0.9), NOON
        )
        self.out, self.inbox = io.StringIO(), Inbox()
        self.speaker = TimedSpeaker(lambda: self.now)
        self.runner = JobRunner(opened, self.speaker, Screen(Dialogue(self.out)))
        self.id = opened.job.id

    def hear(self, text, *, over=False, clarity=Clarity.PHRASE):
        """Let a person say ``text``; ``over`` the voice it falls silent first, as the listener makes it."""
        if over:
            self.speaker.hush()
        heard = Heard(text, 0.95 if text else 0.0, self.now, self.now + 0.5, clarity, over=over)
        self.now += 0.5
        said = self.out.tell()
        self.runner.hear(heard, self.now)
        return self.out.getvalue()[said:]

    def lead_to(self, words):
        """Work through the job until the hazard with these ``words`` begins to be read."""
        while words not in self.speaker.unsaid(0.0):
            self.now += 60.0
            self.hear(next_words(self.runner.session.view(self.now)))

    def let_be_said(self, words):
        """Let the time pass until the sentence with ``words`` is the one that sounds."""
        while words not in self.speaker.unsaid(0.0).split(".")[0]:
            assert words in self.speaker.unsaid(0.0)
            self.now += 0.1


def acknowledged(folder, job, word="warning"):
    """Return how far the hazards of this ``word`` had been heard that were acknowledged."""
    entries = [fields for _, kind, fields in independent.check(folder, job) if kind == "hazard_acknowledged"]
    return [fields["heard"] for fields in entries if fields["word"] == word]


@pytest.fixture
def bay(tmp_path):
    with open_journal(tmp_path) as journal:
        yield Bay(journal)


def unclear(bay):
    return bay.hear("", over=True, clarity=Clarity.UNCLEAR)


def test_a_hazard_that_somebody_spoke_over_is_said_again_whole_before_it_can_be_confirmed(bay, tmp_path):
    bay.lead_to(GRAVE)
    bay.let_be_said("It can scald")
    assert "Yes?" in unclear(bay)
    bay.now += 5.0
    again = bay.hear("confirmed")
    assert acknowledged(tmp_path, bay.id) == []
    assert GRAVE in again
    assert AVOID in again
    bay.now += 60.0
    bay.hear("confirmed")
    assert acknowledged(tmp_path, bay.id) == ["all"]


def test_confirmed_over_a_hazard_confirms_nothing(bay, tmp_path):
    bay.lead_to(GRAVE)
    bay.let_be_said(GRAVE)
    again = bay.hear("confirmed", over=True)
    assert acknowledged(tmp_path, bay.id) == []
    assert AVOID in again


def test_what_it_says_itself_confirms_nothing_and_the_hazard_is_still_not_heard(bay, tmp_path):
    bay.lead_to(GRAVE)
    bay.let_be_said("Say confirmed")
    assert "Yes?" in bay.hear("confirmed", over=True)
    assert acknowledged(tmp_path, bay.id) == []


def test_who_insists_twice_is_written_down_as_having_heard_a_part(bay, tmp_path):
    bay.lead_to(GRAVE)
    for _ in range(2):
        bay.let_be_said(GRAVE)
        unclear(bay)
        bay.now += 2.0
        bay.hear("confirmed")
    assert acknowledged(tmp_path, bay.id) == ["part"]


def test_a_caution_that_was_cut_is_written_down_as_heard_in_part(bay, tmp_path):
    bay.lead_to("Coolant makes the floor slippery")
    bay.let_be_said("You can slip")
    unclear(bay)
    bay.now += 2.0
    bay.hear("confirmed")
    assert acknowledged(tmp_path, bay.id, "caution") == ["part"]


@pytest.mark.parametrize(
    ("why", "words"),
    [
        (LostBy.ECHO, "I hear too much of myself here: speak when I am silent."),
        (LostBy.DEVICES, "The microphone or the loudspeaker was changed: speak when I am silent, and run mic-check."),
        (LostBy.BROKEN, "The echo canceller broke: speak when I am silent."),
        (LostBy.MISSING, "The echo canceller is not installed: speak when I am silent."),
    ],
)
def test_each_reason_why_nobody_is_heard_over_it_is_one_sentence(bay, tmp_path, why, words):
    before = independent.check(tmp_path, bay.id)
    said = bay.out.tell()
    bay.inbox.not_over(why)
    bay.inbox.take(0.0)(bay.runner, bay.now)
    assert bay.out.getvalue()[said:].count(words) == 1
    assert words in bay.speaker.unsaid(0.0)
    assert independent.check(tmp_path, bay.id) == before


def test_own_words_are_those_that_sound_now_word_for_word():
    unsaid = "Take out the bolts. Say next when they are out. Then count the nuts."
    assert are_own_words("next", unsaid)
    assert are_own_words("next when", unsaid)
    assert not are_own_words("count the nuts", unsaid)  # it is still to come
    assert not are_own_words("bolt", unsaid)
    assert not are_own_words("next", "")


def test_what_is_said_over_it_is_asked_for_without_a_fact(bay, tmp_path):
    before = independent.check(tmp_path, bay.id)
    assert "Yes?" in unclear(bay)
    assert independent.check(tmp_path, bay.id) == before
