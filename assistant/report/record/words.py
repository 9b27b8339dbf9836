"""Each kind of journal entry in words, for the list of all entries and for whatever has no table of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from assistant.report.record.values import (
    Data,
    limits_words,
    numbers,
    printed_value,
    target_words,
    tolerated_words,
    unit_of,
)

_BOLTS = ("step", "stage", "group", "bolts")
_NEEDED: Mapping[str, tuple[str, ...]] = {
    "corrected": ("entry", "text"),
    "meter": ("meter",),
    "prepared": ("what", "things"),
    "item_missing": ("thing", "place", "number"),
    "item_found": ("thing", "place", "number"),
    "hazard_acknowledged": ("place", "number"),
    "step_done": ("step",),
    "check_answered": ("step", "answer", "expected", "as_expected"),
    "reading": ("step", "value", "unit", "in_limits"),
    "counted": ("step", "group", "direction", "count", "expected", "matches"),
    "part_fitted": ("step", "spare", "count", "expected", "matches"),
    "run_tightened": _BOLTS,
    "bolt_tightened": _BOLTS,
    "out_of_limits": (*_BOLTS, "reading", "limits", "verdict"),
    "bolt_again": _BOLTS,
    "bolt_replaced": _BOLTS,
    "bolts_loosened": _BOLTS,
    "new_confirmed": ("step", "group", "bolts"),
    "timer_started": ("timer", "name", "kind", "seconds"),
    "timer_ended": ("timer",),
    "timer_stopped": ("timer",),
    "timer_runs_on": ("timer",),
    "skipped": ("what", "reason"),
    "deviation": ("what", "reason"),
    "supply_used": ("supply",),
}


def is_sound(kind: str, data: Data) -> bool:
    """Return whether an entry has what the tables of the record need of its kind."""
    if any(key not in data for key in _NEEDED.get(kind, ())):
        return False
    return kind != "skipped" or data["what"] != "bolts" or all(key in data for key in _BOLTS)


def describe(kind: str, data: Data) -> str:
    """Return an entry in words; a kind that is not known is printed with all its fields."""
    known = WORDS.get(kind)
    if known is not None:
        try:
            return known(data)
        except (LookupError, TypeError, ValueError):  # an entry of another version: its fields are printed as they are
            pass
    return f"{kind}: {_fields(data)}"


def _fields(data: Data, *but: str) -> str:
    return "; ".join(f"{key} {value}" for key, value in data.items() if key not in but and value not in (None, "", []))


def _opened(d: Data) -> str:
    parts = [f"job opened: {d.get('title', '')}, revision {d.get('procedure_revision', '')}"]
    for key in ("asset", "customer", "operator", "meter", "meter_note", "tools_file"):
        value = d.get(key)
        if value:
            parts.append(f"{key.replace('_', ' ')} {printed_value(value) if isinstance(value, Mapping) else value}")
    for key, words in (("rehearsal", "a rehearsal"), ("keep_audio", "sound is kept")):
        if d.get(key):
            parts.append(words)
    return "; ".join(parts)


def _metered(d: Data) -> str:
    done = " when the work was done" if d.get("done") else ""
    return f"meter {printed_value(d['meter'])}{done} {d.get('note') or ''}".rstrip()


def _tightened(d: Data) -> str:
    turn = f", pass {d['turn']}" if d.get("turn", d["stage"]) != d["stage"] else ""
    parts = [f"stage {d['stage']}{turn}: {d['group']} {numbers(d['bolts'])} to {target_words(d)}"]
    limits = tolerated_words(d, unit_of(d))
    tools = " with ".join(str(d[key]) for key in ("tool", "adapter", "multiplier") if d.get(key))
    for label, words in (
        ("limits", limits),
        ("tool", tools),
        ("setting", printed_value(d.get("setting"))),
        ("drag", printed_value(d.get("drag"))),
        ("reading", printed_value(d.get("reading"))),
        ("verdict", str(d.get("verdict") or "")),
        ("", "again" if d.get("repeated") else ""),
    ):
        if words:
            parts.append(f"{label} {words}".strip())
    return "; ".join(parts)


def _at_bolt(words: str) -> Callable[[Data], str]:
    return lambda d: f"{words}: stage {d['stage']}, {d['group']} {numbers(d['bolts'])}"


def _counted(d: Data) -> str:
    end = "" if d["matches"] else ": DOES NOT MATCH"
    return f"{d['group']} counted {d['direction']}: {d['count']} of {d['expected']}{end}{_again(d)}"


def _again(d: Data) -> str:
    return " (again)" if d.get("repeated") else ""


def _noted(word: str) -> Callable[[Data], str]:
    return lambda d: f"{word}: {d['text']}{'' if d.get('complete', True) else ' (ended by silence)'}"


def _closed(d: Data) -> str:
    things = [str(one) for one in d.get("open", ())]
    for key, words in _LEFT_OPEN.items():
        things += [f"{len(d[key])} {words}"] if d.get(key) and "open" not in d else []
    reason = f" (reason: {d['reason']})" if d.get("reason") else ""
    return f"job closed; left open: {', '.join(things)}{reason}" if things else "job closed; nothing was left open"


_LEFT_OPEN = {
    "open_problems": "problems",
    "open_counts": "counts that do not agree",
    "open_values": "values out of limits",
    "open_bolts": "bolts out of limits",
    "open_answers": "answers that should be others",
    "open_steps": "steps not done",
    "open_stages": "stages not tightened",
    "open_parts": "new parts not answered for",
    "left_out": "left out",
}
"""What a job is closed with from the third rules on, and how it is printed behind its number."""


def _skipped(d: Data) -> str:
    what = f"{d['group']} {numbers(d['bolts'])} of stage {d['stage']}" if d["what"] == "bolts" else str(d["what"])
    unread = f"; hazards not read: {d['hazards_not_read']}" if d.get("hazards_not_read") else ""
    place = f" {d['place']}" if d.get("place") else ""
    return f"left out {what}{place}: {d['reason']}{unread}"


_TOOL_TOLD: Mapping[str, str] = {
    "without": "{} named and not used",
    "no_ratio": "ratio of {} not known",
    "out_of_reach": "{} named and does not reach",
    "alone": "{} named and does not reach alone",
    "cannot": "{} named and cannot be set",
    "not_in_file": "{} not in the tool file",
    "nothing": "no tool gives the value",
    "no_wrench": "no torque wrench",
    "no_adapter": "no adapter {}",
    "no_gauge": "no angle gauge",
    "lever": "lever of {} not suitable",
    "ratio": "ratio of {} not known",
    "rating": "over the rating of {}",
    "below_scale": "below the scale of {}",
    "above_scale": "above the scale of {}",
    "too_coarse": "scale of {} too coarse",
    "drag": "drag not suitable",
    "due": "{} due for calibration",
    "lowest_fifth": "in the lowest fifth of {}",
    "arm": "arm of {} pushes back",
}
"""What was told about a tool, by its code."""


def _tool_told(one: Any) -> str:
    """Return what was told about a tool: a sentence in jobs under older rules, else a code and the id of the tool."""
    if not isinstance(one, Mapping):
        return str(one)
    code = str(one.get("code"))
    return _TOOL_TOLD.get(code, f"{code} {{}}").format(one.get("tool") or "").strip()


def _chosen(d: Data) -> str:
    runs = [
        " ".join(
            part
            for part in (
                str(one.get("group", "")),
                " with ".join(str(one[key]) for key in ("tool", "adapter", "multiplier") if one.get(key)) or "no tool",
                f"set to {printed_value(one['setting'])}" if one.get("setting") else "",
            )
            if part
        )
        for one in d["choices"]
    ]
    told = [_tool_told(one) for one in (*d.get("first", ()), *d.get("faults", ()), *d.get("warnings", ()))]
    gauge = [f"gauge {d['gauge']}"] if d.get("gauge") else []
    return f"tools for stage {d['stage']}: {'; '.join((*runs, *gauge, *told))}"


WORDS: Mapping[str, Callable[[Data], str]] = {
    "opened": _opened,
    "heard": lambda d: f"heard: {d['text']}",
    "unclear": lambda d: f"not understood: {d['text']} ({d.get('why', '')})",
    "clock": lambda _: "a time came",
    "resumed": lambda d: f"job taken up again{' by ' + str(d['operator']) if d.get('operator') else ''}",
    "prepared": lambda d: (
        f"{d['what']} confirmed: {'; '.join(str(one) for one in d['things'])}{_again(d)}"
        + (f"; MISSING: {'; '.join(str(one) for one in d['missing'])}" if d.get("missing") else "")
    ),
    "item_missing": lambda d: f"missing: {d['thing']}",
    "item_found": lambda d: f"found: {d['thing']}",
    "handing_over": lambda d: f"{d['left_by'] or 'name not given'} leaves the job",
    "handed_over": lambda d: f"{d['taken_by'] or 'name not given'} takes over from {d['left_by'] or 'name not given'}",
    "hazard_acknowledged": lambda d: f"{d['word']} acknowledged{heard_words(d)}: {d['hazard']}",
    "step_done": lambda d: f"done{_again(d)}",
    "check_answered": lambda d: (
        f"answered {d['answer']}{'' if d['as_expected'] else ', EXPECTED ' + str(d['expected'])}{_again(d)}"
    ),
    "reading": lambda d: (
        f"read {d['value']} {d['unit']} (limits {limits_words(d, str(d['unit'])) or 'none'})"
        f"{'' if d['in_limits'] else ': OUT OF LIMITS'}{_again(d)}"
    ),
    "counted": _counted,
    "part_fitted": lambda d: (
        f"{d['spare']} fitted: {d['count']} of {d['expected']}{'' if d['matches'] else ': DOES NOT MATCH'}{_again(d)}"
    ),
    "run_tightened": _tightened,
    "bolt_tightened": _tightened,
    "stage_done": lambda d: (
        f"stage {d['stage']} of {d['stages']} done"
        + (f"; NOT TIGHTENED: {numbers(d['not_tightened'])}" if d["not_tightened"] else "")
    ),
    "tools_chosen": _chosen,
    "out_of_limits": lambda d: (
        f"{printed_value(d['reading'])} is {d['verdict']} the limits "
        f"{tolerated_words(d, str(d['reading']['unit']))}: "
        f"{d['group']} {numbers(d['bolts'])}, stage {d['stage']}"
    ),
    "bolt_again": _at_bolt("done again"),
    "bolt_replaced": _at_bolt("replaced by a new one"),
    "bolts_loosened": _at_bolt("loosened, to begin again"),
    "new_confirmed": lambda d: f"new: {d['group']} {numbers(d['bolts'])}",
    "unit_chosen": lambda d: f"unit: {d['unit'] or 'that of the procedure'}",
    "long_pause": lambda d: f"{d['seconds']} s between torque and angle of {d['group']}, stage {d['stage']}",
    "timer_started": lambda d: f"timer {d['name']} started for {d['seconds']} s{_again(d)}",
    "timer_warned": lambda d: f"timer {d['timer']}: {d['seconds_left']} s left",
    "timer_ended": lambda d: f"timer {d['name']} ended",
    "timer_stopped": lambda d: (
        f"timer {d['timer']} stopped {'by leaving steps out' if d.get('left_out') else 'in time'}"
    ),
    "timer_runs_on": lambda d: f"timer {d['timer']} runs on: a step that was left out is done after all",
    "note": _noted("note"),
    "problem": _noted("problem"),
    "skipped": _skipped,
    "deviation": lambda d: f"accepted: {deviation_words(d)}: {d['reason']}",
    "asked": lambda d: f"asked: {d['question']}",
    "cancelled": lambda d: f"cancelled ({d['why']}): {d['what']}",
    "moved": lambda d: f"went to {d['to']}",
    "paused": lambda _: "paused",
    "carried_on": lambda _: "carried on",
    "closed": _closed,
    "device_lost": lambda d: f"{d['device']} lost",
    "device_back": lambda d: f"{d['device']} back",
    "interrupted": lambda d: f"interrupted by {d['by']}",
    "audio_kept": lambda d: f"sound kept in {d['file']}",
    "part_failed": lambda d: (
        f"{str(d['part']).replace('_', ' ')} failed ({d['error']}): {_AFTER.get(str(d['then']), d['then'])}"
    ),
    "clock_stepped": lambda d: f"the computer's clock was set {clock_words(d)}; the job's own time went on",
    "timer_agreed": lambda d: f"timer {d['timer']} is right all the same, {d['seconds_left']} s left",
    "sound_lost": lambda d: f"{d['pieces_of_20_ms']} pieces of 20 ms of sound lost",
    "corrected": lambda d: (
        f"correction to entry {d['entry']}: {d['text']}" + (f" (by {d['operator']})" if d.get("operator") else "")
    ),
    "meter": _metered,
    "supply_used": lambda d: f"{d['supply']}: batch {d['batch'] or '-'}, use by {d['expires'] or '-'}",
    "forgotten": lambda _: "personal data removed",
}
"""Words of each kind of entry; a test holds this table to all kinds that are written."""

_AFTER: Mapping[str, str] = {
    "built_again": "started again",
    "other_way": "another took its place",
    "ended": "it was left off",
}


def clock_words(d: Data) -> str:
    """Return by how much the computer's clock was set, for example "on by 3600.0 s"."""
    by = int(d["by_ms"])
    return f"{'back' if by < 0 else 'on'} by {abs(by) / 1000:.1f} s"


_HEARD = {"part": ", BEFORE IT WAS READ OUT", "avoid": ", before the end of its reading"}


def heard_words(d: Data) -> str:
    """Return how far a hazard was not heard when it was acknowledged; "" where it was heard, or nothing says so."""
    return _HEARD.get(str(d.get("heard", "")), "")


def deviation_words(d: Data) -> str:
    """Return what a deviation accepts."""
    what = str(d["what"])
    found = {
        "count": lambda: f"count of {d['count']}",
        "part": lambda: f"{d['count']} new parts",
        "answer": lambda: f"answer {d['answer']}",
        "reading": lambda: f"reading {d['value']} {d['unit']} out of limits",
        "missing": lambda: f"begun without {'; '.join(str(one) for one in d['things'])}",
        "wait": lambda: f"wait {d['timer']} left {d['seconds_left']} s early",
        "open_time": lambda: f"went on after {d['timer']} was over",
        "bolt_reading": lambda: (
            f"{d['group']} {numbers(d['bolts'])} stage {d['stage']}: {d['value']} {d['unit']} out of limits"
        ),
    }.get(what)
    return found() if found else f"{what} {_fields(d, 'what', 'reason', 'step', 'by')}"
