"""A golden journal of what can be asked for. All names are invented."""

from __future__ import annotations

from assistant.facts.reminders import TimesKnown
from tests.jobs import ROOT
from tests.journal.golden.maker import Maker


def feed_pump(bay: Maker) -> None:
    """What can be asked for: reminders that are told, dropped and run on, names of bolts, times of earlier jobs."""
    bay.rehearse(
        ROOT / "tests/typed/procedures/asking.yaml",
        """
        where are the long bolts
        next
        next
        next
        remind me in three minutes
        next
        why
        confirmed
        +4 min
        (mumbles) what time is this
        what time is it
        """,
        "--operator", "F. Lund",
        begin="2026-11-23T08:00", tools=True,
    )  # fmt: skip
    bay.append(TimesKnown(own={"open": 200, "heat": 640}, own_jobs=1, bay={"open": 220, "seat": 95}, bay_jobs=3))
    bay.rehearse(
        ROOT / "tests/typed/procedures/asking.yaml",
        """
        when are we done
        remind me in one minute
        remind me in twenty minutes
        do not remind me
        reading zero point two
        what was the reading
        next
        +20 min
        next
        why
        next
        next
        what was the last torque
        next
        remind me in forty minutes
        finish job
        "the pump is wanted elsewhere"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-11-23T08:30", tools=True,
    )  # fmt: skip


def few_words(bay: Maker) -> None:
    """A small job in which somebody wants every word, and then few."""
    bay.rehearse(
        ROOT / "tests/procedure/good/bench-check.yaml",
        """
        full
        short
        as usual
        finish job
        "the practice ends here"
        end note
        confirmed
        """,
        begin="2026-11-27T08:00",
    )  # fmt: skip
