"""From the view of a bay between jobs to what stands on the page: plain text, no work for a browser. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.display.handing import shown_hands
from assistant.display.kinds import PAGES, Values
from assistant.display.picture import Notice, visible_values

IDLE = "idle"
"""The value of ``page`` in such a view (:mod:`assistant.idle.view`), and the ``mode`` of its picture."""
_HEADS = {"jobs": "Jobs to go on with", "procedures": "Procedures", "names": "Who works?", "found": "Found"}
_STANDS = {"draft": "not approved", "faulty": "has errors", "paused": "paused", "open": "open"}


def idle_picture(view: Values, notice: Notice | None = None) -> dict[str, Any]:
    """Return what the page shows of ``view``: JSON values. What a job's page has besides is empty."""
    listed = view["listed"]
    rows = [] if listed is None else listed["rows"][listed["first"] : listed["first"] + listed["size"]]
    shown: dict[str, Any] = {
        "mode": IDLE,
        "title": "The bay waits",
        "place": f"Operator {view['operator']}" if view["operator"] else "No operator",
        "hazard": None,
        "headline": _headline(view),
        "step": "",
        "things": _asked_about(view["asking"]),
        "say": _say(view),
        "timers": [],
        "heard": {"text": view["heard"], "good": True, "verdict": ""} if view["heard"] else None,
        "progress": {"done": 0, "of": 1, "text": ""},
        "next": "the next job",
        "keys": [],
        "handing": shown_hands({}),
        "notice": {"text": notice.text, "trouble": notice.trouble} if notice else None,
        "photo": None,
        "value": None,
        "clock": None,
        **dict.fromkeys(PAGES),
        "tools": [],
        "troubles": [],
        "beside": "",
        "locked": "",
        "missing": "",
        "detour": "",
        "plan": None,
        "idle": {
            "rows": [_row(row, listed["at"]) for row in rows],
            "card": dict(view["card"]),
            "jobs": [_row(row, 0) for row in view["jobs"]],
            "procedures": [_row(row, 0) for row in view["procedures"]],
            "people": [{"name": name, "now": name == view["operator"]} for name in view["people"]],
            "asks": bool(view["question"]),
            "record": _record(view["last"]),
            "buttons": _buttons(view),
        },
    }
    announce = " ".join(text for text in (shown["headline"], shown["say"]) if text)
    return {**visible_values(shown), "announce": visible_values(announce)}


def _asked_about(asking: Values | None) -> list[str]:
    """Return what stands below a question, so that it is read before it is confirmed."""
    if asking is None or asking["does"] == "operator":
        return []
    lines = [
        f"{name}: {asking[key]}" for name, key in (("Machine", "machine"), ("Customer", "customer")) if asking[key]
    ]
    if asking["taken_from"]:
        lines.append(f"Hand-over: {asking['operator']} takes over from {asking['taken_from']}")
    return lines


def _buttons(view: Values) -> list[dict[str, str]]:
    """Return the buttons that do something now: the intent, what it is about, and what stands on it."""
    shown: dict[str, str] = {}
    listed = view["listed"]
    if view["question"]:
        shown = {"confirmed": "Confirmed", "cancel": "Cancel"}
    elif listed is not None:
        shown = {"one_before": "One before", "next_one": "Next one", "cancel": "Close the list"}
    buttons = [{"button": name, "value": "", "name": text} for name, text in shown.items()]
    if listed is not None and listed["at"] and not view["question"]:
        chosen = listed["rows"][listed["at"] - 1]
        does = {"procedure": ("start_job", "Start"), "job": ("resume_job", "Resume")}.get(chosen["kind"])
        if does is not None and chosen["stands"] != "faulty":
            buttons.append({"button": does[0], "value": chosen["key"], "name": does[1]})
    return buttons


def _headline(view: Values) -> str:
    if view["question"]:
        return str(view["question"])
    if view["listed"] is not None:
        listed = view["listed"]
        head = _HEADS[listed["what"]]
        return f"{head}: {listed['word']}" if listed["word"] else head
    if view["last"] is not None:
        return str(view["last"]["words"])
    return "Ready" if view["awake"] or not view["wake"] else f"Say: {view['wake']}"


def _say(view: Values) -> str:
    if view["wake"] and not view["awake"]:
        return str(view["wake"])
    return str(view["may_say"]).removeprefix("Say ").rstrip(".")


def _row(row: Mapping[str, Any], at: int) -> dict[str, Any]:
    """Return a row of a list: what stands large, and what small behind it."""
    stands = " ".join(part for part in (_STANDS.get(row["stands"], ""), row["place"]) if part)
    named = [(name, row[name]) for name in ("machine", "customer", "operator")]
    stands = f"{stands}, in {row['bay']}" if row["bay"] else stands
    more = [part for part in (stands, *(f"{name} {text}" for name, text in named if text)) if part]
    return {
        "number": row["number"],
        "kind": row["kind"],
        "key": row["key"],
        "title": row["title"],
        "more": ", ".join(more),
        "chosen": row["number"] == at,
        "starts": row["kind"] == "procedure" and row["stands"] != "faulty",
    }


def _record(last: Mapping[str, Any] | None) -> dict[str, str] | None:
    """Return where the record of the last job lies on this page, and its name."""
    if last is None or not last["record"] or last["how"] != "closed":
        return None
    return {
        "address": last["record"],
        "name": f"Record of job {last['job']}",
        "pdf": f"{last['record']}/record.pdf",
        "pdf_name": "PDF",
    }
