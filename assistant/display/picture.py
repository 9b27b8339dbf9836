"""From the session's view to what stands on the page: plain text, nothing to work out for a browser. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from assistant.language.chosen import LANGUAGE
from assistant.procedure.programme_text import ordinal
from assistant.visible import visible as as_shown

Values = Mapping[str, Any]
MapSpot = tuple[float, float]

_CARDS = {
    "conditions": "Before you start",
    "persons": "People needed",
    "equipment": "Have at hand",
    "supplies": "Supplies",
    "spares": "Spare parts",
}
_SAY = {
    "preparing": "next",
    "hazard": "confirmed",
    "doing": "next",
    "tightening": "next",
    "one_bolt": "next",
    "renewing": "confirmed",
    "out_of_limits": "tighten again, take a note, or replace the bolt",
    "turned": "next",
    "finishing": "finish job",
    "confirming": "confirmed, or cancel",
    "dictation": "end note",
    "paused": "carry on",
}
"""What leads on in each phase, as it is spoken."""
_MODES = {
    "paused": "paused",
    "hand_over": "paused",
    "confirming": "asking",
    "renewing": "asking",
    "out_of_limits": "asking",
    "turned": "asking",
    "dictation": "dictation",
}
_ASK = {"yes_no": "yes, or no", "reading": "reading and the value", "count": "count and the number"}
_NOT_UNDERSTOOD = {
    "unclear": "not understood",
    "unsure": "not sure enough",
    "not here": "not possible here",
    "no phrase": "no phrase that I know",
}
_TIMERS = {"open": "join within", "cure": "wait", "cool": "let it cool"}
_SHAPES = {"done": "●", "now": "■", "to do": "○", "left out": "⊘"}
"""How the page draws the states of a bolt (static/display.js), for the line that counts them."""
_WAYS = {"angle": "further turn", "check": "check", "loosen": "loosen"}


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
    view: Values, notice: Notice | None = None, spots: Mapping[int, MapSpot] = MappingProxyType({})
) -> dict[str, Any]:
    """Return what the page shows of ``view`` (see :mod:`assistant.session.view`): JSON values, times in ms.

    ``notice`` is about the equipment; ``spots`` are the places of bolts that are known.
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
        "say": _say(view),
        "timers": [_timer(one, view["at_ms"]) for one in view["timers"] if _matters(one, view["ask"])],
        "heard": _heard(view["heard"]),
        "progress": _progress(view["progress"]),
        "next": _next(view),
        "keys": list(view["keys"]),
        "notice": {"text": notice.text, "trouble": notice.trouble} if notice else None,
        "value": None,
        "clock": None,
        "tighten": None,
        "tools": [],
        "missing": ", ".join(view["missing"]) if view["step"] and not hazard and not view["closed"] else "",
        **({} if hazard or view["closed"] else _values(view, spots)),
    }
    return {**visible_values(shown), "announce": visible_values(_announce(shown))}


def _things(view: Values) -> list[str]:
    """Return who may take over, or the things of a page of the preparation.

    Where the things are gone through one by one, it is the one that is asked for.
    """
    card = view["card"]
    if view["phase"] == "hand_over":
        names = view["may_take_over"]
        return [f"{_operator(number)}: {name}" for number, name in enumerate(names, 1)] if len(names) > 1 else names
    if card is None or view["phase"] != "preparing":
        return []
    things = [
        f"{thing} (missing)" if number in card["missing"] else str(thing) for number, thing in enumerate(card["things"])
    ]
    return things if card["thing"] is None else [things[card["thing"]]]


def _operator(number: int) -> str:
    """Return how somebody who may take over is called, as it is spoken."""
    return f"{LANGUAGE.phrases.phrases('operator')[0]} {LANGUAGE.numbers.number_words(number)}"


def _mode(view: Values) -> str:
    """Return what kind of page it is: "closed", "paused", "asking", "dictation", "hazard" or "work"."""
    if view["closed"]:
        return "closed"
    over = _MODES.get(view["phase"])
    return over or ("hazard" if view["hazard"] else "work")


def _place(view: Values) -> str:
    step = view["step"]
    if step is None:
        return "Before the work" if view["base"] in ("preparing", "hazard") else "All steps are done"
    return f"{'Closing step' if step['closing'] else 'Step'} {step['number']} of {step['of']}"


def _headline(view: Values) -> str:
    """Return the words that stand large when there is no value: the question, the step, or what a card is about."""
    if view["closed"]:
        return "The job is closed."
    if view["phase"] == "paused":
        return "Paused"
    if view["phase"] == "hand_over":
        return "Who takes over?"
    if view["pending"] and view["phase"] == "confirming":
        return str(view["pending"]["question"])
    if view["phase"] == "dictation":
        ask = "Why?" if view["dictation"]["kind"] == "reason" else "Speak: it is written down."
        return " ".join(view["dictation"]["words"]) or ask
    tighten = view["tighten"] or {}
    if view["phase"] == "renewing":
        return f"New {tighten['group']['name']}? They are used only once."
    if view["phase"] == "turned":
        return f"{bolts_in_words(tighten['current'])}: done before. Turning again would overstretch the bolts."
    if view["phase"] == "out_of_limits":
        return f"{bolts_in_words(tighten['current'])}: the reading is out of limits."
    if tighten.get("way") == "loosen":
        return "Loosen"
    if view["card"]:
        return _CARDS.get(view["card"]["what"], "Before you start")
    return _step_text(view) or "All steps are behind you."


def _next(view: Values) -> str:
    """Return what comes next: the bolts that follow in this step, or the next place."""
    if view["closed"]:
        return "nothing"
    if view["hazard"]:
        return "goes on when this is confirmed"
    then = (view["tighten"] or {}).get("then")
    if not then:
        return str(view["next"] or "the end of the job")
    target = then["target"]
    value = f"{target['value']}{'' if target['unit'] == '°' else ' '}{target['unit']}" if target else "loosen"
    stage = f"stage {then['stage']}: " if then["stage"] != view["tighten"]["stage"] else ""
    return f"{stage}{bolts_in_words(then['bolts'])}, {value}"


def _step_text(view: Values) -> str:
    return str(view["step"]["text"]) if view["step"] else ""


def _say(view: Values) -> str:
    if view["closed"]:
        return ""
    ask = view["ask"]
    if view["phase"] == "hand_over":
        names = view["may_take_over"]
        return "take over, or cancel" if len(names) < 2 else "operator and the number, or cancel"
    if view["phase"] == "preparing" and view["card"] and view["card"]["thing"] is not None:
        return "next, or missing"
    known = _SAY.get(view["phase"])
    if known or ask is None:
        return known or "next"
    if ask["kind"] == "wait":
        timer = next((one for one in view["timers"] if one["id"] == ask["timer"]), None)
        return "start timer" if timer is None else "next" if timer["over"] else "time left"
    return _ASK.get(str(ask["kind"]), "next")


def _values(view: Values, spots: Mapping[int, MapSpot]) -> dict[str, Any]:
    """Return the value or the timer (its id) that stands large, the bolts and the tools."""
    tighten, ask, turned = view["tighten"], view["ask"], view["base"] == "turned"
    found: dict[str, Any] = {
        "tools": list(view["tools"]),
        "tighten": tighten and _tighten(tighten, spots, turned=turned),
    }
    if tighten and tighten.get("target") and not turned:
        found["value"] = _large(tighten)
    elif ask and ask["kind"] == "reading":
        found["value"] = {"number": _range(ask["low"], ask["high"]), "unit": ask["unit"], "note": ""}
    elif ask and ask["kind"] == "wait" and any(one["id"] == ask["timer"] for one in view["timers"]):
        found["clock"] = ask["timer"]
    return found


def _range(low: str | None, high: str | None) -> str:
    if low is None or high is None:
        return f"at most {high}" if low is None else f"at least {low}"
    return f"{low} to {high}"


def _tighten(tighten: Values, spots: Mapping[int, MapSpot], *, turned: bool) -> dict[str, Any]:
    group = tighten.get("group") or {"name": "", "size": ""}
    states = {
        "done": tighten["done"],
        "now": tighten["current"],
        "to do": tighten["todo"],
        "left out": tighten["skipped"],
    }
    of = {number: state for state, numbers in states.items() for number in numbers}
    of |= dict.fromkeys(tighten["current"], "done" if turned else "now")
    covered = tighten.get("hidden_bolts", ())
    places = {number: place for place, number in enumerate(tighten.get("order", ()), 1)}
    first = [*tighten["current"], *sorted(number for number in of if number not in tighten["current"])]
    return {
        "group": group["name"],
        "size": group["size"],
        "stage": f"Stage {tighten['stage']} of {tighten['stages']}",
        "now": bolts_in_words(tighten["current"]),
        "loosen": tighten.get("way") == "loosen",
        "at_bolt": _at_the_bolt(tighten),
        "hidden": [f"Bolt {one['bolt']} is hidden: {one['where']}" for one in tighten.get("hidden", ())],
        "bolts": [
            {
                "number": number,
                "state": of[number],
                "at": spots.get(number),
                "hidden": number in covered,
                "place": ordinal(places[number]) if of[number] == "now" and number in places else "",
            }
            for number in first
        ],
        "counts": ", ".join(
            f"{_SHAPES[state]} {count} {state}" for state in states if (count := list(of.values()).count(state))
        ),
    }


def _large(tighten: Values) -> dict[str, str] | None:
    """Return the number to go by at the tool in the hand; None where it is not known, whatever arrives at the bolt."""
    hand = _in_the_hand(tighten)
    if hand is None and tighten.get("at_bolt"):
        return None
    value, where = hand or (tighten["target"], "")
    note = ", ".join(word for word in (_WAYS.get(str(tighten.get("way")), ""), where) if word)
    return {"number": value["value"], "unit": value["unit"], "note": note}


def _in_the_hand(tighten: Values) -> tuple[Values, str] | None:
    """Return what is set or turned where that is not the target itself, and where; None otherwise."""
    if tighten.get("handle"):
        return {"value": tighten["handle"], "unit": "°"}, "at the handle"
    setting, target = (tighten.get("tools") or {}).get("setting"), tighten["target"]
    if setting and (Decimal(setting["value"]), setting["unit"]) != (Decimal(target["value"]), target["unit"]):
        return setting, "on the wrench"
    return None


def _at_the_bolt(tighten: Values) -> str:
    """Return in words what arrives at the bolt where the large number is another one, or where there is none; or ""."""
    target = tighten.get("target")
    if not target:
        return ""
    space = "" if target["unit"] == "°" else " "
    words = f"{target['value']}{space}{target['unit']} at the bolt"
    if _in_the_hand(tighten):
        return words
    return f"{words}; what to set is not known" if tighten.get("at_bolt") else ""


def bolts_in_words(numbers: Sequence[int]) -> str:
    """Return bolts in the order of the work, as they are read: "Bolt 6", "Bolts 1, 3, 2, 4"; "" for none."""
    if not numbers:
        return ""
    return f"Bolt{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _matters(timer: Values, ask: Values | None) -> bool:
    """Return whether a timer is to be seen: a wait that is over matters only where it is waited for."""
    return not timer["over"] or timer["kind"] == "open" or (ask is not None and ask.get("timer") == timer["id"])


def _timer(timer: Values, at_ms: int) -> dict[str, Any]:
    return {
        "id": timer["id"],
        "name": timer["name"],
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
    if heard["near"]:
        verdict += f"; did you mean “{heard['near']}”?"
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
    hazard, value, tighten = shown["hazard"], shown["value"], shown["tighten"]
    if shown["mode"] in ("closed", "paused", "asking", "dictation"):
        return str(shown["headline"])
    if hazard:
        words = (hazard["word"].upper(), hazard["hazard"], hazard["consequence"], hazard["avoid"])
        return " ".join(word if word[-1] in ".!?" else f"{word}." for word in words if word)
    parts = [shown["place"]]
    if tighten:
        parts += [tighten["stage"], tighten["group"], tighten["now"]]
    else:
        parts += [shown["headline"], *shown["things"]]
    if value:
        parts.append(" ".join(part for part in (value["number"], value["unit"], value["note"]) if part))
    return " ".join(part if part[-1] in ".!?" else f"{part}." for part in parts if part)
