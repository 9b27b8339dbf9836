"""The list of the rules about what a procedure says, and what runs them. Each is one function, named as its id.

A rule looks at the whole draft and yields all its complaints. It says nothing about what was not read soundly: that was
complained about already, by the rules about the writing (:class:`~assistant.procedure.findings.ReadingRule`). Each rule
is a heading of ``docs/rules.md``, with its reason and examples.
"""

from __future__ import annotations

# Each module makes its rules known when it is imported.
import assistant.procedure.rules.branches
import assistant.procedure.rules.closing
import assistant.procedure.rules.general
import assistant.procedure.rules.hazards
import assistant.procedure.rules.kinds.amount
import assistant.procedure.rules.kinds.check
import assistant.procedure.rules.kinds.count
import assistant.procedure.rules.kinds.fit
import assistant.procedure.rules.kinds.measure
import assistant.procedure.rules.kinds.packs
import assistant.procedure.rules.kinds.shims
import assistant.procedure.rules.kinds.tighten
import assistant.procedure.rules.lists
import assistant.procedure.rules.locks
import assistant.procedure.rules.needs
import assistant.procedure.rules.open_times
import assistant.procedure.rules.refit
import assistant.procedure.rules.rows
import assistant.procedure.rules.second
import assistant.procedure.rules.words  # noqa: F401
from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.draft import RULES, Draft, Rule
from assistant.procedure.rules import fastening
from assistant.procedure.rules.kinds import programme, torques
from assistant.procedure.rules.waivers import MEANS, WAIVERS_RULE, Waivers


def rule_id(rule: Rule) -> str:
    """Return the id of a rule: its name with hyphens."""
    return rule.__name__.replace("_", "-")


def all_rules() -> dict[str, str]:
    """Return the id of every rule with its meaning in one line."""
    return {rule.value: rule.means for rule in ReadingRule} | said_rules() | {WAIVERS_RULE: MEANS}


def said_rules() -> dict[str, str]:
    """Return the id of every rule about what a procedure says, which are those that can be waived, with its meaning."""
    return {rule_id(rule): (rule.__doc__ or "").strip() for rule in RULES}


def fastening_rules() -> frozenset[str]:
    """Return the ids of the rules about groups, programmes and torques."""
    modules = (fastening.__name__, programme.__name__, torques.__name__)
    return frozenset(rule_id(rule) for rule in RULES if rule.__module__ in modules)


def check_rules(draft: Draft, findings: Findings) -> None:
    """Put the complaints of all rules into ``findings``, and apart those that a waiver of the file covers."""
    waivers = Waivers(draft)
    told: set[tuple[str, int, int, str]] = set()
    for rule in RULES:
        name = rule_id(rule)
        for complaint in rule(draft):
            about = (name, complaint.place.line, complaint.place.column, complaint.reason)
            if about in told:  # the same step of a block, in another row
                continue
            told.add(about)
            if why := waivers.reason(name, complaint):
                findings.waive(complaint.place, name, complaint.reason, complaint.advice, why)
            else:
                findings.add(complaint.place, name, complaint.reason, complaint.advice, complaint.level)
    waivers.complain([rule_id(rule) for rule in RULES], findings)
