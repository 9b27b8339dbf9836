"""What belongs to any place: fixed sentences, help, notes, and how a text is cut for one breath."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from assistant.language.en.phrases import phrases
from assistant.language.en.words import WHOLE, apart, cut, short
from assistant.language.sentence import Sentence

_TEXTS: Mapping[Sentence, str] = {
    Sentence.ONLY_A_PREVIEW: "it is only a preview",
    Sentence.SAY_CONFIRMED: "Say confirmed.",
    Sentence.SAY_WHY: "Say why, then say end note.",
    Sentence.AUDIO_KEPT: "The sound of this job is kept, as you asked.",
    Sentence.PREPARED: "The preparation is done.",
    Sentence.THING_BY_THING: "One thing at a time.",
    Sentence.HINT_MISSING: "Say next when it is here, or missing.",
    Sentence.NOTHING_MISSING: "Nothing is missing.",
    Sentence.GO_WITHOUT: "To begin without, say confirmed. To change it, say item found, or go back.",
    Sentence.WITHOUT: "Begin without what is missing",
    Sentence.START_OF_JOB: "This is the start of the job.",
    Sentence.ALL_DONE: "All steps are behind us. Say finish job.",
    Sentence.CLOSED: "The job is closed.",
    Sentence.AFTERWARDS: "Its record and its label can be made now.",
    Sentence.FINISH_NOW: "Close the job? Say confirmed.",
    Sentence.FINISH_OPEN: "Close the job with open items",
    Sentence.NO_DETOUR: "You went nowhere else. There is nothing to go back to.",
    Sentence.NOT_GONE: "I do not go there.",
    Sentence.BACK_AGAIN: "Back to where you were.",
    Sentence.SAY_BACK: "Say back to where I was.",
    Sentence.ON_THE_WAY: "This is on the way.",
    Sentence.NO_SUCH_STEP: "There is no such step now.",
    Sentence.YOU_ARE_THERE: "You are there.",
    Sentence.FIRST_PREPARATION: "First the preparation.",
    Sentence.NOTHING_MEANWHILE: "There is nothing to do meanwhile.",
    Sentence.NO_WAIT: "Nothing is waited for.",
    Sentence.NOT_PAST_HAZARD: "Next does not pass a hazard. Say confirmed when you have understood it.",
    Sentence.HAZARD_FIRST: "First the hazard. Say confirmed when you have understood it.",
    Sentence.HEAR_HAZARD: "First hear it to its end.",
    Sentence.SAFETY_STAYS: "A hazard cannot be left out. Say confirmed when you have understood it.",
    Sentence.NOTHING_TO_SKIP: "There is nothing to leave out here.",
    Sentence.SKIP_PREPARATION: "Skip this part of the preparation",
    Sentence.DONE_BEFORE: "This was done before. Next goes on.",
    Sentence.TAKEN_BACK: "Taken back.",
    Sentence.NOTHING_TO_TAKE_BACK: "There is nothing to take back.",
    Sentence.SECOND_PERSON: "a second person",
    Sentence.GATE: "This is a gate.",
    Sentence.GATE_STAYS: "A gate cannot be left out.",
    Sentence.RELEASE_HOW: "A second person may release it: say release the gate.",
    Sentence.WITNESS_HOW: "It is done, and needs its witness: say call a witness.",
    Sentence.NO_GATE: "No gate is waiting.",
    Sentence.NO_WITNESS_WANTED: "Nothing waits for a witness.",
    Sentence.NOT_WITNESSED: "Not witnessed.",
    Sentence.NO_PHOTO_WANTED: "This step needs no photo.",
    Sentence.NO_PHOTO: "There is no photo.",
    Sentence.SAME_PERSON: "It must be somebody else than you.",
    Sentence.SILENCE_SECOND: "I did not hear it. Nothing has changed.",
    Sentence.STILL_WAITS: "I still wait. Say confirmed, or cancel.",
    Sentence.CANCELLED: "Cancelled. Nothing has changed.",
    Sentence.NO_REASON: "No reason came. Nothing has changed.",
    Sentence.SILENCE: "I did not hear confirmed. Nothing has changed.",
    Sentence.TOO_LATE: "That came too late. Nothing has changed.",
    Sentence.SAY_NOTE: "Go on. Say end note when you are done.",
    Sentence.NOTE_EMPTY: "I have no words yet. Say them, or say cancel.",
    Sentence.NOTE_FULL: "No more words fit in here. Say end note, and take another note for the rest.",
    Sentence.NOTE_CUT: "The last words did not fit. Take another note for them.",
    Sentence.NOTE_DROPPED: "The note is dropped.",
    Sentence.NOTE_STAYS: "The note stays as it was.",
    Sentence.FINDING_STAYS: "The finding stays as it was.",
    Sentence.SAY_NOTE_AGAIN: "Say all of it again, in one go.",
    Sentence.WRITTEN_DOWN: "It is written down.",
    Sentence.HAND_OVER: "Hand the job over? Say confirmed.",
    Sentence.NO_SUCH_OPERATOR: "There is no such number.",
    Sentence.PAUSED: "Paused. Say carry on when you are ready.",
    Sentence.SAY_AGAIN: "Say again.",
    Sentence.TOO_LOUD: "Too loud for that. Say it again when it is quieter, or press.",
    Sentence.YES_OR_NO: "Yes or no?",
    Sentence.NOT_MEANT: "Not done.",
    Sentence.NOT_PAST_NEW: "Next does not pass this. Say confirmed when they are new.",
    Sentence.STRETCHES: "They stretch for good.",
    Sentence.DRAFTED: "The order is a general pattern, and not the maker's.",
    Sentence.CHECK_ONLY: "Check only, and do not tighten on.",
    Sentence.REACH_BY_HAND: "Work out the crowfoot setting first.",
    Sentence.NOTHING_TO_READ: "There is nothing to read off here.",
    Sentence.ONE_READING: "A reading is for one bolt. Say bolt by bolt first.",
    Sentence.TOGETHER: "These bolts are turned at the same time, so no single reading is taken.",
    Sentence.OVERSTRETCH: "Turning again would overstretch the bolts.",
    Sentence.TURNED: "Done before. Turning again would overstretch the bolts.",
    Sentence.TURNED_NEXT: "Next goes on. When they were loosened, say tighten again.",
    Sentence.MUST_LOOSEN: "They were turned by a further angle. Loosen them fully, then say tighten again.",
    Sentence.MUST_REPLACE: "They were turned by a further angle. Loosen them, take new ones, then say tighten again.",
    Sentence.NOT_PAST_TURNED: "Next does not pass bolts that were turned. When they are loosened, say tighten again.",
    Sentence.WORDS_UNDO_NO_ANGLE: "Words do not undo a further angle: the bolts stay turned.",
    Sentence.TURNED_LOOSEN: "Loosen them fully, and begin with their first stage.",
    Sentence.TURNED_NEW_BOLTS: "They need new bolts, from the first stage on.",
    Sentence.REPLACE_ONE: "One bolt is replaced at a time. Say bolt by bolt first.",
    Sentence.DECIDE: "Say tighten again, take a note, or replace the bolt.",
    Sentence.NOT_PAST_READING: "Next does not pass a reading out of limits.",
    Sentence.NO_SUCH_BOLT: "No group has a bolt of that number. Look at the bolt map.",
    Sentence.WHICH_GROUP: "Nothing has changed. Say it at the step of its group.",
    Sentence.WHICH_BOLT: "Say its number: bolt, the number, is wrong.",
    Sentence.NOT_HELD: "No bolt of that number is held open.",
    Sentence.HELD_BEFORE: "That bolt is held open already.",
    Sentence.TURN_NOTHING: "Do not start or turn the machine before it is out.",
    Sentence.MAKER_SAYS: "Follow the maker's procedure for that.",
    Sentence.CONFIRMED_OR_NO: "Say confirmed, or no.",
    Sentence.CAME_OUT: "Did it come out again? Say yes or no.",
    Sentence.GO_ON_DROPPED: "Go on with it not found",
    Sentence.NO_BOLTS: "There are no bolts in this step.",
    Sentence.NO_STAGE: "There is no stage here.",
    Sentence.NO_TOOL: "No tool is named for this step.",
    Sentence.NO_VALUE: "There is no value in this step.",
    Sentence.COUNT_FIRST: "Count them first, then say count and the number.",
    Sentence.NO_MORE: "There is no more about this step.",
    Sentence.HINT_MORE: "There is more: say more about this.",
    Sentence.NO_COUNT: "There is nothing to count here.",
    Sentence.BOLTS_DONE: "All bolts of this step are done. Next goes on.",
    Sentence.ANSWER_YES_NO: "Say yes or no.",
    Sentence.IN_FULL: "In full from now on.",
    Sentence.IN_SHORT: "Short from now on.",
    Sentence.AS_USUAL: "As usual from now on.",
    Sentence.HINT_NEXT: "Say next when it is so.",
    Sentence.HINT_DONE: "Say next when it is done.",
    Sentence.ANSWER_COUNT: "Say count and the number.",
    Sentence.ANSWER_READING: "Say reading and the value.",
    Sentence.ANSWER_CELL: "Say the number.",
    Sentence.ANSWER_TABLE: "All is read off. To correct one, say its name, then again.",
    Sentence.TABLE_OFF: "Measure again by name, or say next to accept.",
    Sentence.AS_FOUND: "As found.",
    Sentence.AS_LEFT: "As left.",
    Sentence.TABLE_FOUND: "Correct one by name, or say next.",
    Sentence.ANSWER_BELOW: "Below zero, say reading below zero and the value.",
    Sentence.ANSWER_FIT: "Say count and the number of new parts.",
    Sentence.ANSWER_FILLED: "Say filled and the amount.",
    Sentence.NO_TIMER: "No timer is running.",
    Sentence.NO_TIMER_HERE: "This step has no timer to start.",
    Sentence.NO_MINUTES: "Say a number of minutes from one on.",
    Sentence.NO_REMINDER: "No reminder is running.",
    Sentence.START_AGAIN: "If you do it again, say start timer.",
    Sentence.NOT_STARTED_AGAIN: "Its timer was not started again.",
    Sentence.SAY_START: "Say start timer to begin.",
    Sentence.NEXT_GOES_ON: "Next goes on.",
    Sentence.WAIT_OVER: "The wait is over. Next goes on.",
    Sentence.BY_MY_COUNT: "By my count:",
    Sentence.TIMER_RIGHT: "Leave the timer as it is",
    Sentence.GO_ON_LATE: "Go on after the open time",
    Sentence.LEAVE_WAIT: "Leave the wait early",
}


def text(sentence: Sentence) -> str:
    return _TEXTS[sentence]


_ANSWERS = {
    "count": "count and the number",
    "reading": "reading and the value",
    "reading_below": "reading below zero and the value",
    "operator": "operator and the number",
    "remind": "remind me in so many minutes",
    "bare_reading": "the number",
    "cell_again": "its name and again",
    "filled": "filled and the amount",
    "where": "where am I",
    "found": "found it",
    "bolt_replaced": "bolt and its number is replaced",
}


def can_say(intents: Sequence[str], *, single: bool = False) -> str:
    said = [_ANSWERS.get(intent) or phrases(intent)[0] for intent in intents]
    if single:
        said = ["which bolt" if intent == "which_bolts" else words for intent, words in zip(intents, said, strict=True)]
    return f"You can say: {', '.join(said)}."


def leads_on(intents: Sequence[str]) -> str:
    *some, last = [_ANSWERS.get(intent) or phrases(intent)[0] for intent in intents]
    return f"{', '.join(some)}, or {last}" if some else last


# Notes


def note_kept(kind: str, text: str) -> str:
    return _read_whole(kind, "kept", text)


def note_corrected(kind: str, text: str) -> str:
    return _read_whole(kind, "corrected", text)


def note_as_before(kind: str, text: str) -> str:
    return _read_whole(kind, "as before", text)


def _read_whole(kind: str, what: str, text: str) -> str:
    return f"{kind.capitalize()} {what}: {short(text, WHOLE).rstrip('.')}."


def reason_then(summary: str, reason: str, told: Sequence[str] = ()) -> list[str]:
    return [f"You said: {cut(apart(reason))}.", *told, f"{summary}?", text(Sentence.SAY_CONFIRMED)]


# Breath


MOST_WORDS = 20
"""Words in a sentence that tells what to do (ASD-STE100 Simplified Technical English, as quoted in writing guides)."""
_LEAST_WORDS = 4
"""A shorter piece would sound like a slip."""
_SENTENCE_END = re.compile(r"(?<=[.?!])\s+")
_PAUSE = re.compile(r"(?<=[.!?;:])\s+")
_STOPS = (";", ":")
_JOINTS = frozenset(("and", "or", "but", "because", "so", "then", "when", "which", "that", "until", "before", "after"))


def breaths(text: str) -> str:
    """Cut behind a semicolon or colon, else behind a comma, else before a word that joins, else where breath ends."""
    return " ".join(piece for sentence in _SENTENCE_END.split(text) for piece in _pieces(sentence))


def sentences(text: str) -> list[str]:
    return _PAUSE.split(breaths(text))


def _pieces(sentence: str) -> list[str]:
    words = sentence.split()
    found: list[str] = []
    while len(words) > MOST_WORDS:
        at = _cut(words)
        found.append(" ".join(words[:at]).rstrip(",;:") + ".")
        words = words[at:]
        words[0] = words[0][:1].upper() + words[0][1:]
    return [*found, " ".join(words)]


def _cut(words: list[str]) -> int:
    """Return behind how many words to cut."""
    places = range(MOST_WORDS, _LEAST_WORDS - 1, -1)
    for fits in (
        lambda at: words[at - 1].endswith(_STOPS),
        lambda at: words[at - 1].endswith(","),
        lambda at: words[at].lower() in _JOINTS,
    ):
        if found := next((at for at in places if fits(at)), None):
            return found
    return MOST_WORDS
