"""What a code that was read in a job is taken for: a tool of the bay, a thing of the preparation, or the machine."""

from __future__ import annotations

from assistant.facts.scan import ScanDoubt, ScanFrom, Scanned, ScanWhat
from assistant.procedure.model import Item
from assistant.scan.meaning import (
    CodeMeaning,
    Known,
    MachineScanned,
    Named,
    OrderScanned,
    PartScanned,
    Several,
    ToolScanned,
    Unknown,
    meaning_of,
)
from assistant.scan.order_list import code_key
from assistant.scan.vin import Vin
from assistant.session.here import Here
from assistant.session.places import CardPlace
from assistant.session.state import ThingKey

_LEAST_IN_NAME = 6
"""Letters and digits [count] of a code that may be a part of what the machine is called."""


def understand_scan(here: Here, text: str, source: ScanFrom) -> Scanned:
    """Return the input that the code ``text`` is."""
    meant = _one_part(here, meaning_of(text, known_here(here)))
    one = meant if not isinstance(meant, Several) else None
    names: tuple[str, ...] = ()
    if isinstance(meant, Several):
        names = tuple(name for each in meant.meant if (name := _name(each)))
    elif (name := _name(meant)) is not None:
        names = (name,)
    doubt = _doubt(one.vin) if isinstance(one, MachineScanned | Unknown) else None
    return Scanned(text=text, what=_what(meant), source=source, names=names, doubt=doubt)


def _one_part(here: Here, meant: CodeMeaning) -> CodeMeaning:
    """Return the first of several parts with one number that was not ticked off yet: they are the same part."""
    if not isinstance(meant, Several):
        return meant
    parts = [one for one in meant.meant if isinstance(one, PartScanned)]
    if len(parts) < len(meant.meant):
        return meant
    return next((one for one in parts if thing_of(here, one.part.id) not in here.state.here), parts[0])


def known_here(here: Here) -> Known:
    """Return what a code may name in the job: tools of the bay, things of the preparation, and the machine."""
    box, asset = here.box, here.state.asset
    serials = box.serials() if box else {}
    tools = tuple(Named(tool, name, (serials[tool],)) for tool, name in (box.names() if box else {}).items())
    parts = tuple(
        Named(item.id, item.name, (item.part_number,)) for item in here.job.items.values() if item.part_number
    )
    return Known(machines=(asset,) if asset else (), tools=tools, parts=parts)


def is_machine_of_job(here: Here, text: str) -> bool:
    """Return whether the code ``text`` names the machine that the job was opened for, or stands in its name."""
    key, asset = code_key(text), code_key(here.state.asset)
    return bool(asset) and (key == asset or (len(key) >= _LEAST_IN_NAME and key in asset))


def thing_of(here: Here, item: str) -> ThingKey | None:
    """Return the thing of the preparation that is the item with the id ``item``; None where it stands on no card."""
    for place in here.job.places:
        for number, thing in enumerate(place.things, 1) if isinstance(place, CardPlace) else ():
            if isinstance(thing, Item) and thing.id == item:
                return place.key, number
    return None


def _name(meant: CodeMeaning) -> str | None:
    match meant:
        case ToolScanned(tool):
            return tool.id
        case PartScanned(part):
            return part.id
    return None


def _what(meant: CodeMeaning) -> ScanWhat:
    match meant:
        case ToolScanned():
            return ScanWhat.TOOL
        case PartScanned():
            return ScanWhat.PART
        case MachineScanned():
            return ScanWhat.MACHINE
        case Several():
            return ScanWhat.SEVERAL
        case Unknown() | OrderScanned():
            return ScanWhat.UNKNOWN


def _doubt(vin: Vin | None) -> ScanDoubt | None:
    if vin is None:
        return None
    return ScanDoubt(vin.fault.value) if vin.fault else ScanDoubt.NOT_CHECKED if vin.doubted else None
