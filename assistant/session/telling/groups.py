"""The answers about the bolts of the whole job: how many of each size, and where those of a name are."""

from __future__ import annotations

from assistant.facts.inputs import UnderstoodOf
from assistant.fastening.chunks import MOST_THINGS
from assistant.session import group_names  # noqa: F401 (what groups are called enters its table)
from assistant.session.telling.core import Telling


def sizes(t: Telling) -> list[str]:
    """Say how many bolts there are of each size, at most four sizes; asked again at once, those behind them."""
    number: dict[str, int] = {}
    for group in t.job.groups.values():
        size = group.size or group.name
        number[size] = number.get(size, 0) + len(group.bolts)
    say = t.language.questions
    return _page(t, [[say.of_size(size, many)] for size, many in number.items()])


def where_bolts(t: Telling) -> list[str]:
    """Say where the bolts of the named groups are, and which of them are hidden."""
    given = t.facts[0]
    ids = given.name.split(",") if isinstance(given, UnderstoodOf) else []
    found = []
    for group in (t.job.groups[one] for one in ids if one in t.job.groups):
        hidden = t.language.bolts.hidden([(one.bolt, one.where) for one in group.hidden])
        found.append([*t.language.questions.bolts_are(group.name, group.where, group.bolts), hidden])
    return _page(t, found)


def _page(t: Telling, things: list[list[str]]) -> list[str]:
    """Return at most four of ``things``, each with its sentences: which four, by how often it was asked in a row."""
    say = t.language.questions
    if not things:
        return [say.no_bolts_in_job()]
    pages = -(-len(things) // MOST_THINGS)
    begin = (t.state.asked[1] - 1) % pages * MOST_THINGS
    told = things[begin : begin + MOST_THINGS]
    return [*(line for lines in told for line in lines), say.ask_for_more(len(things) - begin - len(told))]
