"""The words of facts about codes that were read."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.facts import scan
from assistant.report.record.printing import Names, prints

_FROM: Mapping[scan.ScanFrom, str] = {
    scan.ScanFrom.KEYS: "by the reader of the bay",
    scan.ScanFrom.PAGE: "by a reader at the page",
}
_DOUBTS: Mapping[scan.ScanDoubt, str] = {
    scan.ScanDoubt.LENGTH: "not as long as the number of a vehicle",
    scan.ScanDoubt.LETTER: "a letter that no number of a vehicle has",
    scan.ScanDoubt.CHECK: "its check digit is wrong",
    scan.ScanDoubt.NOT_CHECKED: "its check digit does not fit, where not every maker has one",
}
_STANDS: Mapping[scan.ToolStands, str] = {
    scan.ToolStands.CHOSEN: ", which was chosen for the bolts",
    scan.ToolStands.NOW: ", and is chosen for the bolts now",
    scan.ToolStands.CANNOT: ", which is not for the bolts",
    scan.ToolStands.NAMED_OTHER: "; the procedure names another one",
    scan.ToolStands.NO_BOLTS: "",
}


@prints(scan.Scanned)
def _scanned(fact: scan.Scanned, _: Names) -> str:
    meant = ", ".join(fact.names) or "known" if fact.what is not scan.ScanWhat.UNKNOWN else "not known"
    doubt = f"; {_DOUBTS[fact.doubt]}" if fact.doubt else ""
    return f"code read {_FROM[fact.source]}: {fact.text} ({fact.what.value}: {meant}{doubt})"


@prints(scan.ToolTaken)
def _tool(fact: scan.ToolTaken, _: Names) -> str:
    return f"tool {fact.tool} taken by its label{_STANDS[fact.stands]}"


@prints(scan.PartHere)
def _part(fact: scan.PartHere, _: Names) -> str:
    return f"{fact.item} is here, by its code"


@prints(scan.MachineSeen)
def _machine(fact: scan.MachineSeen, _: Names) -> str:
    return "the machine is that of the job" if fact.same else "another machine than that of the job"


@prints(scan.CardScanned)
def _card(fact: scan.CardScanned, _: Names) -> str:
    order = f"order {fact.order}" if fact.order else "the machine"
    return f"begun by {order}, a code read {_FROM[fact.source]}, which gave: {', '.join(fact.fields) or 'nothing more'}"
