"""A spoken day: real recogniser, real synthesiser; wake, start by voice, a short job, close, and it waits again."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import soundfile

from assistant.bay.engines import choose_recogniser, choose_synthesiser
from assistant.bay.inbox import Inbox
from assistant.display.board import Board
from assistant.journal.opening import open_journal
from assistant.rehearsal.clock import TalkClock
from assistant.rehearsal.recorded import RecordedTalk
from assistant.settings import Settings
from assistant.voice.adapters.wav import WavMicrophone
from assistant.voice.ports import RATE
from assistant.voice.speaking.file_speaker import FileSpeaker
from tests.idle.typed_day import BEGIN, Noted, work_all_day
from tests.voice.people import Person, in_room, silence
from tests.whole_jobs.talks import ROOT

MECHANIC, RADIO = Person("flite", "rms"), Person("flite", "slt")
SETTINGS = Settings(operators="Kim, Lee", wake="good morning workshop")
BEFORE = ("procedures", "start the job", "the weather will be fine in the morning and the shop is open until nine")
WORK = ("good morning workshop", "procedures", "drum", "operator kim", "start", *["next"] * 4, "yes", "finish job",
        "confirmed")  # fmt: skip
AFTER = ("jobs", "resume the job", "good morning workshop", "open jobs")


class DayRecording(RecordedTalk):
    """A recording for a whole day: it goes on where a job begins or ends."""

    def close(self) -> None:
        """Stay open."""


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_a_job_is_started_by_voice_behind_the_wake_phrase_and_the_bay_waits_again(home: Path, tmp_path: Path) -> None:
    procedures = tmp_path / "procedures"
    procedures.mkdir()
    shutil.copy(ROOT / "tests/typed/procedures/more-to-know.yaml", procedures)
    shutil.copy(ROOT / "procedures/coolant-pump-cover.yaml", procedures)
    pieces = [silence(1.0)]
    for speaker, texts in ((RADIO, BEFORE), (MECHANIC, WORK), (RADIO, AFTER[:2]), (MECHANIC, AFTER[2:])):
        for text in texts:
            pieces += [speaker.say(text), silence(1.0)]
    soundfile.write(tmp_path / "talk.wav", in_room(*pieces), RATE)

    clock, inbox, closed, dialogue = TalkClock(BEGIN), Inbox(), [], Noted()
    microphone = WavMicrophone(tmp_path / "talk.wav", started_at=clock.at)
    recogniser = choose_recogniser(SETTINGS, inbox.told)
    synthesiser = choose_synthesiser(SETTINGS)
    try:
        voice = FileSpeaker(synthesiser, lambda: clock.at)
        ears = DayRecording(microphone, recogniser, voice, clock, inbox)
        work_all_day(home, ears, voice, clock, dialogue, Board(), procedures, SETTINGS, closed, inbox)
    finally:
        synthesiser.close()
        microphone.close()
    said = [text for texts in dialogue.said_at.values() for text in texts]
    print("\n".join(said))
    assert said[:4] == [
        "Yes?",
        "Two procedures. One: New gasket for the coolant pump cover. Two: Rim of the practice drum, not approved.",
        "Two: Rim of the practice drum, not approved. Say start.".replace("Two", "One"),
        "Operator Kim.",
    ]
    assert "Starting Rim of the practice drum, operator Kim." in said[4]
    assert said[-3:] == [
        "The record of Rim of the practice drum is on the page.",
        "Yes?",
        "No job is open. Say new job.",
    ]
    with open_journal(home) as journal:
        (job,) = journal.scan()
    assert (job.id, job.state.value) == (closed[0], "closed")
