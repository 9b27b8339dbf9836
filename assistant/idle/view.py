"""What the page shows of a bay between jobs: plain JSON values, made of the state alone. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.idle.choosing import stands_at
from assistant.idle.state import SPOKEN_MOST, Between, Does, ListRow
from assistant.language.port import Language

PAGE = "idle"
"""The value of ``page`` by which a display tells this view from that of a job."""


def idle_view(state: Between, language: Language, now_ms: int) -> Mapping[str, Any]:
    """Return the view at ``now_ms`` [ms since the epoch]; whatever is a sentence in it comes from ``language``.

    ``jobs``, ``procedures`` and ``people`` are all that can be chosen at any time; ``listed`` is the list that is being
    gone through, of which the rows from ``first`` on are at hand, ``at`` (from one) is chosen.
    """
    listed = state.listed
    return {
        "page": PAGE,
        "at_ms": now_ms,
        "awake": state.is_awake,
        "wake": state.wake,
        "question": "" if state.asking is None else state.asking.question,
        "asking": _asking(state),
        "operator": state.who,
        "card": {"asset": state.card.asset, "customer": state.card.customer},
        "jobs": [_row(number, row, language) for number, row in enumerate(state.known.jobs, 1)],
        "procedures": [_row(number, row, language) for number, row in enumerate(state.known.procedures, 1)],
        "people": [one.name for one in state.known.people],
        "listed": None
        if listed is None
        else {
            "what": listed.what,
            "word": listed.word,
            "first": listed.first,
            "size": SPOKEN_MOST,
            "at": 0 if listed.at is None else listed.at + 1,
            "rows": [_row(number, row, language) for number, row in enumerate(listed.rows, 1)],
        },
        "may_say": language.idle.may_say(stands_at(state)),
        "heard": state.heard,
        "said": state.said,
        "last": None
        if state.last is None
        else {
            "job": state.last.job,
            "title": state.last.title,
            "how": state.last.how,
            "record": f"/jobs/{state.last.job}" if state.last.job else "",
            "words": language.idle.job_ended(state.last.how, state.last.title),
        },
    }


def _asking(state: Between) -> Mapping[str, Any] | None:
    """Return what a question is about: the machine and customer of the job, and from whom it is taken over."""
    asking = state.asking
    if asking is None:
        return None
    starts = asking.does is Does.START
    taken_from = asking.row.operator if asking.does is Does.RESUME and asking.row.operator != asking.operator else ""
    return {
        "does": asking.does.value,
        "machine": state.card.asset if starts else asking.row.machine,
        "customer": state.card.customer if starts else asking.row.customer,
        "operator": asking.operator,
        "taken_from": taken_from,
    }


def _row(number: int, row: ListRow, language: Language) -> Mapping[str, Any]:
    return {
        "number": number,
        "kind": row.kind.value,
        "key": row.key,
        "title": row.title,
        "stands": row.stands,
        "place": language.idle.at_place(row.step),
        "machine": row.machine,
        "customer": row.customer,
        "operator": row.operator,
        "at_ms": row.at_ms,
        "bay": row.bay,
    }
