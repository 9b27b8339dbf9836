"""How each intent is said, and what it does. The intents themselves are in the session's table.

Alternatives stand where a person would naturally say something else. Phrases that would be dangerous to confuse differ
in length or in their vowels. All are lower case, without digits or apostrophes, as a recogniser spells them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from assistant.language.en.idle import IDLE_SAID
from assistant.language.en.words import bare


class _Said(NamedTuple):
    phrases: tuple[str, ...]
    means: str


_SAID: Mapping[str, _Said] = {
    "next": _Said(("next", "done"), "This is done; go on to the next thing."),
    "go_back": _Said(("go back", "previous"), "Go back to the thing before; nothing that was done is undone."),
    "take_back": _Said(
        ("take that back", "take it back"),
        "Take back what was confirmed last: read back, needs confirmed; again, what came before it.",
    ),
    "go_to": _Said(
        ("go to {}",),
        "Go to a step, a chapter or the next open step of a kind, for example: go to step twelve, go to tightening.",
    ),
    "go_back_by": _Said(("go back {}", "go back {} steps"), "Go back by so many places, for example: go back two."),
    "where_i_was": _Said(
        ("back to where i was", "return to where i was"), "After going elsewhere: go back to where that began."
    ),
    "skip": _Said(
        ("skip this", "leave this out"), "Leave out the present thing: read back, needs a reason and confirmed."
    ),
    "skip_step": _Said(
        ("skip this step", "skip the whole step"),
        "Leave out the rest of the step: read back, needs a reason and confirmed.",
    ),
    "missing": _Said(
        ("missing", "that is missing"),
        "In the preparation: go through these things one at a time, or put down that this one is missing.",
    ),
    "found": _Said(
        ("item found", "it was found", "found it"),
        "What was missing, lost or dropped is here; several things are asked for in turn.",
    ),
    "bolt_broke": _Said(("bolt {} broke", "bolt {} is broken"), "Hold a bolt open that broke; read back."),
    "bolt_stripped": _Said(
        ("bolt {} is stripped", "bolt {} stripped"), "Hold a bolt open that is stripped, or its thread; read back."
    ),
    "bolt_lost": _Said(("bolt {} is lost", "lost bolt {}"), "Hold a bolt open that is lost; read back."),
    "bolt_wrong": _Said(
        ("bolt {} is wrong", "bolt {} is the wrong one"), "Hold a bolt open in whose place a wrong one is; read back."
    ),
    "wrong_bolt": _Said(("wrong bolt", "this is the wrong bolt"), "The same of the one bolt that is meant now."),
    "dropped": _Said(("dropped a bolt", "i dropped a bolt"), "Put down that a bolt fell, perhaps into the machine."),
    "bolt_replaced": _Said(
        ("bolt {} is replaced", "replaced bolt {}"),
        "A bolt that was held open is a new one, or the right one, and begins again; read back.",
    ),
    "bolt_again": _Said(
        ("bolt {} is in again", "bolt {} is back in"), "A bolt that was held open is in again, the same one; read back."
    ),
    "bolt_left": _Said(
        ("go on without bolt {}", "leave bolt {} as it is", "bolt {} may stay"),
        "Go on without a bolt that is held open, or leave one that is in doubt: needs a reason, read back.",
    ),
    "repeat": _Said(("repeat", "say again", "say that again"), "Say the last thing again."),
    "repeat_step": _Said(("repeat step", "repeat the step"), "Read the whole step again."),
    "repeat_stage": _Said(("repeat stage", "repeat the stage"), "Read the whole stage again; stay here."),
    "where": _Said(("where am i", "what step is this"), "Say the place in the job."),
    "what_missing": _Said(("what is missing", "missing list"), "Say what is missing."),
    "brief": _Said(("brief me", "brief again"), "Say all that somebody needs who takes the job over."),
    "left": _Said(("what is left", "what remains"), "Say what is still to do."),
    "which_bolts": _Said(("which bolts", "which bolt"), "Say the present bolts alone."),
    "what_value": _Said(("what value", "what torque", "what is the value"), "Say the present value alone."),
    "which_tool": _Said(("which tool", "what tool"), "Say the tool for this step."),
    "one_by_one": _Said(("one by one", "bolt by bolt"), "Take the bolts one at a time."),
    "all_together": _Said(("all together", "whole group"), "Take the bolts as a group again."),
    "how_many": _Said(("how many", "how many bolts"), "Say how many fasteners."),
    "more": _Said(("more about this", "tell me more"), "Say what else the procedure tells about this step."),
    "why": _Said(("why", "tell me why"), "Say why: why this is done, or why it was just refused."),
    "what_next": _Said(("what comes after this", "what comes next"), "Say what comes after this; stay here."),
    "next_three": _Said(
        ("which three come after this", "what are the next three", "three steps ahead"),
        "Say the three things that come after this, and three more when it is asked again; stay here.",
    ),
    "last_torque": _Said(
        ("what was the last torque", "what was last torque", "which torque was last"),
        "Say the last torque, and where and when it was given.",
    ),
    "last_reading": _Said(("what was the reading", "what was read"), "Say what was read off last."),
    "reading_of": _Said(
        ("{} reading", "what was {}"), "Say what was read off there in a table, for example: cylinder one reading."
    ),
    "which_shims": _Said(
        ("which {}",), "Say which shims are proposed and which to buy, or which pack: which shims, which pack."
    ),
    "next_shim": _Said(
        ("which {} now", "another {}"),
        "Say which shim the next valve gets, in the order of the work: which shim now.",
    ),
    "shim_of": _Said(
        ("{} shim",), "Say which shim a valve gets, and what is left then, for example: cylinder two exhaust shim."
    ),
    "compare_bolts": _Said(
        ("how do the bolts compare", "compare the bolts", "any doubt about the bolts"),
        "Say how the bolts scatter that were read off, and which are in doubt.",
    ),
    "sizes": _Said(
        ("how many of each size", "how many of every size"),
        "Say how many bolts of each size the job has; asked again, the next four sizes.",
    ),
    "where_bolts": _Said(
        ("where are the {}",), "Say where the bolts of a name are, for example: where are the long bolts."
    ),
    "time": _Said(
        ("what is the time", "what time is it", "what time is this", "tell me the time"), "Say the time of day."
    ),
    "when_done": _Said(
        ("when is the job over", "when are we done", "how much longer"),
        "Say about how long the rest of the job takes.",
    ),
    "time_spent": _Said(
        ("how long have we worked", "hours so far"),
        "Say about how long the job was worked on, without pauses, and what the book says.",
    ),
    "plan": _Said(
        ("what is the plan", "what is planned", "tell me the plan", "what do i do first"),
        "Say what to do first, what during a wait, about when the job ends, and how the booking stands.",
    ),
    "remind": _Said(
        ("remind me in {} minutes", "remind me in {} minute"), "Say a reminder later, wherever the job is then."
    ),
    "forget_reminder": _Said(("forget to remind me", "do not remind me"), "Drop what you were to be reminded of."),
    "count": _Said(("count", "i count"), "Give a count, for example: count twelve."),
    "reading": _Said(("reading", "it reads"), "Give a reading, for example: reading thirty five point five."),
    "reading_below": _Said(
        ("reading below zero", "it reads below zero", "reading minus", "it reads minus"),
        "Give a reading below zero, for example: reading below zero one point five.",
    ),
    "pack_found": _Said(
        ("fitted shim", "found shim"),
        "Say a shim that is found fitted, one after the other, or zero for none, for example: fitted shim point five.",
    ),
    "bare_reading": _Said(("{}",), "In a table of readings: the number alone, for example: point one five."),
    "cell_again": _Said(
        ("{} again", "correct {}"), "In a table: read one off again, for example: cylinder one exhaust again."
    ),
    "filled": _Said(
        ("filled", "i filled in"), "Say how much was filled in, for example: I filled in eleven point five."
    ),
    "do_again": _Said(("tighten again", "do it again"), "After a reading out of limits: do this bolt again."),
    "replace": _Said(
        ("replace the bolt", "replace the part"),
        "After a reading out of limits: put in a new bolt; read back, needs confirmed.",
    ),
    "newton_metres": _Said(
        ("use newton metres", "in newton metres"), "Say torque values, and take readings, in newton metres."
    ),
    "pound_feet": _Said(
        ("use pound feet", "in pound feet", "use foot pounds", "in foot pounds"),
        "Say torque values, and take readings, in pound-feet.",
    ),
    "pound_inches": _Said(
        ("use pound inches", "in pound inches", "use inch pounds", "in inch pounds"),
        "Say torque values, and take readings, in pound-inches.",
    ),
    "yes": _Said(("yes", "affirmative"), "Answer a check with yes."),
    "no": _Said(("no", "negative"), "Answer a check with no."),
    "confirmed": _Said(
        ("confirmed", "confirm", "i confirm"),
        "Acknowledge a hazard, agree to what was read back, or say that bolts are new.",
    ),
    "cancel": _Said(("cancel", "never mind"), "Drop what was just asked; nothing changes."),
    "note": _Said(("take a note", "make a note"), "Take down what is said until: end note."),
    "end_note": _Said(("end note", "end of note"), "End the note and keep it."),
    "correct_note": _Said(
        ("correct that", "correct the note"), "Right behind words that were read back: say all of them again."
    ),
    "photo": _Said(("photo", "take a photo"), "Take a photo of this step, with the camera of the bay or on the page."),
    "no_photo": _Said(("no photo", "go on without a photo"), "Where a step demands a photo: say why there is none."),
    "drop_photo": _Said(("remove the photo", "remove that photo"), "Remove the newest photo; read back."),
    "problem": _Said(("problem", "there is a problem"), "Take down a problem until: end note."),
    "finding": _Said(
        ("i found something", "new finding"), "Take down something that was found, until: end note; then how bad it is."
    ),
    "at_step": _Said(("it is at step",), "While a finding is taken down: it is at another step."),
    "before_running": _Said(
        ("before it runs", "before it runs again"), "A finding: it must be seen to before the machine runs."
    ),
    "next_service": _Said(("next service", "at the next service"), "A finding: it can wait for the next service."),
    "only_watch": _Said(("only watch it", "keep an eye on it"), "A finding: it is only to be watched."),
    "ask_later": _Said(("ask later", "i will ask later"), "Leave the question about extra work open, and go on."),
    "extra_granted": _Said(
        ("extra work granted", "extra work is granted"),
        "Somebody granted extra work; who and how is asked.",
    ),
    "extra_granted_of": _Said(("extra work {} granted", "extra work {} is granted"), "The same, of several."),
    "extra_declined": _Said(
        ("extra work declined", "extra work is declined"), "Extra work is declined, and stays as advice; read back."
    ),
    "extra_declined_of": _Said(("extra work {} declined", "extra work {} is declined"), "The same, of several."),
    "by_customer": _Said(("the customer", "customer"), "The customer granted it."),
    "by_manager": _Said(("the manager", "manager"), "The manager granted it."),
    "by_office": _Said(("the office", "our office"), "The office granted it."),
    "by_telephone": _Said(("by telephone", "on the telephone"), "It was granted by telephone."),
    "in_person": _Said(("in person", "face to face"), "It was granted in person."),
    "start_extra": _Said(
        ("start extra work", "begin extra work"), "Go to extra work that was granted; behind it, back to this place."
    ),
    "start_extra_of": _Said(("start extra work {}", "begin extra work {}"), "The same, of several."),
    "extra_done": _Said(
        ("extra work is done", "extra work finished"), "Extra work that has no steps of its own is done; read back."
    ),
    "extra_done_of": _Said(("extra work {} is done", "extra work {} finished"), "The same, of several."),
    "extra_takes": _Said(
        ("it takes {} minutes", "it takes {} minute"),
        "About how long the newest finding takes, for example: it takes twenty minutes.",
    ),
    "leave_extra": _Said(
        ("back to the job", "leave the extra work"), "Extra work without steps is not done yet, and is left for now."
    ),
    "extra_list": _Said(("what extra work", "extra work list"), "Say the extra work, and how it stands."),
    "pause": _Said(("pause", "hold on"), "Stop listening for anything but: carry on."),
    "carry_on": _Said(("carry on", "continue"), "Go on after a pause."),
    "hand_over": _Said(("hand over", "hand over the job"), "Leave the job to somebody else; read back."),
    "take_over": _Said(("take over", "i take over"), "After a hand over: go on with the job."),
    "operator": _Said(("operator",), "After a hand over: who goes on, for example: operator two."),
    "helper_comes": _Said(("somebody helps", "somebody is helping"), "A second person helps from now on."),
    "helper_comes_of": _Said(
        ("operator {} helps", "operator {} is helping"), "The same, of several: operator two helps."
    ),
    "helper_leaves": _Said(("somebody leaves", "somebody is leaving"), "Who helped leaves again."),
    "helper_leaves_of": _Said(
        ("operator {} leaves", "operator {} is leaving"), "The same, of several: operator two leaves."
    ),
    "release": _Said(
        ("release the gate", "open the gate"), "A second person lets a gate be passed; by name, and with a reason."
    ),
    "i_release": _Said(("i release it", "i release the gate"), "The second person, when asked: release the gate."),
    "witness": _Said(
        ("call a witness", "witness this"), "A second person looks at what was done, and is written down."
    ),
    "i_have_seen": _Said(("i have seen it", "i have checked it"), "The witness, when asked: it is as it should be."),
    "start_timer": _Said(("start timer", "start the timer"), "Start the timer of this step."),
    "time_left": _Said(("time left", "how long"), "Say how long the timer still runs."),
    "meanwhile": _Said(
        ("what may i do meanwhile", "what can i do meanwhile"), "Say what may be done while something cures or cools."
    ),
    "louder": _Said(("louder", "speak up"), "Speak louder."),
    "quieter": _Said(("quieter", "not so loud"), "Speak more quietly."),
    "slower": _Said(("slower", "not so fast"), "Speak more slowly."),
    "faster": _Said(("faster", "speed up"), "Speak faster."),
    "be_quiet": _Said(("be quiet", "stop talking"), "Stop speaking now."),
    "in_full": _Said(("full", "in full"), "Say every prompt and every value from now on."),
    "in_short": _Said(("short", "in short"), "Say no prompts from now on; hazards stay as they are."),
    "as_usual": _Said(("as usual", "back to usual"), "Say prompts until they are known: neither in full nor in short."),
    "help": _Said(("what can i say", "help"), "Say what can be said here."),
    "finish": _Said(("finish job", "finish the job"), "Close the job; read back, needs confirmed."),
    **{name: _Said(*said) for name, said in IDLE_SAID.items()},
}


def phrases(intent: str) -> tuple[str, ...]:
    return _SAID[intent].phrases


_NAME = re.compile(r"[a-z]+(?: [a-z]+)*")


def name(text: str) -> str:
    spoken = bare(text).lower().replace("-", " ")
    return spoken if _NAME.fullmatch(spoken) else ""


def meaning(intent: str) -> str:
    return _SAID[intent].means
