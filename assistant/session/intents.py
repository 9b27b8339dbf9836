"""Everything that can be asked for, by name: what mishearing it would cost, and the number that belongs to it.

How each is said is the language's to know.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.events import SlotKind, Weight


@dataclass(frozen=True, slots=True)
class Intent:
    """One thing that can be asked for; ``slot`` is the kind of number, or name, that belongs to it."""

    name: str
    weight: Weight
    slot: SlotKind | None = None


_HARMLESS, _MOVING, _CRITICAL = Weight.HARMLESS, Weight.MOVING, Weight.CRITICAL

CORRECT = "correct_note"
"""Takes the words again that were read back just now; only then it may be said."""

INTENTS: tuple[Intent, ...] = (
    Intent("next", _MOVING),
    Intent("go_back", _MOVING),
    Intent("take_back", _CRITICAL),
    Intent("go_to", _MOVING, SlotKind.NAME),
    Intent("go_back_by", _MOVING, SlotKind.WHOLE),
    Intent("where_i_was", _MOVING),
    Intent("skip", _CRITICAL),
    Intent("skip_step", _CRITICAL),
    Intent("missing", _MOVING),
    Intent("found", _MOVING),
    Intent("repeat", _HARMLESS),
    Intent("repeat_step", _HARMLESS),
    Intent("repeat_stage", _HARMLESS),
    Intent("where", _HARMLESS),
    Intent("what_missing", _HARMLESS),
    Intent("brief", _HARMLESS),
    Intent("left", _HARMLESS),
    Intent("which_bolts", _HARMLESS),
    Intent("what_value", _HARMLESS),
    Intent("which_tool", _HARMLESS),
    Intent("one_by_one", _HARMLESS),
    Intent("all_together", _HARMLESS),
    Intent("how_many", _HARMLESS),
    Intent("more", _HARMLESS),
    Intent("why", _HARMLESS),
    Intent("what_next", _HARMLESS),
    Intent("next_three", _HARMLESS),
    Intent("last_torque", _HARMLESS),
    Intent("last_reading", _HARMLESS),
    Intent("reading_of", _HARMLESS, SlotKind.NAME),
    Intent("which_shims", _HARMLESS, SlotKind.NAME),
    Intent("next_shim", _HARMLESS, SlotKind.NAME),
    Intent("shim_of", _HARMLESS, SlotKind.NAME),
    Intent("compare_bolts", _HARMLESS),
    Intent("sizes", _HARMLESS),
    Intent("where_bolts", _HARMLESS, SlotKind.NAME),
    Intent("time", _HARMLESS),
    Intent("when_done", _HARMLESS),
    Intent("time_spent", _HARMLESS),
    Intent("plan", _HARMLESS),
    Intent("remind", _MOVING, SlotKind.WHOLE),
    Intent("forget_reminder", _MOVING),
    Intent("count", _MOVING, SlotKind.WHOLE),
    Intent("reading", _MOVING, SlotKind.DECIMAL),
    Intent("reading_below", _MOVING, SlotKind.DECIMAL),
    Intent("pack_found", _MOVING, SlotKind.DECIMAL),
    Intent("bare_reading", _MOVING, SlotKind.NAME),
    Intent("cell_again", _MOVING, SlotKind.NAME),
    Intent("filled", _MOVING, SlotKind.DECIMAL),
    Intent("do_again", _MOVING),
    Intent("replace", _MOVING),
    Intent("bolt_broke", _CRITICAL, SlotKind.WHOLE),
    Intent("bolt_stripped", _CRITICAL, SlotKind.WHOLE),
    Intent("bolt_lost", _CRITICAL, SlotKind.WHOLE),
    Intent("bolt_wrong", _CRITICAL, SlotKind.WHOLE),
    Intent("wrong_bolt", _CRITICAL),
    Intent("bolt_replaced", _CRITICAL, SlotKind.WHOLE),
    Intent("bolt_again", _CRITICAL, SlotKind.WHOLE),
    Intent("bolt_left", _CRITICAL, SlotKind.WHOLE),
    Intent("dropped", _MOVING),
    Intent("newton_metres", _MOVING),
    Intent("pound_feet", _MOVING),
    Intent("pound_inches", _MOVING),
    Intent("yes", _MOVING),
    Intent("no", _MOVING),
    Intent("confirmed", _CRITICAL),
    Intent("cancel", _MOVING),
    Intent("note", _MOVING),
    Intent("end_note", _MOVING),
    Intent(CORRECT, _MOVING),
    Intent("photo", _MOVING),
    Intent("no_photo", _MOVING),
    Intent("drop_photo", _MOVING),
    Intent("problem", _MOVING),
    Intent("finding", _MOVING),
    Intent("at_step", _MOVING, SlotKind.WHOLE),
    Intent("before_running", _MOVING),
    Intent("next_service", _MOVING),
    Intent("only_watch", _MOVING),
    Intent("ask_later", _MOVING),
    Intent("extra_granted", _CRITICAL),
    Intent("extra_granted_of", _CRITICAL, SlotKind.WHOLE),
    Intent("extra_declined", _MOVING),
    Intent("extra_declined_of", _MOVING, SlotKind.WHOLE),
    Intent("by_customer", _MOVING),
    Intent("by_manager", _MOVING),
    Intent("by_office", _MOVING),
    Intent("by_telephone", _MOVING),
    Intent("in_person", _MOVING),
    Intent("start_extra", _MOVING),
    Intent("start_extra_of", _MOVING, SlotKind.WHOLE),
    Intent("extra_done", _MOVING),
    Intent("extra_done_of", _MOVING, SlotKind.WHOLE),
    Intent("extra_takes", _MOVING, SlotKind.WHOLE),
    Intent("leave_extra", _MOVING),
    Intent("extra_list", _HARMLESS),
    Intent("pause", _MOVING),
    Intent("carry_on", _MOVING),
    Intent("hand_over", _CRITICAL),
    Intent("take_over", _CRITICAL),
    Intent("operator", _MOVING, SlotKind.WHOLE),
    Intent("helper_comes", _MOVING),
    Intent("helper_comes_of", _MOVING, SlotKind.WHOLE),
    Intent("helper_leaves", _MOVING),
    Intent("helper_leaves_of", _MOVING, SlotKind.WHOLE),
    Intent("release", _MOVING),
    Intent("i_release", _CRITICAL),
    Intent("witness", _MOVING),
    Intent("i_have_seen", _CRITICAL),
    Intent("start_timer", _MOVING),
    Intent("time_left", _HARMLESS),
    Intent("meanwhile", _HARMLESS),
    Intent("louder", _HARMLESS),
    Intent("quieter", _HARMLESS),
    Intent("slower", _HARMLESS),
    Intent("faster", _HARMLESS),
    Intent("be_quiet", _HARMLESS),
    Intent("in_full", _HARMLESS),
    Intent("in_short", _HARMLESS),
    Intent("as_usual", _HARMLESS),
    Intent("help", _HARMLESS),
    Intent("finish", _CRITICAL),
)

BY_NAME: Mapping[str, Intent] = {intent.name: intent for intent in INTENTS}

WORDS = "words"
"""Stands for words that were dictated or typed; it has no phrase."""
KNOBS = ("louder", "quieter", "slower", "faster", "be_quiet")
"""They turn the voice, and change nothing about the job."""
QUESTIONS = (
    "repeat", "repeat_step", "repeat_stage", "where", "left", "which_bolts", "what_value", "which_tool", "how_many",
    "more", "time_left", "help", "what_missing", "brief", "why", "what_next", "next_three", "last_torque",
    "last_reading", "reading_of", "which_shims", "shim_of", "sizes", "where_bolts", "time", "when_done",
    "time_spent", "plan",
    "extra_list", "compare_bolts", "meanwhile",
)  # fmt: skip
"""They are answered, and change nothing about the job."""
AT_ONCE = ("bolt_broke", "bolt_stripped", "bolt_lost", "bolt_wrong", "wrong_bolt", "dropped")
"""What went wrong: it is taken in the place of what waits to be confirmed, where others only cancel that."""
