"""The golden job with second persons who have a time of their own, and with a finding that was given one."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.bay import AnswerCollected
from assistant.facts.customer import CustomerAnswered, PriceShown
from assistant.facts.extra import Severity
from assistant.report.shown import shown_sha256
from tests.jobs import ROOT
from tests.journal.golden.maker import Maker

_TANK = ROOT / "tests/typed/procedures/gated-tank.yaml"


def helping_hands(bay: Maker) -> None:
    """One helps and leaves, one witnesses a gate; a finding has its minutes, is granted at a desk, begun and left."""
    bay.rehearse(
        _TANK,
        """
        next
        next
        operator two helps
        +10 min
        next
        next
        +5 min
        next
        +2 min
        yes
        operator one
        +40 s
        i have seen it
        operator two leaves
        somebody helps
        operator one helps
        pause
        +30 min
        carry on
        i found something
        "the seal weeps on the left"
        end note
        before it runs
        confirmed
        it takes twenty minutes
        pause
        """,
        "--operator", "A. Reed, Ben Fisher, C. Hall", "--asset", "Stand 2",
        begin="2026-12-01T08:00",
    )  # fmt: skip
    price, text = PriceShown(Decimal("40.00"), Decimal("55.50"), "EUR"), "the seal weeps on the left"
    answered_ms = 1_796_115_600_000
    shown = shown_sha256(1, "", text, Severity.BEFORE_RUNNING, Decimal(20), price)
    bay.append(
        CustomerAnswered(
            work="finding:1", number=1, granted=True, price=price, at_ms=answered_ms, shown_sha256=shown
        ),
        AnswerCollected(note="answer-1796115600000-0123456789abcdef", kept_ms=answered_ms),
    )  # fmt: skip
    bay.rehearse(
        _TANK,
        """
        carry on
        +20 s
        hours so far
        start extra work one
        +7 min
        back to the job
        +1 min
        start extra work one
        +8 min
        extra work one is done
        confirmed
        operator one leaves
        hours so far
        release the gate
        operator two
        "the gauge is away"
        end note
        i release it
        """,
        "--job", "last",
        begin="2026-12-01T10:00",
    )  # fmt: skip


def helpers_taken_back(bay: Maker) -> None:
    """One is said to help who does not, and one to have left who has not: both words are taken back."""
    bay.rehearse(
        _TANK,
        """
        next
        operator two helps
        +5 min
        take that back
        confirmed
        operator one helps
        +10 min
        operator one leaves
        +2 min
        take that back
        confirmed
        next
        hours so far
        pause
        """,
        "--operator", "A. Reed, Ben Fisher, C. Hall", "--asset", "Stand 2",
        begin="2026-12-03T08:00",
    )  # fmt: skip


HELPERS = {"helping-hands": helping_hands, "helpers-taken-back": helpers_taken_back}
