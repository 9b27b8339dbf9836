"""How the golden journals were made: whole jobs, by typed rehearsals through the command. All names are invented.

A journal that is there is never made anew: what a later version writes is another one. So it does no harm when what is
said here is not understood one day; it stays as the story of what the journals hold.
"""

from __future__ import annotations

from collections.abc import Callable

from assistant.events import End, Then
from assistant.facts.bay import AudioKept, DeviceBack, DeviceLost, EndedBy, Interrupted, LostWhy, PartFailed, SoundLost
from assistant.facts.inputs import Start
from assistant.journal.opening import open_journal
from tests.jobs import ROOT, work
from tests.journal.golden.maker import Maker
from tests.journal.golden.making_asked import feed_pump, few_words, like_numbers, unsure_reading
from tests.journal.golden.making_back import BACK
from tests.journal.golden.making_branches import lid_and_rail
from tests.journal.golden.making_customer import CUSTOMER
from tests.journal.golden.making_detours import lid_around
from tests.journal.golden.making_gates import GATES
from tests.journal.golden.making_helpers import HELPERS
from tests.journal.golden.making_judged import free_lengths, read_bolts, read_joint, retighten
from tests.journal.golden.making_notes import NOTES
from tests.journal.golden.making_nut import hub_nut
from tests.journal.golden.making_packs import found_pack, packs, shims_in_hand
from tests.journal.golden.making_phone import PHONE
from tests.journal.golden.making_photos import PHOTOS
from tests.journal.golden.making_scans import SCANS
from tests.journal.golden.making_shims import shims
from tests.journal.golden.making_tables import table
from tests.journal.golden.making_troubles import broken_bolts
from tests.journal.golden.making_withdrawn import WITHDRAWN


def pump_cover(bay: Maker) -> None:
    """No tool file: missing things, counts, timers, people, notes; closed with much open."""
    bay.rehearse(
        ROOT / "procedures/coolant-pump-cover.yaml",
        """
        (mumbles)
        skip this
        "the stand was looked at yesterday"
        end note
        confirmed
        next
        missing
        missing
        next
        missing
        next
        next
        item found
        confirmed
        cancel
        next
        next
        confirmed
        "the scraper comes at noon"
        end note
        confirmed
        next
        confirmed
        (after 1 s) confirmed
        (key, after 2 s) what is left
        confirmed
        where am i
        go back
        confirmed
        yes
        next
        count three
        count four
        (key) count one
        confirmed
        "one broke off"
        end note
        confirmed
        problem
        "a stud is broken off in the block"
        end note
        take a note
        "the gasket was glued"
        +3 min
        pause
        +5 min
        carry on
        next
        confirmed
        next
        start timer
        clock +1 h
        confirmed
        next
        confirmed
        "they are dry already"
        end note
        where am i
        confirmed
        reading zero point two
        confirmed
        "the foreman agreed"
        end note
        confirmed
        hand over
        confirmed
        take over
        count zero
        confirmed
        "the old one goes in again"
        end note
        confirmed
        (pedal) next
        count four
        count two
        next
        skip this
        "their heads are round"
        end note
        confirmed
        next
        next
        next
        next
        next
        next
        no
        confirmed
        "it drips on purpose"
        end note
        confirmed
        yes
        finish job
        confirmed
        "the engine is scrap"
        end note
        +40 s
        finish job
        "the engine is scrap"
        end note
        confirmed
        """,
        "--operator", "A. Reed, B. Stone", "--asset", "Engine 4", "--customer", "Order 1187", "--meter", "1200h",
        begin="2026-11-16T08:00",
    )  # fmt: skip


def side_cover(bay: Maker) -> None:
    """A tool file, readings at bolts, new bolts in the place of turned ones, other units; closed with nothing open."""
    bay.rehearse(
        ROOT / "procedures/gearbox-side-cover.yaml",
        """
        next
        next
        next
        next
        next
        confirmed
        count twelve
        count two
        next
        count one
        next
        count twelve
        count two
        use pound feet
        next
        use newton metres
        next
        next
        one by one
        reading twenty four point one
        reading twenty seven
        next
        tighten again
        reading twenty one
        take a note
        "the wrench slipped"
        end note
        confirmed
        reading thirty
        replace the bolt
        confirmed
        all together
        next
        next
        next
        next
        next
        next
        next
        +1 h
        repeat step
        one by one
        reading ninety
        tighten again
        confirmed
        confirmed
        next
        next
        all together
        next
        yes
        yes
        finish job
        confirmed
        """,
        "--operator", "A. Reed",
        begin="2026-11-17T08:00", tools=True,
    )  # fmt: skip


def hub_drive(bay: Maker) -> None:
    """A long job with a tool file, left open in the middle of the second stage; taken up again with other tools."""
    procedure = ROOT / "procedures/hub-drive-reseal.yaml"
    bay.rehearse(
        procedure,
        """
        next
        next
        next
        next
        next
        next
        next
        next
        next
        confirmed
        confirmed
        yes
        next
        confirmed
        next
        yes
        confirmed
        next
        yes
        confirmed
        start timer
        +25 min
        next
        yes
        confirmed
        next
        yes
        count ten
        next
        next
        count one
        yes
        count one
        count one
        next
        next
        next
        count nine
        count two
        next
        confirmed
        next
        confirmed
        next
        next
        yes
        count three
        next
        next
        yes
        count one
        next
        reading zero point zero eight
        """,
        "--operator", "A. Reed, C. Hall", "--asset", "Loader 2",
        begin="2026-11-18T08:00", tools=True,
    )  # fmt: skip
    bay.append(Interrupted(by=EndedBy.SIGNAL))
    bay.rehearse(
        procedure,
        """
        next
        confirmed
        next
        confirmed
        next
        start timer
        +4 min
        next
        yes
        next
        count three
        confirmed
        next
        next
        next
        next
        confirmed
        next
        confirmed
        next
        skip this
        "the hoist is in use"
        end note
        confirmed
        go back
        +13 min
        confirmed
        next
        confirmed
        "the bead is soft all the same"
        end note
        confirmed
        next
        count two
        count nine
        next
        skip this
        "the wrench is with the other shift"
        end note
        confirmed
        next
        next
        next
        next
        pause
        """,
        "--job", "last", "--operator", "C. Hall",
        begin="2026-11-18T13:00", tools=True,
    )  # fmt: skip
    bay.rehearse(
        procedure,
        """
        carry on
        where am i
        """,
        "--job", "last",
        begin="2026-11-19T08:00",
    )  # fmt: skip


def cap(bay: Maker) -> None:
    """A small job with all that the bay writes about itself; corrected, added to, and its personal data forgotten."""
    with open_journal(bay.home) as journal:
        work(
            journal, ROOT / "tests/typed/procedures/cure.yaml", start_s=1_795_075_200.0, operator="D. Moss",
            asset="Housing 9", customer="Order 1203", procedure_path="/home/moss/cure.yaml", keep_audio=True,
            start=Start("8c1f03aa", 5_000_000, 1_795_075_200_000),
        )  # fmt: skip
    bay.append(
        DeviceLost(device=End.MICROPHONE), DeviceBack(device=End.MICROPHONE), SoundLost(pieces=12, why=LostWhy.BUSY),
        AudioKept(file="audio/0007.wav"),
        PartFailed(part="voice", error="Stalled", at="adapters/pyttsx.py:88", then=Then.AGAIN),
    )  # fmt: skip
    bay.command("correct", "last", "--entry", "5", "--text", "it was the other housing", "--operator", "D. Moss")
    bay.command("supply", "last", "sealant", "--batch", "B 77", "--expires", "2027-01-31")
    bay.command("meter", "last", "1203.5h")
    bay.command("forget", "last", "--yes")


JOBS: dict[str, Callable[[Maker], None]] = {
    "pump-cover": pump_cover,
    "side-cover": side_cover,
    "hub-drive": hub_drive,
    "hub-nut": hub_nut,
    "cap": cap,
    "few-words": few_words,
    "lid-and-rail": lid_and_rail,
    "feed-pump": feed_pump,
    "unsure-reading": unsure_reading,
    "like-numbers": like_numbers,
    "table": table,
    "shims": shims,
    "packs": packs,
    "found-pack": found_pack,
    "shims-in-hand": shims_in_hand,
    **BACK,
    "lid-around": lid_around,
    "broken-bolts": broken_bolts,
    **GATES,
    **CUSTOMER,
    **HELPERS,
    **NOTES,
    **PHONE,
    "free-lengths": free_lengths,
    "read-bolts": read_bolts,
    "read-joint": read_joint,
    "retighten": retighten,
    **PHOTOS,
    **SCANS,
    **WITHDRAWN,
}
"""The golden journals of format 1, by the name of their file."""
