"""Every phrase that can be spoken: data in one place, printed by ``assistant phrases`` and listed in the docs.

Alternatives stand where a person would naturally say something else. Phrases that would be dangerous to confuse differ
in length or in their vowels. All are lower case, without digits or apostrophes, as a recogniser spells them.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.events import SlotKind, Weight


@dataclass(frozen=True, slots=True)
class Intent:
    """One thing that can be asked: its name, what mishearing it would cost, how it is said, and what it does."""

    name: str
    weight: Weight
    phrases: tuple[str, ...]
    means: str
    slot: SlotKind | None = None


_HARMLESS, _MOVING, _CRITICAL = Weight.HARMLESS, Weight.MOVING, Weight.CRITICAL

INTENTS: tuple[Intent, ...] = (
    Intent("next", _MOVING, ("next", "done"), "This is done; go on to the next thing."),
    Intent(
        "go_back", _MOVING, ("go back", "previous"), "Go back to the thing before; nothing that was done is undone."
    ),
    Intent(
        "skip",
        _CRITICAL,
        ("skip this", "leave this out"),
        "Leave out the present thing: read back, needs a reason and confirmed.",
    ),
    Intent(
        "skip_step",
        _CRITICAL,
        ("skip this step", "skip the whole step"),
        "Leave out the rest of the step: read back, needs a reason and confirmed.",
    ),
    Intent(
        "missing",
        _MOVING,
        ("missing", "that is missing"),
        "In the preparation: go through these things one at a time, or put down that this one is missing.",
    ),
    Intent(
        "found", _MOVING, ("item found", "it was found"), "What was missing is here; several are asked for in turn."
    ),
    Intent("repeat", _HARMLESS, ("repeat", "say again", "say that again"), "Say the last thing again."),
    Intent("repeat_step", _HARMLESS, ("repeat step", "repeat the step"), "Read the whole step again."),
    Intent("repeat_stage", _HARMLESS, ("repeat stage", "repeat the stage"), "Read the whole stage again; stay here."),
    Intent("where", _HARMLESS, ("where am i", "what step is this"), "Say the place in the job."),
    Intent("what_missing", _HARMLESS, ("what is missing", "missing list"), "Say what is missing."),
    Intent("brief", _HARMLESS, ("brief me", "brief again"), "Say all that somebody needs who takes the job over."),
    Intent("left", _HARMLESS, ("what is left", "what remains"), "Say what is still to do."),
    Intent("which_bolts", _HARMLESS, ("which bolts", "which bolt"), "Say the present bolts alone."),
    Intent("what_value", _HARMLESS, ("what value", "what torque", "what is the value"), "Say the present value alone."),
    Intent("which_tool", _HARMLESS, ("which tool", "what tool"), "Say the tool for this step."),
    Intent("one_by_one", _HARMLESS, ("one by one", "bolt by bolt"), "Take the bolts one at a time."),
    Intent("all_together", _HARMLESS, ("all together", "whole group"), "Take the bolts as a group again."),
    Intent("how_many", _HARMLESS, ("how many", "how many bolts"), "Say how many fasteners."),
    Intent(
        "more", _HARMLESS, ("more about this", "tell me more"), "Say what else the procedure tells about this step."
    ),
    Intent("count", _MOVING, ("count", "i count"), "Give a count, for example: count twelve.", SlotKind.WHOLE),
    Intent(
        "reading",
        _MOVING,
        ("reading", "it reads"),
        "Give a reading, for example: reading thirty five point five.",
        SlotKind.DECIMAL,
    ),
    Intent(
        "reading_below",
        _MOVING,
        ("reading below zero", "it reads below zero", "reading minus", "it reads minus"),
        "Give a reading below zero, for example: reading below zero one point five.",
        SlotKind.DECIMAL,
    ),
    Intent(
        "do_again",
        _MOVING,
        ("tighten again", "do it again"),
        "After a reading out of limits: do this bolt again.",
    ),
    Intent(
        "replace",
        _MOVING,
        ("replace the bolt", "replace the part"),
        "After a reading out of limits: put in a new bolt; read back, needs confirmed.",
    ),
    Intent(
        "newton_metres",
        _MOVING,
        ("use newton metres", "in newton metres"),
        "Say torque values, and take readings, in newton metres.",
    ),
    Intent(
        "pound_feet",
        _MOVING,
        ("use pound feet", "in pound feet", "use foot pounds", "in foot pounds"),
        "Say torque values, and take readings, in pound-feet.",
    ),
    Intent(
        "pound_inches",
        _MOVING,
        ("use pound inches", "in pound inches", "use inch pounds", "in inch pounds"),
        "Say torque values, and take readings, in pound-inches.",
    ),
    Intent("yes", _MOVING, ("yes", "affirmative"), "Answer a check with yes."),
    Intent("no", _MOVING, ("no", "negative"), "Answer a check with no."),
    Intent(
        "confirmed",
        _CRITICAL,
        ("confirmed", "i confirm"),
        "Acknowledge a hazard, agree to what was read back, or say that bolts are new.",
    ),
    Intent("cancel", _MOVING, ("cancel", "never mind"), "Drop what was just asked; nothing changes."),
    Intent("note", _MOVING, ("take a note", "make a note"), "Take down what is said until: end note."),
    Intent("end_note", _MOVING, ("end note", "end of note"), "End the note and keep it."),
    Intent("problem", _MOVING, ("problem", "there is a problem"), "Take down a problem until: end note."),
    Intent("pause", _MOVING, ("pause", "hold on"), "Stop listening for anything but: carry on."),
    Intent("carry_on", _MOVING, ("carry on", "continue"), "Go on after a pause."),
    Intent("hand_over", _CRITICAL, ("hand over", "hand over the job"), "Leave the job to somebody else; read back."),
    Intent("take_over", _CRITICAL, ("take over", "i take over"), "After a hand over: go on with the job."),
    Intent(
        "operator",
        _MOVING,
        ("operator",),
        "After a hand over: who goes on, for example: operator two.",
        SlotKind.WHOLE,
    ),
    Intent("start_timer", _MOVING, ("start timer", "start the timer"), "Start the timer of this step."),
    Intent("time_left", _HARMLESS, ("time left", "how long"), "Say how long the timer still runs."),
    Intent("louder", _HARMLESS, ("louder", "speak up"), "Speak louder."),
    Intent("quieter", _HARMLESS, ("quieter", "not so loud"), "Speak more quietly."),
    Intent("slower", _HARMLESS, ("slower", "not so fast"), "Speak more slowly."),
    Intent("faster", _HARMLESS, ("faster", "speed up"), "Speak faster."),
    Intent("be_quiet", _HARMLESS, ("be quiet", "stop talking"), "Stop speaking now."),
    Intent("help", _HARMLESS, ("what can i say", "help"), "Say what can be said here."),
    Intent("finish", _CRITICAL, ("finish job", "finish the job"), "Close the job; read back, needs confirmed."),
)

BY_NAME: dict[str, Intent] = {intent.name: intent for intent in INTENTS}
