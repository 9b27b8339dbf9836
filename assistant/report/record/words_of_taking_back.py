"""The words of what was taken back, and of what is open again because of it."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import taking_back
from assistant.journal.port import Entry
from assistant.report.record.printing import Names, describe, prints
from assistant.report.record.standing import Withdrawal, withdrawals
from assistant.session.evolving.confirmed import can_be_taken_back


@prints(taking_back.TakenBack)
def _taken_back(fact: taking_back.TakenBack, _: Names) -> str:
    by = f" by {fact.by}" if fact.by else ""
    whose = f", confirmed by {fact.confirmed_by}" if fact.confirmed_by != fact.by else ""
    return f"TAKEN BACK{by}: what was confirmed at {fact.place}{whose}"


def withdrawn_words(names: Names, entries: Sequence[Entry]) -> dict[int, str]:
    """Return by the number of the entry what was taken back, by whom, and which entries had confirmed it."""
    return {one.entry.seq: _withdrawn(names, one) for one in withdrawals(entries)}


def _withdrawn(names: Names, one: Withdrawal) -> str:
    what = [describe(entry.fact, names) for entry in one.confirmed if can_be_taken_back(entry.fact)]
    first = f", confirmed in entry {one.heard.seq}" if one.heard is not None else ""
    whose = f" by {one.fact.confirmed_by}" if first and one.fact.confirmed_by else ""
    by = f" by {one.fact.by}" if one.fact.by else ""
    return f"TAKEN BACK{by}: {'; '.join(what) or one.fact.place}{first}{whose}"


@prints(taking_back.Reopened)
def _reopened(fact: taking_back.Reopened, _: Names) -> str:
    return f"open again: {fact.place}"


@prints(taking_back.HazardReopened)
def _hazard(fact: taking_back.HazardReopened, names: Names) -> str:
    return f"not acknowledged any more: {names.hazard(fact.place, fact.number)}"


@prints(taking_back.ThingAsBefore)
def _thing(fact: taking_back.ThingAsBefore, names: Names) -> str:
    return f"{'missing again' if fact.missing else 'not missing after all'}: {names.thing(fact.place, fact.number)}"


@prints(taking_back.DeviationWithdrawn)
def _deviation(fact: taking_back.DeviationWithdrawn, _: Names) -> str:
    return f"not accepted any more: {fact.what.value.replace('_', ' ')}"


@prints(taking_back.TimerAsBefore)
def _timer(fact: taking_back.TimerAsBefore, names: Names) -> str:
    runs = fact.was is not None and not fact.was.over and not fact.was.stopped
    return f"timer {names.timer(fact.timer)} {'runs on' if runs else 'does not run'}"
