"""Draws recall and false accepts over SNR, with their intervals."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from matplotlib.figure import Figure

from assistant.hearing.score import Share, SnrRow
from assistant.terminal.exits import Exit, Refusal

_SERIES = (("recall", "heard right", "#0b6e4f", "o"), ("wrong", "taken for another", "#b3261e", "s"),
           ("false_accept", "other sounds accepted", "#7a4fb5", "^"))  # fmt: skip


def draw(rows: Sequence[SnrRow], title: str, path: Path) -> None:
    """Write a picture of ``rows`` to ``path``; the ending of its name says which kind.

    Raises:
        Refusal: it cannot be written.
    """
    figure = Figure(figsize=(7.5, 4.6), layout="constrained")
    axes = figure.subplots()
    places = range(len(rows))
    for name, label, colour, mark in _SERIES:
        shares: list[Share] = [getattr(row, name) for row in rows]
        drawn = [(place, share) for place, share in zip(places, shares, strict=True) if share.trials]
        if not drawn:
            continue
        at = [place for place, _ in drawn]
        values = [100 * share.hits / share.trials for _, share in drawn]
        low = [value - 100 * share.interval[0] for value, (_, share) in zip(values, drawn, strict=True)]
        high = [100 * share.interval[1] - value for value, (_, share) in zip(values, drawn, strict=True)]
        axes.errorbar(at, values, yerr=(low, high), color=colour, marker=mark, capsize=3, label=label)
        for place, value in zip(at, values, strict=True):
            axes.annotate(f"{value:.1f}", (place, value), (7, 5), textcoords="offset points", fontsize=8)
    axes.set_xticks(list(places), ["no noise" if row.snr is None else f"{row.snr:g} dB" for row in rows])
    axes.set_ylim(-2, 106)
    axes.set_yticks(range(0, 101, 20))
    axes.set_ylabel("share of recordings [%], with 95 % intervals")
    axes.set_xlabel("level of the recording over that of the noise")
    axes.set_title(title, fontsize=10)
    axes.grid(axis="y", alpha=0.3)
    figure.legend(loc="outside lower center", ncols=3, frameon=False)
    try:
        figure.savefig(path, dpi=150)
    except OSError as fault:
        raise Refusal(f"The picture cannot be written to {path} ({fault.strerror}).", Exit.USAGE) from fault
