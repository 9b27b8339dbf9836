"""Lists between jobs, and the way through them: what is told, found and chosen. Pure."""

from __future__ import annotations

from dataclasses import replace

from assistant.idle.passing import say
from assistant.idle.state import SPOKEN_MOST, Between, JobCard, ListRow, Outcome, RowKind, Shortlist, Uttered
from assistant.language.port import Language
from assistant.language.topics.idle import RowSpoken


def stands_at(state: Between) -> str:
    """Return at what the bay is, a code of what may be said: "begin", "list", "asked", or a kind of row."""
    if state.asking is not None:
        return "asked"
    if state.listed is None:
        return "begin"
    chosen = state.listed.chosen
    return "list" if chosen is None else chosen.kind.value


def tell_jobs(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Tell the jobs that can be gone on with."""
    return tell_rows(state, Shortlist("jobs", state.known.jobs), language)


def tell_procedures(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Tell the procedures that can be begun."""
    return tell_rows(state, Shortlist("procedures", state.known.procedures), language)


def tell_for_new_job(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Tell the procedures for a job whose card is empty."""
    return tell_procedures(replace(state, card=JobCard()), said, now_ms, language)


def tell_names(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Tell who works here."""
    rows = tuple(name_row(one.name) for one in state.known.people)
    return tell_rows(state, Shortlist("names", rows), language)


def find_rows(state: Between, said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Tell the rows with a word in title, machine or customer."""
    word = said.name
    rows = (*state.known.jobs, *state.known.procedures)
    found = tuple(row for row in rows if word in f"{row.title} {row.machine} {row.customer}".lower())
    if not found:
        return say(state, language.idle.nothing_there("found", word))
    if len(found) == 1:
        return choose_row(state, Shortlist("found", found, word), 0, language)
    return tell_rows(state, Shortlist("found", found, word), language)


def next_row(state: Between, said: Uttered, now_ms: int, language: Language) -> Outcome:
    """Choose the row behind the present one."""
    listed = state.listed
    if listed is None:  # a pedal alone comes this far: the jobs first, where there are any
        return (tell_jobs if state.known.jobs else tell_procedures)(state, said, now_ms, language)
    at = 0 if listed.at is None else listed.at + 1
    if at >= len(listed.rows):
        return say(state, language.idle.no_row(0, len(listed.rows)))
    return choose_row(state, listed, at, language)


def row_before(state: Between, _said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Choose the row before the present one."""
    if state.listed is None:
        return say(state, language.idle.choose_first())
    return choose_row(state, state.listed, max(0, (state.listed.at or 0) - 1), language)


def row_number(state: Between, said: Uttered, _now_ms: int, language: Language) -> Outcome:
    """Choose a row by its number."""
    if state.listed is None:
        return say(state, language.idle.choose_first())
    if not 1 <= said.number <= len(state.listed.rows):
        return say(state, language.idle.no_row(said.number, len(state.listed.rows)))
    return choose_row(state, state.listed, said.number - 1, language)


def tell_rows(state: Between, listed: Shortlist, language: Language) -> Outcome:
    """Tell the first rows of a list, and how many there are."""
    if not listed.rows:
        return say(replace(state, listed=None, asking=None), language.idle.nothing_there(listed.what))
    rows = [row_said(number, row) for number, row in enumerate(listed.rows[:SPOKEN_MOST], 1)]
    words = language.idle.rows(listed.what, len(listed.rows), rows, listed.word)
    return say(replace(state, listed=listed, asking=None), words)


def choose_row(state: Between, listed: Shortlist, at: int, language: Language) -> Outcome:
    """Choose the row with the index ``at``."""
    row = listed.rows[at]
    chosen = replace(state, listed=replace(listed, at=at), asking=None)
    if row.kind is RowKind.NAME:
        return say(replace(chosen, operator=row.key), language.idle.operator_now(row.key))
    return say(chosen, language.idle.row(row_said(at + 1, row)))


def name_row(name: str) -> ListRow:
    """Return somebody as a row of a list."""
    return ListRow(kind=RowKind.NAME, key=name, title=name, stands="name")


def row_said(number: int, row: ListRow) -> RowSpoken:
    """Return ``row`` as it is spoken and shown."""
    return RowSpoken(number, row.title, row.stands, row.step, row.bay)
