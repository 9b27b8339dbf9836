"""Listens to ``dev`` with several costs in the graph, and says at which limit of confidence what would be heard.

For choosing settings: one net, one list of recordings, a graph for each set of costs.
"""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict
from pathlib import Path

from assistant.events import Thresholds
from assistant.hearing.score import as_meant
from models.recipe.export import export
from models.recipe.graph import Costs
from models.recipe.measure import QUIET, Row, Trial, listen, table, write_rows
from models.recipe.net import load_net
from models.recipe.package import write_graph

LIMITS = (0.45, 0.6, 0.75, 0.9)
_TESTS = ("commands", "numbers", "nine words", "near words", "other words", "other human words", "running speech")


def sets_of(text: str) -> list[Costs]:
    """Return the sets of costs in ``text``: sets parted by spaces, each word,unknown,unknown_phone[,noise[,silence]].

    Raises:
        ValueError: a set is not three to five numbers.
    """
    sets = []
    for one in text.split():
        try:
            word, unknown, phone, *noise = map(float, one.split(","))
            sets.append(Costs(word, unknown, phone, *noise))
        except (ValueError, TypeError):
            raise ValueError(
                f'"{one}" must be three to five numbers: word,unknown,unknown_phone[,noise[,silence]].'
            ) from None
    return sets


def name_of(costs: Costs) -> str:
    """Return a short name of a set, good for a folder."""
    return "_".join(f"{name}{value:g}" for name, value in asdict(costs).items())


def choose(
    checkpoint: Path,
    parts: Path,
    work: Path,
    sets: Sequence[Costs],
    trials: list[Trial],
    processes: int,
    tell: Callable[[str], None] = print,
) -> None:
    """Make a model in ``work`` for each set, listen to ``trials`` with it, keep the rows and tell what came of it."""
    net = work / "net"
    export(load_net(str(checkpoint)), net, 16)
    for costs in sets:
        folder = work / name_of(costs)
        shutil.copytree(net, folder, dirs_exist_ok=True)
        write_graph(folder, parts, costs)
        rows = listen(folder, trials, processes)
        write_rows(rows, work / f"{folder.name}.jsonl")
        tell(folder.name)
        for line in compared(rows):
            tell(f"  {line}")


def compared(rows: Sequence[Row]) -> Iterator[str]:
    """Yield a line for each limit, with the shares [%] of each test from quiet to loud, and why phrases were missed.

    Right/wrong for phrases and numbers, right for the nine words, accepted for words that are no command, and accepted
    in how many hours for running speech.
    """
    for limit in LIMITS:
        found: dict[str, list[str]] = {}
        for line in table(rows, Thresholds(limit, limit, limit)):
            right, wrong = line["right %"], line["wrong %"]
            if line["test"] == "running speech":
                cell = f"{line['per hour']} an hour"
            elif line["test"] in {"commands", "numbers"}:
                cell = f"{right:.1f}/{wrong:.1f}"
            else:
                cell = f"{wrong if right is None else right:.1f}"
            found.setdefault(str(line["test"]), []).append(cell)
        yield f"{limit}: " + "; ".join(f"{test} {' '.join(found[test])}" for test in _TESTS if test in found)
    for test in ("commands", "numbers"):
        for snr in sorted({row.snr for row in rows}, reverse=True):
            why = Counter(_missed(row, LIMITS[1]) for row in rows if (row.test, row.snr) == (test, snr))
            told = ", ".join(f"{reason} {count}" for reason, count in sorted(why.items()))
            yield f"{test} at {'no noise' if snr == QUIET else f'{snr} dB'}, limit {LIMITS[1]}: {told}"


def _missed(row: Row, limit: float) -> str:
    """Return what became of a phrase."""
    meant, taken = as_meant(row.truth), as_meant(row.heard)
    if taken is not None and row.confidence >= limit:
        return "right" if taken == meant else "another phrase"
    if as_meant(row.best) == meant:
        return "right but unsure"
    if not row.best:
        return "nothing"
    return "no phrase" if as_meant(row.best) is None else "another phrase, unsure"
