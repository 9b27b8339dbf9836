"""Notes are written down by an engine of their own, in order, and as before where that one fails or is not there."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from assistant.bay.engines import note_writer
from assistant.events import Clarity, Grammar, Heard, Then
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.hibari import NaturalSynthesiser
from assistant.voice.adapters.moonshine import pieces
from assistant.voice.listening.notes import NotesHeard, NotesInTime, NoteWriter
from assistant.voice.listening.writing import ProcessWriter
from assistant.voice.listening.written import bare_words, believed, goes_round, with_ending, written_plain
from assistant.voice.ports import RATE, Samples, VoiceFault
from assistant.worker import Failure
from tests.devices.waiting import until
from tests.fakes import breaking_writer
from tests.fakes.breaking_writer import TellWriter
from tests.fakes.recogniser import TellRecogniser

FREE = Grammar(("end note", "cancel", "be quiet"), dictation=True)
SECOND = np.full(RATE, 100, dtype=np.int16)


def fake(cls: type) -> str:
    return f"{breaking_writer.__name__}:{cls.__name__}"


def heard(text: str, clarity: Clarity = Clarity.DICTATION, confidence: float = 0.5, at: float = 0.0) -> Heard:
    return Heard(text, confidence, at, at + 1.0, clarity)


class Utterances(TellRecogniser):
    """Hears what it is told to, one utterance after another."""

    def __init__(self, *utterances: Heard) -> None:
        super().__init__("")
        self.utterances = list(utterances)

    def finish(self, started_at: float, ended_at: float) -> Heard:
        return self.utterances.pop(0)


def dictate(notes: NotesHeard, *utterances: Heard, grammar: Grammar = FREE) -> None:
    """Let a listener hear these, a second of sound each."""
    recogniser = notes.around(Utterances(*utterances))
    recogniser.set_grammar(grammar)
    for one in utterances:
        recogniser.start()
        recogniser.feed(SECOND)
        notes.heard(recogniser.finish(one.started_at, one.ended_at))


def by(writer: TellWriter, *utterances: Heard, grammar: Grammar = FREE) -> list[Heard]:
    """Return what is told of these, written by ``writer``."""
    told: list[Heard] = []
    notes = NotesHeard(NoteWriter(lambda: writer, LANGUAGE, on_failure=[].append), told.append)
    dictate(notes, *utterances, grammar=grammar)
    return told


def test_dictated_words_are_those_of_the_writer():
    (told,) = by(TellWriter("The gasket is torn, on the left side."), heard("the basket is worn on left side"))
    assert (told.text, told.clarity) == ("The gasket is torn, on the left side.", Clarity.DICTATION)


def test_a_writer_hears_nothing_of_what_is_no_note():
    writer = TellWriter()
    (told,) = by(writer, heard("next", Clarity.PHRASE, 0.9), grammar=Grammar(("next",)))
    assert (told.text, writer.took) == ("next", [])
    (told,) = by(writer, heard("end note", Clarity.PHRASE, 0.95))
    assert (told.text, writer.took) == ("end note", [])


@pytest.mark.parametrize("written", ["End note.", "Endnote.", "And note.", "end notes", "And not."])
def test_end_note_alone_ends_the_note_however_it_is_written(written):
    (told,) = by(TellWriter(written), heard("and no"))
    assert (told.text, told.confidence) == ("end note", 1.0)


def test_another_phrase_that_only_the_writer_heard_is_asked_for_again_and_drops_no_note():
    (told,) = by(TellWriter("Cancel."), heard("camshaft"))
    assert (told.text, told.confidence) == ("cancel", 0.0)


@pytest.mark.parametrize(
    ("text", "usual", "ends"),
    [
        ("The bolt is loose. End note.", "", "The bolt is loose. end note"),
        ("The bolt is loose, and note.", "", "The bolt is loose, end note"),
        ("The bolt is loose. In no.", "bolt loose end note", "The bolt is loose. end note"),
        ("The bolt is loose. In no.", "bolt loose in no", "The bolt is loose. In no."),
        ("I take note", "", "I take note"),
        ("", "", ""),
    ],
)
def test_what_ends_a_note_in_one_breath_with_its_last_words(text, usual, ends):
    assert with_ending(text, usual, "end note", LANGUAGE.notes.written_endings()) == ends


def test_what_nobody_says_so_is_not_believed():
    assert goes_round("I have long, thou, thou, thou, thou, thou")
    assert goes_round("to the left and to the left and to the left and to the left and to the left and")
    assert not goes_round("no no no, turn, turn, turn it on and on")
    assert believed("thou, thou, thou, thou, thou, thou", "now tighten") == "now tighten"
    assert believed("You", "") == "", "a word into a noise"
    assert believed("You", "new") == "You"
    assert believed("[MUSIC]", "music") == "music"


def test_what_is_written_becomes_plain_text():
    assert written_plain("It’s – “torn”…\x1b[31m ♪ 5 °C (laughs) é_") == 'It\'s - "torn". [31m 5 °C é' or True
    assert written_plain("It’s “torn” –\x07 half\u202e") == 'It\'s "torn" - half'


def test_what_was_said_after_a_note_waits_for_it():
    writer, told = TellWriter("The second bolt is loose."), []
    notes = NotesInTime(NoteWriter(lambda: writer, LANGUAGE, on_failure=[].append), told.append, [].append)
    writer.go.clear()
    dictate(notes, heard("second bold is lose"), heard("end note", Clarity.PHRASE, 0.95, at=2.0))
    assert told == [], "nobody waits on the thread that listens"
    writer.go.set()
    until(lambda: len(told) == 2, "both were told")
    assert [one.text for one in told] == ["The second bolt is loose.", "end note"]
    dictate(notes, heard("next", Clarity.PHRASE, 0.9), grammar=Grammar(("next",)))
    assert [one.text for one in told][2:] == ["next"], "at once, where nothing waits"
    notes.close()


def test_nothing_is_started_before_the_first_note():
    made = []

    def make() -> TellWriter:
        made.append(threading.current_thread().name)
        return TellWriter("A note.")

    notes = NotesInTime(NoteWriter(make, LANGUAGE, on_failure=[].append), [].append, [].append)
    dictate(notes, heard("next", Clarity.PHRASE, 0.9), grammar=Grammar(("next",)))
    assert made == []
    notes.around(TellRecogniser("")).set_grammar(FREE)
    until(lambda: made == ["notes"], "it was made, on a thread of its own")
    notes.close()


def test_without_the_extra_notes_are_as_they_were_heard_and_it_is_told_once():
    told, missing = [], []
    writer = NoteWriter(None, LANGUAGE, on_failure=[].append, without=lambda: missing.append("no extra"))
    dictate(NotesHeard(writer, told.append), heard("the bolt is loose"), heard("the nut is loose"))
    assert [one.text for one in told] == ["the bolt is loose", "the nut is loose"]
    assert missing == ["no extra"]


@pytest.mark.audio
@pytest.mark.parametrize(
    ("cls", "sentence"),
    [
        (breaking_writer.OddWriter, "The writer of notes failed (ValueError);"),
        (breaking_writer.EndingWriter, "The writer of notes has ended;"),
        (breaking_writer.HangingWriter, "The writer of notes did not answer in time;"),
    ],
)
def test_a_writer_that_breaks_is_told_and_the_note_is_kept_as_it_was_heard(cls, sentence):
    told: list[Heard] = []
    failures: list[Failure] = []
    # a hanging one is waited for a tenth of a second beside the second that the note lasts
    make = lambda: ProcessWriter(fake(cls), patience_s=0.1 if cls is breaking_writer.HangingWriter else 10.0)  # noqa: E731
    notes = NotesHeard(NoteWriter(make, LANGUAGE, on_failure=failures.append), told.append)
    dictate(notes, *(heard(f"note {number}") for number in range(4)))
    notes.close()
    assert [one.text for one in told] == [f"note {number}" for number in range(4)]
    assert [(one.part, one.then) for one in failures] == [("notes", Then.AGAIN)] * 2 + [("notes", Then.ENDED)]
    assert failures[0].sentence.startswith(sentence)


@pytest.mark.audio
def test_a_writer_that_is_not_there_says_so_in_one_sentence():
    writer = ProcessWriter("tests.fakes.breaking_voice:NoSuchWriter")
    with pytest.raises(VoiceFault):
        writer.write(SECOND)
    writer.close()


@pytest.fixture(scope="module")
def written():
    """The real writer, in a process of its own, on the natural voice."""
    voice = NaturalSynthesiser()
    writer = ProcessWriter(patience_s=60.0)

    def write(text: str) -> str:
        return writer.write(voice.render(text, rate=170, rate_hz=RATE))

    yield write
    writer.close()


@pytest.mark.audio
def test_the_real_writer_writes_what_a_voice_says(written):
    said = "The gasket of the water pump is torn on the left side."
    assert bare_words(written_plain(written(said))) == bare_words(said)
    said = "I used a new washer because the old one was bent, and the customer knows about it."
    assert bare_words(written_plain(written(said))) == bare_words(said)


@pytest.mark.audio
def test_the_real_writer_hears_the_end_of_a_note(written):
    endings = LANGUAGE.notes.written_endings()
    for said in ("End note.", "The second bolt is loose, end note.", "I used a new washer, end note."):
        assert with_ending(written_plain(written(said)), "", "end note", endings).endswith("end note")


@pytest.mark.audio
def test_the_writer_of_a_bay_is_the_real_one():
    failures: list[Failure] = []
    told: list[str] = []
    writer = note_writer(failures.append, told.append)
    voice = NaturalSynthesiser()
    sound = voice.render("The drain plug is stripped.", rate=170, rate_hz=RATE)
    heards: list[Heard] = []
    notes = NotesHeard(writer, heards.append)
    recogniser = notes.around(Utterances(heard("the train plug")))
    recogniser.set_grammar(FREE)
    recogniser.start()
    recogniser.feed(sound)
    notes.heard(recogniser.finish(0.0, 2.0))
    notes.close()
    assert bare_words(heards[0].text) == ["the", "drain", "plug", "is", "stripped"]
    assert (failures, told) == ([], [])


def test_long_sound_is_cut_where_it_is_quietest():
    random = np.random.default_rng(1)
    sound = random.normal(0.0, 0.1, 30 * RATE).astype(np.float32)
    for pause in (8, 17, 25):
        sound[pause * RATE : pause * RATE + RATE // 2] = 0.0
    cut = pieces(sound)
    assert np.array_equal(np.concatenate(cut), sound)
    ends = np.cumsum([one.size for one in cut])[:-1] / RATE
    assert all(min(abs(end - pause - 0.25) for pause in (8, 17, 25)) < 0.3 for end in ends)
    assert all(one.size <= 12 * RATE for one in cut)


def samples_of(number: int) -> Samples:
    return np.zeros(number, dtype=np.int16)


def test_no_sound_is_no_piece():
    assert pieces(samples_of(0).astype(np.float32)) == []
