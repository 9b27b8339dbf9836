"""Going through the job: places, hazards, the preparation, pauses, and what was refused."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import msgspec

from assistant.facts.base import PERSONAL, Fact
from assistant.facts.codes import SignalWord
from assistant.facts.inputs import HeardFar


class BoltAt(msgspec.Struct, frozen=True):
    """Which bolt of a tightening comes next: pass and run from one, and its number."""

    turn: int
    run: int
    bolt: int


class Arrived(Fact, frozen=True, kw_only=True):
    """The job stands at ``place`` (key) from now on; in a tightening, ``bolt`` is next (None behind the last one).

    ``hazards_anew`` where its hazards must be acknowledged again, ``bolts_anew`` where bolts come that were left out.
    """

    KIND = "arrived"
    place: str
    bolt: BoltAt | None = None
    hazards_anew: bool = False
    bolts_anew: bool = False


class Moved(Fact, frozen=True, kw_only=True):
    """Somebody went back, or on past something that was done before: to ``place`` (key)."""

    KIND = "moved"
    place: str


class HazardAcknowledged(Fact, frozen=True, kw_only=True):
    """A hazard was acknowledged: its number at the place from one, its signal word, and how far it was heard before."""

    KIND = "hazard_acknowledged"
    place: str
    number: int
    word: SignalWord
    heard: HeardFar


class HazardAgain(Fact, frozen=True, kw_only=True):
    """A hazard that was cut short before how to avoid it was not taken as acknowledged, and is read again."""

    KIND = "hazard_again"
    place: str
    number: int


class HazardCut(Fact, frozen=True, kw_only=True):
    """The reading of a hazard was cut short before how to avoid it (``is_cut``), or it was read again since."""

    KIND = "hazard_cut"
    place: str
    number: int
    is_cut: bool


class Prepared(Fact, frozen=True, kw_only=True):
    """A card of the preparation was gone through; ``missing`` are the numbers (from one) of things not there."""

    KIND = "prepared"
    place: str
    missing: tuple[int, ...] = ()
    repeated: bool = False


class ThingAsked(Fact, frozen=True, kw_only=True):
    """A card is gone through thing by thing, and this one is asked for; 0: it is taken as a whole again."""

    KIND = "thing_asked"
    place: str
    number: int


class ItemMissing(Fact, frozen=True, kw_only=True):
    """A thing of a card is missing: its number from one."""

    KIND = "item_missing"
    place: str
    number: int


class ItemFound(Fact, frozen=True, kw_only=True):
    """A thing that was missing is here."""

    KIND = "item_found"
    place: str
    number: int


class Paused(Fact, frozen=True, kw_only=True):
    """Listening only for the word that ends the pause."""

    KIND = "paused"


class CarriedOn(Fact, frozen=True, kw_only=True):
    """The end of a pause."""

    KIND = "carried_on"


class HandingOver(Fact, frozen=True, kw_only=True):
    """Who works on the job leaves it, and nobody has taken it over yet."""

    KIND = "handing_over"


class UnitChosen(Fact, frozen=True, kw_only=True):
    """Torque values are spoken, and readings taken, in ``unit`` from now on."""

    KIND = "unit_chosen"
    unit: str


class Wordiness(StrEnum):
    """How much is said: with every prompt, with those that are not known yet, or with none."""

    FULL = "full"
    USUAL = "usual"
    SHORT = "short"


class WordsChosen(Fact, frozen=True, kw_only=True):
    """Somebody asked for more words, or for fewer."""

    KIND = "words_chosen"
    how: Wordiness


class RefusedWhy(StrEnum):
    """Why nothing came of what was understood."""

    PAST_HAZARD = "past_hazard"
    PAST_NEW = "past_new"
    PAST_READING = "past_reading"
    ALL_DONE = "all_done"
    ASKS = "asks"
    """This place asks for something else than "next"."""
    TOO_LATE = "too_late"
    START_OF_JOB = "start_of_job"
    DONE_BEFORE = "done_before"
    BOLTS_DONE = "bolts_done"
    NOTHING_TO_SKIP = "nothing_to_skip"
    SAFETY_STAYS = "safety_stays"
    TURNED = "turned"
    NOTHING_TO_READ = "nothing_to_read"
    ONE_READING = "one_reading"
    TOGETHER = "together"
    REPLACE_ONE = "replace_one"
    NO_SUCH_OPERATOR = "no_such_operator"
    WHICH_OPERATOR = "which_operator"
    NO_TIMER_HERE = "no_timer_here"
    TIMER_RUNS = "timer_runs"
    NOTE_EMPTY = "note_empty"
    NOTHING_MISSING = "nothing_missing"
    NO_MINUTES = "no_minutes"
    """A reminder in no time."""
    NO_REMINDER = "no_reminder"
    STOPPED = "stopped"
    NO_EXTRA = "no_extra"
    FINDING_ANSWERED = "finding_answered"
    WHICH_EXTRA = "which_extra"
    NOT_GRANTED = "not_granted"
    NO_STEPS = "no_steps"
    HAS_STEPS = "has_steps"
    NO_SUCH_STEP = "no_such_step"
    NO_SUCH_BOLT = "no_such_bolt"
    WHICH_GROUP = "which_group"
    """A bolt was meant that no group has which was asked about."""
    WHICH_BOLT = "which_bolt"
    NOT_HELD = "not_held"
    HELD_BEFORE = "held_before"
    NOTHING_FOUND = "nothing_found"
    """None of the things that were asked for is here."""
    PAST_HELD = "past_held"
    PAST_DROPPED = "past_dropped"
    NOTHING_TO_TAKE_BACK = "nothing_to_take_back"
    MUST_LOOSEN = "must_loosen"
    """The bolts got a further angle that was taken back: they are loosened first."""
    NO_DETOUR = "no_detour"
    GATE_STAYS = "gate_stays"
    """A gate is not left out."""
    GATE_OPEN = "gate_open"
    """A gate is not passed, and the job cannot be closed without it, or the gate be passed by."""
    NO_GATE = "no_gate"
    NO_WITNESS_WANTED = "no_witness_wanted"
    SAME_PERSON = "same_person"
    """The second person is another one than who works on the job."""
    WHICH_HELPER = "which_helper"
    HELPS_BEFORE = "helps_before"
    NO_HELPER = "no_helper"
    NO_SUCH_SHIM = "no_such_shim"
    """Nobody helps just now."""
    NOT_CLOCKED = "not_clocked"
    """No extra work without steps is worked on."""
    OWN_WORD = "own_word"
    """Only the second person says what carries it out."""
    WHO_FIRST = "who_first"
    """A second person is asked for by name first."""
    PHOTO_FIRST = "photo_first"
    """The step demands a photo."""
    NO_PHOTO_WANTED = "no_photo_wanted"
    NO_PHOTO = "no_photo"
    """There is none to drop."""
    PHOTOS_FULL = "photos_full"


class Refused(Fact, frozen=True, kw_only=True):
    """Nothing came of what was understood, and why."""

    KIND = "refused"
    why: RefusedWhy


class Closed(Fact, frozen=True, kw_only=True):
    """The job was closed, why, and with what open: steps, groups, stages and places by id, bolts out of limits."""

    KIND = "closed"
    reason: Annotated[str, PERSONAL] = ""
    open_steps: tuple[str, ...] = ()
    open_counts: tuple[str, ...] = ()
    open_stages: tuple[tuple[str, int], ...] = ()
    open_parts: tuple[str, ...] = ()
    open_problems: tuple[str | None, ...] = ()
    open_answers: tuple[str, ...] = ()
    open_values: tuple[str, ...] = ()
    open_bolts: tuple[tuple[str, int, int], ...] = ()
    left_out: tuple[str, ...] = ()
