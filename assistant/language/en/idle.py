"""What is said by a bay between jobs, and how it is spoken to."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from assistant.language.en.numbers import number_words
from assistant.language.en.words import bare, plural, step_name
from assistant.language.topics.idle import RowSpoken
from assistant.language.values import StepAt

IDLE_SAID: Mapping[str, tuple[tuple[str, ...], str]] = {
    "list_jobs": (("jobs", "open jobs", "job list"), "Between jobs: say the jobs that can be gone on with."),
    "list_procedures": (("procedures", "which procedures"), "Between jobs: say the procedures."),
    "new_job": (("new job", "begin a new job"), "Between jobs: choose a procedure for a new job."),
    "next_one": (("next one",), "In a list: the next row."),
    "one_before": (("one before", "the one before"), "In a list: the row before."),
    "row_number": (("number {}",), "In a list: choose a row, for example: number two."),
    "start_job": (("start", "start the job"), "Begin a job for the chosen procedure."),
    "resume_job": (("resume", "resume the job"), "Go on with the chosen job, or with the only one."),
    "works": (("operator {}",), "Between jobs: who works, by a name from the settings: operator Kim."),
    "list_names": (("who works here", "which operators"), "Between jobs: say the names of those who may work."),
    "search": (("{}",), "In a list: a word of a title or a machine, for example: gearbox."),
}
"""How each thing is said between jobs, and what it does."""

_PLURAL = re.compile("[^su]s$")
_WORD = re.compile(r"[a-z]{4,}")
_COMMON = frozenset(
    ("with", "from", "that", "this", "practice", "remove", "refit", "replace", "renew", "check", "invented", "bench")
)
"""Words that are in many titles, and tell none from another. Ours."""


def rows(what: str, total: int, rows: Sequence[RowSpoken], word: str = "") -> str:
    heads = {
        "jobs": plural(total, "job", "jobs"),
        "procedures": plural(total, "procedure", "procedures"),
        "names": plural(total, "name", "names"),
        "found": f"{plural(total, 'match', 'matches')} for {word}",
    }
    said = [f"{_capital(heads[what])}.", *(f"{_capital(number_words(one.number))}: {_named(one)}." for one in rows)]
    if total > len(rows):
        said.append(f"And {number_words(total - len(rows))} more.")
    return " ".join(said)


def row(row: RowSpoken) -> str:
    lead = {"open": "Say resume.", "paused": "Say resume.", "name": ""}.get(row.stands, "Say start.")
    if row.stands == "faulty":
        lead = "It has errors and cannot be started."
    return f"{_capital(number_words(row.number))}: {_named(row)}. {lead}".strip()


def _named(row: RowSpoken) -> str:
    title = bare(row.title)
    if row.stands == "draft":
        return f"{title}, not approved"
    if row.stands == "faulty":
        return f"{title}, with errors"
    if row.stands in ("open", "paused"):
        how = "paused" if row.stands == "paused" else "open"
        where = f", in {_bay(row.bay)}" if row.bay else ""
        return f"{title}, {how}{' ' if row.step else ''}{at_place(row.step)}{where}"
    return title


def _bay(name: str) -> str:
    """Return the name of a bay for the ear: "north-2" as "north two"."""
    parts = re.findall(r"[a-z]+|[0-9]+", name)
    return " ".join(number_words(int(part)) if part.isdigit() else part for part in parts)


def at_place(step: StepAt | None) -> str:
    return "" if step is None else f"at {step_name(step)}"


def no_row(number: int, total: int) -> str:
    if not number:
        return f"That is the last of {number_words(total)}." if total > 1 else "There is only this one."
    return f"There is no number {number_words(number)}. The last is number {number_words(total)}."


_NOTHING = {
    "jobs": "No job is open. Say new job.",
    "procedures": "There is no procedure. Look at the screen.",
    "names": "No names are known. Write them into the settings.",
}


def nothing_there(what: str, word: str = "") -> str:
    return f"Nothing is found for {word}." if word else _NOTHING[what]


def choose_first() -> str:
    return "Choose one first. Say open jobs, or procedures."


def _who(operator: str) -> str:
    return f"operator {bare(operator)}" if operator else "no operator"


def ask_start(title: str, operator: str) -> str:
    return f"Start {bare(title)}, {_who(operator)}?"


def ask_resume(title: str, operator: str) -> str:
    return f"Resume {bare(title)}, {_who(operator)}?"


def now_starting(title: str, operator: str) -> str:
    return f"Starting {bare(title)}, {_who(operator)}."


def now_resuming(title: str, operator: str) -> str:
    return f"Resuming {bare(title)}, {_who(operator)}."


def operator_now(name: str) -> str:
    return f"Operator {bare(name)}."


def ask_operator(name: str) -> str:
    return f"Operator {bare(name)}. Is that right?"


def no_name() -> str:
    return _NOTHING["names"]


def dropped() -> str:
    return "Dropped."


_CANNOT = {
    "changed": "{} was changed since I read it. Look at it, then say start again.",
    "errors": "{} has errors now. The screen shows them.",
    "gone": "{} is not there any more. Say procedures.",
    "busy": "Somebody else works on {}. End it there first.",
    "elsewhere": "{} cannot be brought here now. The screen says why.",
    "damaged": "{} is damaged and cannot be gone on with. The screen says more.",
    "closed": "{} is closed. Say new job.",
    "refused": "{} cannot be started now. The screen says why.",
}


def cannot(why: str, title: str) -> str:
    return _capital(_CANNOT[why].format(bare(title)))


_ENDED = {
    "closed": "The record of {} is on the page.",
    "broken": "{} broke off, and is kept. Say jobs to go on with it.",
    "lost": "{} cannot go on now. The screen says why.",
}


def job_ended(how: str, title: str) -> str:
    return _capital(_ENDED[how].format(bare(title)))


def label_is(*, printed: bool) -> str:
    return "The label is printed." if printed else "The label is not printed. The screen says why."


_MAY_SAY = {
    "begin": ("open jobs", "procedures", "new job"),
    "list": ("next one", "number two", "a word of the title"),
    "job": ("next one", "resume", "cancel"),
    "procedure": ("next one", "start", "cancel"),
    "name": ("next one", "open jobs", "procedures"),
    "asked": ("confirmed", "cancel"),
}


def may_say(where: str) -> str:
    return f"Say {', '.join(_MAY_SAY[where][:-1])}, or {_MAY_SAY[where][-1]}."


def words_in(text: str) -> list[str]:
    words = [word for word in dict.fromkeys(_WORD.findall(text.lower())) if word not in _COMMON]
    return [one for word in words for one in ((word, word[:-1]) if _PLURAL.search(word) else (word,))]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
