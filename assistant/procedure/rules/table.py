"""The list of the rules about what a procedure says, and what runs them. Each is one function, named as its id.

A rule looks at the whole draft and yields all its complaints. It says nothing about what was not read soundly: that was
complained about already, by the rules about the writing (:class:`~assistant.procedure.findings.ReadingRule`). Each rule
is a heading of ``docs/rules.md``, with its reason and examples.
"""

from __future__ import annotations

from assistant.procedure.findings import READING_RULES, Findings
from assistant.procedure.format.draft import Draft, Rule
from assistant.procedure.rules.bolts import (
    bolts_in_group,
    clear_bolt_numbers,
    counts_match,
    every_bolt_once,
    new_after_old,
    one_target_kind,
    single_use_new,
)
from assistant.procedure.rules.closing import (
    closing_leaks,
    closing_levels,
    closing_marks,
    closing_tools,
    closing_turns,
)
from assistant.procedure.rules.fastening import FASTENING_RULES
from assistant.procedure.rules.general import (
    approval_holds,
    readings_can_be_said,
    references,
    refits_earlier,
    source_and_revision,
    timers_are_used,
    timers_in_order,
    unique_ids,
)
from assistant.procedure.rules.hazards import hazards_before_step, signal_word_fits, usual_hazards
from assistant.procedure.rules.lists import fluids_specified, listed_is_used, used_is_listed
from assistant.procedure.rules.locks import locks_are_marked, locks_come_out, turns_unlocked
from assistant.procedure.rules.refit import opened_is_shut, removed_is_refitted
from assistant.procedure.rules.waivers import MEANS, WAIVERS_RULE, Waivers
from assistant.procedure.rules.words import (
    clear_questions,
    nothing_undecided,
    one_instruction,
    sentence_length,
    spoken_values,
    stages_as_said,
    times_have_timers,
    vague_words,
)

RULES: tuple[Rule, ...] = (
    unique_ids,
    references,
    bolts_in_group,
    every_bolt_once,
    one_target_kind,
    clear_bolt_numbers,
    counts_match,
    single_use_new,
    new_after_old,
    timers_in_order,
    source_and_revision,
    readings_can_be_said,
    refits_earlier,
    timers_are_used,
    times_have_timers,
    removed_is_refitted,
    opened_is_shut,
    locks_come_out,
    turns_unlocked,
    locks_are_marked,
    hazards_before_step,
    signal_word_fits,
    usual_hazards,
    sentence_length,
    one_instruction,
    spoken_values,
    clear_questions,
    vague_words,
    nothing_undecided,
    stages_as_said,
    listed_is_used,
    used_is_listed,
    fluids_specified,
    closing_turns,
    closing_marks,
    closing_leaks,
    closing_levels,
    closing_tools,
    approval_holds,
    *FASTENING_RULES,
)


def rule_id(rule: Rule) -> str:
    """Return the id of a rule: its name with hyphens."""
    return rule.__name__.replace("_", "-")


def all_rules() -> dict[str, str]:
    """Return the id of every rule with its meaning in one line."""
    said = {rule_id(rule): (rule.__doc__ or "").strip() for rule in RULES}
    return {str(name): means for name, means in READING_RULES.items()} | said | {WAIVERS_RULE: MEANS}


def check_rules(draft: Draft, findings: Findings) -> None:
    """Put the complaints of all rules into ``findings``, and apart those that a waiver of the file covers."""
    waivers = Waivers(draft)
    for rule in RULES:
        name = rule_id(rule)
        for complaint in rule(draft):
            if why := waivers.reason(name, complaint):
                findings.waive(complaint.place, name, complaint.reason, complaint.advice, why)
            else:
                findings.add(complaint.place, name, complaint.reason, complaint.advice, complaint.level)
    waivers.complain([rule_id(rule) for rule in RULES], findings)
