"""From the session's view to what stands on the page: plain text, nothing to work out for a browser. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from assistant.display import shims, table, tightening  # noqa: F401 (each adds what its kind brings)
from assistant.display.handing import operator_phrase, shown_hands
from assistant.display.hung import Hung
from assistant.display.kinds import PAGES, MapSpot, Values, page_of
from assistant.display.plan import plan_picture
from assistant.language.chosen import LANGUAGE
from assistant.visible import visible as as_shown

_CARDS = {
    "conditions": "Before you start",
    "persons": "People needed",
    "equipment": "Have at hand",
    "supplies": "Supplies",
    "spares": "Spare parts",
}
_NOT_UNDERSTOOD = {
    "unclear": "not understood",
    "unsure": "not sure enough",
    "not_here": "not possible here",
    "too_loud": "too loud to be sure",
    "no_phrase": "no phrase that I know",
}
_TIMERS = {"open": "join within", "cure": "wait", "cool": "let it cool", "reminder": "in"}


@dataclass(frozen=True, slots=True)
class Notice:
    """A sentence about the equipment; ``trouble`` tells what is wrong from what is well again."""

    text: str
    trouble: bool


def visible_values(value: Any) -> Any:
    """Return ``value`` with every such character in its texts written as its number (see :mod:`assistant.visible`)."""
    match value:
        case str():
            return as_shown(value)
        case Mapping():
            return {key: visible_values(one) for key, one in value.items()}
        case list() | tuple():
            return [visible_values(one) for one in value]
    return value


def picture(
    view: Values,
    notice: Notice | None = None,
    spots: Mapping[int, MapSpot] = MappingProxyType({}),
    pictures: Mapping[str, Hung] = MappingProxyType({}),
) -> dict[str, Any]:
    """Return what the page shows of ``view`` (see :mod:`assistant.session.view`): JSON values, times in ms.

    ``notice`` is about the equipment; ``spots`` are the places of bolts that are known, ``pictures`` those of the
    steps by the names of their files.
    """
    hazard = view["hazard"]
    shown = {
        "mode": _mode(view),
        "title": f"Invented values – {view['title']}" if view.get("values") == "invented" else view["title"],
        "place": _place(view),
        "hazard": hazard,
        "headline": _headline(view),
        "step": _step_text(view) if hazard is None and not view["closed"] else "",
        "things": _things(view),
        "say": view["say"],
        "timers": [_timer(one, view["at_ms"]) for one in view["timers"] if _matters(one, view["ask"])],
        "heard": _heard(view["heard"]),
        "progress": _progress(view["progress"]),
        "next": _next(view),
        "keys": list(view["keys"]),
        "handing": shown_hands(view),
        "notice": {"text": notice.text, "trouble": notice.trouble} if notice else None,
        "photo": None if hazard or view["closed"] else _photo(view, pictures),
        "before": [] if hazard or view["closed"] else [_taken(one) for one in view["photos"]["before"]],
        "taken": None if hazard or view["closed"] else _newest(view),
        "photo_wanted": view["photos"]["wanted"] and not view["closed"],
        "value": None,
        "clock": None,
        **dict.fromkeys(PAGES),
        "tools": [],
        "troubles": [] if hazard or view["closed"] else [f"{one[:1].upper()}{one[1:]}." for one in view["troubles"]],
        "beside": "" if view["closed"] else " ".join(view["beside"]),
        "locked": "" if view["closed"] else ", ".join(view["locked"]),
        "missing": ", ".join(view["missing"]) if view["step"] and not hazard and not view["closed"] else "",
        "detour": _detour(view),
        **({} if hazard or view["closed"] else _values(view, spots)),
    }
    plan = None if hazard or view["closed"] or any(shown[key] for key in PAGES) else plan_picture(view.get("plan"))
    shown["plan"] = plan
    return {**visible_values(shown), "announce": visible_values(_announce(shown))}


def _photo(view: Values, pictures: Mapping[str, Hung]) -> dict[str, str] | None:
    """Return the picture of the present step: its address on the page, or the sentence why there is none."""
    name = view["step"]["picture"] if view["step"] else ""
    if not name:
        return None
    hung = pictures.get(name) or Hung(fault=f"The picture {name} is not there.")
    return {"address": hung.address, "name": name, "fault": hung.fault}


NEWEST_MS = 8_000
"""So long a photo is shown large when it was taken [ms]."""


def _taken(photo: Values) -> dict[str, Any]:
    """Return a photo of the job as it is shown: its address, and which it is."""
    at = photo["at"]
    where = f", {'closing step' if at['closing'] else 'step'} {at['step']}" if at else ""
    return {"address": f"/pictures/{photo['sha256']}", "name": f"Photo {photo['number']}{where}"}


def _newest(view: Values) -> dict[str, Any] | None:
    """Return the newest photo of all while it is shown large, and for how long it still is [ms]."""
    newest = view["photos"]["newest"]
    left_ms = 0 if newest is None else newest["came_ms"] + NEWEST_MS - view["at_ms"]
    return {**_taken(newest), "left_ms": left_ms} if left_ms > 0 else None


def _things(view: Values) -> list[str]:
    """Return who may take over, or the things of a page of the preparation.

    Where the things are gone through one by one, it is the one that is asked for.
    """
    card = view["card"]
    if view["page"] == "hand_over":
        names = view["may_take_over"]
        return _numbered(names) if len(names) > 1 else names
    if view["second"]:
        return _numbered(view["second"]["known"])
    if card is None or view["page"] != "work":
        return []
    notes = {**dict.fromkeys(card["here"], " (here)"), **dict.fromkeys(card["missing"], " (missing)")}
    things = [f"{thing}{notes.get(number, '')}" for number, thing in enumerate(card["things"])]
    return things if card["thing"] is None else [things[card["thing"]]]


def _detour(view: Values) -> str:
    """Return from where a detour began, and what to say to go back there; "" where it is none."""
    back = view["detour"]
    if back is None or view["closed"]:
        return ""
    name = f"{'closing step' if back['closing'] else 'step'} {back['number']}" if back["number"] else "another place"
    return f"from {name}. Say: {LANGUAGE.phrases.phrases('where_i_was')[0]}"


def _numbered(names: Sequence[str]) -> list[str]:
    return [f"{operator_phrase(number)}: {name}" for number, name in enumerate(names, 1)]


def _mode(view: Values) -> str:
    """Return what kind of page it is: "closed", "paused", "asking", "dictation", "hazard" or "work"."""
    page = str(view["page"])
    if page == "naming":
        return "asking"
    if page == "work":
        return "hazard" if view["hazard"] else page
    return "paused" if page == "hand_over" else page


_BESIDE = ("offering", "stopped")
"""States in which the job is at no step and neither before nor behind the work."""


def _place(view: Values) -> str:
    step = view["step"]
    if step is None:
        if view["phase"] in _BESIDE:
            return "Beside the job"
        return "All steps are done" if view["at_end"] else "Before the work"
    name = "Extra step" if step["extra"] else "Closing step" if step["closing"] else "Step"
    return f"{name} {step['number']} of {step['of']}"


def _headline(view: Values) -> str:
    """Return the words that stand large when there is no value: the question, the step, or what a card is about."""
    if view["closed"]:
        return "The job is closed."
    if view["page"] == "paused":
        return "Paused"
    if view["page"] == "hand_over":
        return "Who takes over?"
    if view["second"]:
        return str(view["second"]["question"])
    if view["pending"]:
        return str(view["pending"]["question"])
    if view["page"] == "dictation":
        taken = view["dictation"]
        if taken["replaces"]:
            return f"Say all of it again, in place of: {taken['replaces']}"
        return " ".join(taken["words"]) or ("Why?" if taken["kind"] == "reason" else "Speak: it is written down.")
    if view["asks"] and not view["hazard"]:
        return str(view["asks"])
    if brought := page_of(view).headline(view):
        return brought
    if view["card"]:
        return _CARDS.get(view["card"]["what"], "Before you start")
    return _step_text(view) or "All steps are behind you."


def _next(view: Values) -> str:
    """Return what comes next: the bolts that follow in this step, or the next place."""
    if view["closed"]:
        return "nothing"
    if view["hazard"]:
        return "goes on when this is confirmed"
    return page_of(view).following(view) or str(view["next"] or "the end of the job")


def _step_text(view: Values) -> str:
    return str(view["step"]["text"]) if view["step"] else ""


def _values(view: Values, spots: Mapping[int, MapSpot]) -> dict[str, Any]:
    """Return the value or the timer (its id) that stands large, what the kind of the step brings, and the tools."""
    ask, found = view["ask"], {"tools": list(view["tools"]), **page_of(view).values(view, spots)}
    if "value" in found or not ask:
        return found
    if ask["kind"] == "reading":
        found["value"] = {"number": _range(ask["low"], ask["high"]), "unit": ask["unit"], "note": ""}
    elif ask["kind"] == "amount":
        found["value"] = {"number": ask["amount"], "unit": ask["unit"], "note": ""}
    elif ask["kind"] == "wait" and any(one["id"] == ask["timer"] for one in view["timers"]):
        found["clock"] = ask["timer"]
    return found


def _range(low: str | None, high: str | None) -> str:
    if low is None or high is None:
        return f"at most {high}" if low is None else f"at least {low}"
    return f"{low} to {high}"


def _matters(timer: Values, ask: Values | None) -> bool:
    """Return whether a timer is to be seen: a wait that is over matters only where it is waited for."""
    return not timer["over"] or timer["kind"] == "open" or (ask is not None and ask.get("timer") == timer["id"])


def _timer(timer: Values, at_ms: int) -> dict[str, Any]:
    return {
        "id": timer["id"],
        "name": timer["name"] or "Reminder",
        "what": _TIMERS.get(str(timer["kind"]), "wait"),
        "left_ms": max(0, timer["ends_ms"] - at_ms),
        "over": timer["over"],
    }


def _heard(heard: Values | None) -> dict[str, Any] | None:
    if heard is None:
        return None
    verdict = "understood" if heard["understood"] else _NOT_UNDERSTOOD.get(str(heard["why"]), "not understood")
    if heard["refused"]:
        verdict = "not done"
    if heard["asked_back"]:
        verdict = heard["asked_back"]
    elif heard["near"]:
        verdict += f"; did you mean {' or '.join(f'“{one}”' for one in heard['near'])}?"
    good = heard["understood"] and not heard["refused"]
    return {"text": heard["text"] or "…", "good": good, "verdict": verdict}


def _progress(progress: Values) -> dict[str, Any]:
    counts = [(name, one) for name, one in progress.items() if one["of"]]
    skipped = sum(one["skipped"] for _, one in counts)
    done = " and ".join(f"{one['done']} of {one['of']} {name}" for name, one in counts)
    return {
        "done": sum(one["done"] for _, one in counts) + skipped,
        "of": sum(one["of"] for _, one in counts),
        "text": f"{done} done{f', {skipped} left out' if skipped else ''}" if counts else "no steps",
    }


def _announce(shown: Values) -> str:
    """Return one sentence or two for a screen reader."""
    hazard, value = shown["hazard"], shown["value"]
    if shown["mode"] in ("closed", "paused", "asking", "dictation"):
        return str(shown["headline"])
    if hazard:
        words = (hazard["word"].upper(), hazard["hazard"], hazard["consequence"], hazard["avoid"])
        return " ".join(word if word[-1] in ".!?" else f"{word}." for word in words if word)
    parts = [shown["place"]]
    parts += page_of(shown).announced(shown) or [shown["headline"], *shown["things"]]
    if value:
        parts.append(" ".join(part for part in (value["number"], value["unit"], value["note"]) if part))
    return " ".join(part if part[-1] in ".!?" else f"{part}." for part in parts if part)
