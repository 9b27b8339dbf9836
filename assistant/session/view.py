"""What a display may show: plain JSON values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from textwrap import shorten
from typing import Any

from assistant.facts.asking import AskHandOver, code_of
from assistant.facts.inputs import UnclearWhy
from assistant.language.port import Language
from assistant.session import detours, locks, photos, table, timing
from assistant.session.asked_back import asked_back_words, open_question
from assistant.session.deciding import correcting
from assistant.session.extra_work import stands, title_of
from assistant.session.here import Here
from assistant.session.nearest import nearest
from assistant.session.part import part_of
from assistant.session.places import AnyPlace, CardPlace, EndPlace, OfferPlace, SafetyPlace, StepPlace, StopPlace
from assistant.session.plan_shown import plan_shown
from assistant.session.remembered import PhotoAt
from assistant.session.telling.asking import question_words
from assistant.session.telling.extra import asked_now, extra_shown
from assistant.session.telling.judging import doubts_shown
from assistant.session.telling.preparing import card_things
from assistant.session.telling.second import second_words
from assistant.session.telling.troubles import troubles_shown
from assistant.session.telling.withdrawn import gone_shown
from assistant.session.told import note_numbered
from assistant.session.understanding import accepted, is_phrase

_KEYS = ("next", "repeat", "pause", "carry_on")
"""Intents that a display may have buttons for."""
_NOTE_SHOWN = 160
"""Letters of a note that are shown behind it: two lines of a large page. It is read back whole."""


@dataclass(frozen=True, slots=True)
class LastHeard:
    """What came in last: why it was not understood, if it was not, and whether nothing came of it."""

    text: str
    why: UnclearWhy | None = None
    refused: bool = False

    def answered(self, *, refused: bool) -> LastHeard:
        """Return it with what came of it."""
        return replace(self, refused=refused)


def view(here: Here, language: Language, heard: LastHeard | None, last_said: str) -> Mapping[str, Any]:
    """Return the view of a job as it stands; whatever is a sentence in it comes from ``language``."""
    state, place, step = here.state, here.place, here.step
    row = table.row_of(here.phase)
    hazard = place.hazards[here.unread] if here.unread is not None else None
    after = here.place_after(here.at)
    following = here.job.places[after] if after != here.at else None
    part = part_of(step) if step is not None else None
    return {
        "at_ms": here.now_ms,
        "title": here.job.procedure.title,
        "values": here.job.procedure.values,
        "heard": _heard(here, language, heard),
        "phase": row.name,
        "page": row.page.value,
        "closed": state.closed,
        "at_end": isinstance(place, EndPlace),
        "place": place.key,
        "step": _step(place),
        "card": _card(here, language, place),
        "missing": [card_things(here.job, card, language)[number - 1] for card, number in state.missing],
        "troubles": [
            *gone_shown(here, language),
            *troubles_shown(here, language),
            *doubts_shown(here, language),
            *extra_shown(here, language),
        ],
        "asks": asked_now(here, language),
        "operators": list(state.operators),
        "may_take_over": here.may_take_over,
        "handing": _handing(here, row),
        "second": _second(here, language),
        "beside": _beside(here, language),
        "locked": [here.job.items[one].name for one in locks.locks_in(here)],
        "leads_on": [] if state.closed else list(row.leads_on(here)),
        "say": "" if state.closed else language.talk.leads_on(row.leads_on(here)),
        "keys": [name for name in _KEYS if _counts(here, name)],
        "hazard": None
        if hazard is None
        else {
            "word": hazard.word.value,
            "hazard": hazard.hazard,
            "consequence": hazard.consequence,
            "avoid": hazard.avoid,
        },
        "ask": part.ask(here, step) if part else None,
        "tools": _tool_names(here),
        **(part.picture(here, step) if part else {}),
        "timers": [
            {
                "id": name,
                "name": here.job.timers[name].name,
                "kind": here.job.timers[name].kind.value,
                "ends_ms": one.ends_ms,
                "over": one.over,
                "left": timing.seconds_left(here, name),
            }
            for name, one in sorted(state.timers.items())
            if not one.stopped
        ]
        + [
            {
                "id": f"reminder {number}",
                "name": "",
                "kind": "reminder",
                "ends_ms": one.ends_ms,
                "over": False,
                "left": max(0, -((here.now_ms - one.ends_ms) // 1000)),
            }
            for number, one in sorted(state.reminders.items())
        ],
        "pending": {
            "action": code_of(state.waiting.question),
            "question": question_words(here, language, state.waiting),
            "final": not state.waiting.needs_reason,
        }
        if state.waiting
        else None,
        "dictation": {
            "kind": state.dictation.what.value,
            "words": list(state.dictation.words),
            "replaces": correcting.words_replaced(here),
        }
        if state.dictation
        else None,
        "detour": _detour(here),
        "progress": _progress(here, place),
        "extra": _extra(here),
        "photos": _photos(here),
        "plan": plan_shown(here),
        "next": _next(following, here, language),
        "last_said": last_said,
    }


def _beside(here: Here, language: Language) -> list[str]:
    """Return who helps just now, which extra work without steps is worked on, and what was noted a moment ago."""
    there = [language.handover.helps(one.name) for one in here.state.helping if one.helps]
    work = here.state.extra.get(here.state.clocked)
    noted = note_numbered(here.state.told, here.state.note_last)
    found = here.state.extra.get(here.state.finding_last)
    kept = language.talk.note_corrected if noted is not None and noted.corrected else language.talk.note_kept
    step = here.step
    return [
        *([language.planning.takes_people(step.people)] if step is not None and step.people > 1 else []),
        *there,
        *(language.extra.clock_runs(work.number)[:1] if work is not None else []),
        *([] if noted is None else [kept(noted.kind.value, _shown(noted.words))]),
        *(
            []
            if found is None
            else [language.extra.finding_shown(found.number, _shown(found.text), corrected=found.corrected)]
        ),
    ]


def _shown(words: str) -> str:
    return shorten(words, _NOTE_SHOWN, placeholder=" …")


def _second(here: Here, language: Language) -> Mapping[str, Any] | None:
    """Return who is asked for beside the operator: the question, and those who are known."""
    asked = second_words(here, language)
    return {"question": asked[0], "known": here.may_be_second} if asked else None


def _heard(here: Here, language: Language, heard: LastHeard | None) -> Mapping[str, Any] | None:
    """Return what came in last and whether it was understood, or refused.

    ``why`` it was not; ``near`` are those of the present phrases that may have been meant, two at most.
    """
    if heard is None:
        return None
    why, near = heard.why.value if heard.why else "", tuple[str, ...]()
    if heard.why is UnclearWhy.NOT_HERE and not is_phrase(heard.text, language):
        why = "no_phrase"
    if heard.why is not None and why != UnclearWhy.NOT_HERE:
        near = nearest(heard.text, here, language)
    asked = open_question(here)
    return {
        "text": heard.text, "why": why, "near": list(near), "understood": heard.why is None, "refused": heard.refused,
        "asked_back": "" if asked is None else asked_back_words(asked, language),
    }  # fmt: skip


def _handing(here: Here, row: table.Row) -> str:
    """Return where in a hand-over the job is: it "may" be asked for, is read back ("sure"), waits for "who"; or ""."""
    if row.page is table.PageMode.HAND_OVER:
        return "who"
    if here.state.waiting and isinstance(here.state.waiting.question, AskHandOver):
        return "sure" if _counts(here, "confirmed") else ""
    return "may" if _counts(here, "hand_over") else ""


def _counts(here: Here, name: str) -> bool:
    """Return whether an intent does something at this moment."""
    if name not in accepted(here):
        return False
    return name != "next" or table.row_of(here.phase).next_goes_on(here)


def _progress(here: Here, place: AnyPlace) -> Mapping[str, Any]:
    """Return how many steps are done and left out: of those that the present place is among, or of all at the end."""
    counts = {}
    for name, closing in (("steps", False), ("closing steps", True)):
        keys = [one.key for one in here.places if isinstance(one, StepPlace) and one.closing == closing]
        done, skipped = (sum(key in which for key in keys) for which in (here.state.done, here.state.skipped))
        counts[name] = {"done": done, "skipped": skipped, "of": len(keys)}
    if isinstance(place, EndPlace):
        return counts
    name = "closing steps" if isinstance(place, StepPlace) and place.closing else "steps"
    return {name: counts[name]}


def _detour(here: Here) -> Mapping[str, Any] | None:
    """Return where a detour leads back: the key of that place, and its number where it is a step; None without one."""
    at = detours.origin(here)
    if at is None:
        return None
    place = here.job.places[at]
    step = _step(place)
    return {"back": place.key, "number": step["number"] if step else None, "closing": bool(step and step["closing"])}


def _card(here: Here, language: Language, place: AnyPlace) -> Mapping[str, Any] | None:
    """Return a page of the preparation: its things, the index of the one asked for, of those missing, and here."""
    if not isinstance(place, CardPlace):
        return None
    lacking = sorted(number - 1 for key, number in here.state.missing if key == place.key)
    ticked = sorted(number - 1 for key, number in here.state.here if key == place.key)
    thing = here.state.thing - 1 if here.state.thing else None
    return {
        "what": place.what, "things": card_things(here.job, place.key, language), "thing": thing, "missing": lacking,
        "here": ticked,
    }  # fmt: skip


def _photos(here: Here) -> Mapping[str, Any]:
    """Return the photos that show how it was at what the present step puts back, and the newest one of all."""
    taken = here.state.photos.taken
    return {
        "before": [_photo(here, one) for one in photos.shown_here(here)],
        "newest": _photo(here, taken[-1]) if taken else None,
        "wanted": photos.lacks(here, here.step),
    }


def _photo(here: Here, one: PhotoAt) -> Mapping[str, Any]:
    place = here.job.places[here.job.index[one.step]] if one.step in here.job.index else None
    at = {"step": place.number, "closing": place.closing} if isinstance(place, StepPlace) else None
    return {"number": one.number, "sha256": one.sha256, "came_ms": one.came_ms, "at": at}


def _extra(here: Here) -> list[Mapping[str, Any]]:
    """Return the extra work, and how it stands."""
    return [
        {
            "number": extra.number,
            "title": title_of(here, work),
            "stands": stands(here, work).value,
            "severity": extra.severity.value if extra.severity else None,
            "by": extra.name or (extra.role.value if extra.role else ""),
            "way": extra.way.value if extra.way else "",
        }
        for work, extra in here.state.extra.items()
    ]


def _next(following: AnyPlace | None, here: Here, language: Language) -> str | None:
    """Return what comes behind the present place, in a few words; None when that is the end."""
    match following:
        case StepPlace():
            return following.step.text
        case CardPlace():
            return "; ".join(card_things(here.job, following.key, language))
        case SafetyPlace():
            return language.steps.hazard_to_come(following.hazards[0].word.value)
        case OfferPlace(within=within):
            return language.extra.at_offer(title_of(here, within[-1])).rstrip(".")
        case StopPlace():
            return language.extra.at_stop().rstrip(".")
    return None


def _tool_names(here: Here) -> list[str]:
    """Return the tools that were chosen for the present bolts, or those that the procedure names."""
    step = here.step
    if step is None:
        return []
    tools = part_of(step).tools
    if tools is not None:
        return list(tools(here, step))
    return [here.job.items[tool].name if tool in here.job.items else tool for tool in step.tools][:4]


def _step(place: AnyPlace) -> Mapping[str, Any] | None:
    if not isinstance(place, StepPlace):
        return None
    return {
        "id": place.step.id,
        "text": place.step.text,
        "info": place.step.info,
        "number": place.number,
        "of": place.of,
        "closing": place.closing,
        "picture": place.step.picture,
        "extra": bool(place.within),
    }
