"""A golden journal of what can be asked for. All names are invented."""

from __future__ import annotations

from decimal import Decimal

from assistant.events import Clarity, Source
from assistant.facts.asking import Asked
from assistant.facts.base import Quantity
from assistant.facts.inputs import Understood
from assistant.facts.kinds.reading import AskUnsureReading
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


def unsure_reading(bay: Maker) -> None:
    """A reading that was not heard surely waits for "confirmed" when the job breaks off; it is read again later."""
    asking = ROOT / "tests/typed/procedures/asking.yaml"
    bay.rehearse(
        asking, "next\nnext\nnext\nnext\nnext\nconfirmed", "--operator", "R. Holm", begin="2026-11-24T08:00", tools=True
    )
    said, reading = 1_795_507_245_000, Decimal("0.2")
    bay.append(
        Understood(
            source=Source.VOICE, clarity=Clarity.PHRASE, confidence=Decimal("0.820"), started_ms=said - 1600,
            ended_ms=said, intent="reading", number=reading,
        ),
        Asked(question=AskUnsureReading(step="gap", reading=Quantity(reading, "mm")), at_ms=said),
    )  # fmt: skip
    bay.rehearse(
        asking,
        """
        reading zero point two
        what was the reading
        finish job
        "the pump is wanted elsewhere"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-11-24T08:30", tools=True,
    )  # fmt: skip


def like_numbers(bay: Maker) -> None:
    """A number of bolts that sounds like the right one: its question is open when the job breaks off."""
    lids = ROOT / "tests/typed/procedures/two-lids.yaml"
    begun = "\n".join(["next"] * 6 + ["count six", "count five"])
    bay.rehearse(lids, begun, "--operator", "R. Holm", begin="2026-11-25T08:00")
    bay.rehearse(
        lids,
        """
        count five
        cancel
        count five
        confirmed
        count four
        finish job
        "the pump is wanted elsewhere"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-11-25T08:30",
    )  # fmt: skip
