"""A tightening on the page: the stage, its bolts, and the number to go by at the tool in the hand. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.display.kinds import MapSpot, PageKind, Values, add_page
from assistant.drawing.outline import part_outline
from assistant.language.values import StageAt
from assistant.procedure.programme_text import ordinal, place_text
from assistant.session.turning import Standing

_KEY = "tighten"
_SHAPES = {"done": "●", "now": "■", "to do": "○", "left out": "⊘", "held open": "⊗", "in doubt": "◐"}
"""How the page draws the states of a bolt (static/display.js), for the line that counts them."""
_WAYS = {"angle": "further turn", "check": "check", "loosen": "loosen"}


def _headline(view: Values) -> str:
    tighten = view[_KEY]
    match view["phase"]:
        case Standing.HELD:
            return f"{bolts_in_words(tighten['current'])}: held open. The step is not done without it."
        case Standing.RENEWING:
            return f"New {tighten['group']['name']}? They are used only once."
        case Standing.TURNED:
            return f"{bolts_in_words(tighten['current'])}: done before. Turning again would overstretch the bolts."
        case Standing.OUT_OF_LIMITS:
            return f"{bolts_in_words(tighten['current'])}: the reading is out of limits."
    return "Loosen" if tighten.get("way") == "loosen" else ""


def _following(view: Values) -> str:
    """Return the bolts that follow in this step."""
    then = view[_KEY].get("then")
    if not then:
        return ""
    target = then["target"]
    value = f"{target['value']}{'' if target['unit'] == '°' else ' '}{target['unit']}" if target else "loosen"
    stage = f"stage {place_text(StageAt(**then['at']))}: " if then["at"] != view[_KEY]["at"] else ""
    return f"{stage}{bolts_in_words(then['bolts'])}, {value}"


def _values(view: Values, spots: Mapping[int, MapSpot]) -> dict[str, Any]:
    tighten = view[_KEY]
    turned = tighten["turned"]
    found: dict[str, Any] = {_KEY: _tighten(tighten, spots, turned=turned)}
    held = bool(tighten["current"]) and set(tighten["current"]) <= set(tighten["held"])
    if tighten.get("target") and not turned and not held:
        found["value"] = _large(tighten)
    return found


def _announced(picture: Values) -> Sequence[str]:
    shown = picture[_KEY]
    return [shown["stage"], shown["group"], shown["now"]]


def _tighten(tighten: Values, spots: Mapping[int, MapSpot], *, turned: bool) -> dict[str, Any]:
    group = tighten.get("group") or {"name": "", "size": ""}
    states = {
        "done": tighten["done"],
        "now": tighten["current"],
        "to do": tighten["todo"],
        "left out": tighten["skipped"],
        "held open": tighten["held"],
        "in doubt": tighten.get("doubted", ()),
    }
    of = {number: state for state, numbers in states.items() for number in numbers}
    now = [number for number in tighten["current"] if number not in tighten["held"]]
    of |= dict.fromkeys(now, "done" if turned else "now")
    covered = tighten.get("hidden_bolts", ())
    places = {number: place for place, number in enumerate(tighten.get("order", ()), 1)}
    first = [*tighten["current"], *sorted(number for number in of if number not in tighten["current"])]
    return {
        "group": group["name"],
        "size": group["size"],
        "stage": _stage(StageAt(**tighten["at"])),
        "now": bolts_in_words(tighten["current"]) + (", together" if tighten.get("together") else ""),
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
        "outline": part_outline(spots.values()),
        "counts": "; ".join(filter(None, (_counts(states, list(of.values())), _again(tighten)))),
    }


def _counts(states: Iterable[str], of: Sequence[str]) -> str:
    return ", ".join(f"{_SHAPES[state]} {count} {state}" for state in states if (count := of.count(state)))


def _again(tighten: Values) -> str:
    """Return which bolts are tightened again, for which of how many times; "" for none."""
    rows = tighten.get("again", ())
    each = {times: [row["bolt"] for row in rows if row["times"] == times] for times in {row["times"] for row in rows}}
    told = [
        f"{', '.join(map(str, each[times]))} ({times} of at most {tighten['again_at_most']})" for times in sorted(each)
    ]
    return f"tightened again: {', '.join(told)}" if told else ""


def _stage(at: StageAt) -> str:
    """Return in which stage, pass and repetition the bolts are, as it is read."""
    plain = at == StageAt(at.number, at.of, again=at.again)
    return f"Stage {at.number} of {at.of}{', once more' if at.again else ''}" if plain else f"Stage {place_text(at)}"


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


add_page(_KEY, PageKind(_headline, _following, _values, _announced))
