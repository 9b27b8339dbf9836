"""The sentences that never change, as codes; a language has the words."""

from __future__ import annotations

from enum import StrEnum, auto


class Sentence(StrEnum):
    """One of the sentences that need nothing to be said; its name says what it tells."""

    ONLY_A_PREVIEW = auto()
    """Why a mechanic who is only imagined leaves something out; it stands inside a sentence."""
    SAY_CONFIRMED = auto()
    SAY_WHY = auto()
    AUDIO_KEPT = auto()
    PREPARED = auto()
    THING_BY_THING = auto()
    HINT_MISSING = auto()
    NOTHING_MISSING = auto()
    GO_WITHOUT = auto()
    WITHOUT = auto()
    START_OF_JOB = auto()
    ALL_DONE = auto()
    CLOSED = auto()
    AFTERWARDS = auto()
    FINISH_NOW = auto()
    FINISH_OPEN = auto()

    NOT_PAST_HAZARD = auto()
    HAZARD_FIRST = auto()
    HEAR_HAZARD = auto()
    SAFETY_STAYS = auto()
    NOTHING_TO_SKIP = auto()
    SKIP_PREPARATION = auto()
    DONE_BEFORE = auto()

    STILL_WAITS = auto()
    CANCELLED = auto()
    NO_REASON = auto()
    SILENCE = auto()
    TOO_LATE = auto()
    SAY_NOTE = auto()
    NOTE_EMPTY = auto()
    NOTE_FULL = auto()
    NOTE_CUT = auto()
    NOTE_DROPPED = auto()
    WRITTEN_DOWN = auto()
    HAND_OVER = auto()
    NO_SUCH_OPERATOR = auto()
    PAUSED = auto()
    SAY_AGAIN = auto()

    NOT_PAST_NEW = auto()
    STRETCHES = auto()
    DRAFTED = auto()
    CHECK_ONLY = auto()
    REACH_BY_HAND = auto()
    NOTHING_TO_READ = auto()
    ONE_READING = auto()
    OVERSTRETCH = auto()
    TURNED = auto()
    TURNED_NEXT = auto()
    REPLACE_ONE = auto()
    DECIDE = auto()
    NOT_PAST_READING = auto()

    NO_BOLTS = auto()
    NO_STAGE = auto()
    NO_TOOL = auto()
    NO_VALUE = auto()
    COUNT_FIRST = auto()
    NO_MORE = auto()
    HINT_MORE = auto()
    NO_COUNT = auto()
    BOLTS_DONE = auto()

    ANSWER_YES_NO = auto()
    IN_FULL = "in_full"
    IN_SHORT = "in_short"
    AS_USUAL = "as_usual"
    HINT_NEXT = auto()
    HINT_DONE = auto()
    ANSWER_COUNT = auto()
    ANSWER_READING = auto()
    ANSWER_BELOW = auto()
    ANSWER_FIT = auto()

    NO_TIMER = auto()
    NO_TIMER_HERE = auto()
    NO_MINUTES = auto()
    NO_REMINDER = auto()
    START_AGAIN = auto()
    NOT_STARTED_AGAIN = auto()
    SAY_START = auto()
    NEXT_GOES_ON = auto()
    WAIT_OVER = auto()
    BY_MY_COUNT = auto()
    TIMER_RIGHT = auto()
    GO_ON_LATE = auto()
    LEAVE_WAIT = auto()
