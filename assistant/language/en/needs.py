"""Tools, supplies and new parts that a command speaks of."""

from __future__ import annotations

import re

from assistant.language.en.parts import first_thing, stem, stems, things, things_after
from assistant.language.en.wording import word_set
from assistant.language.values import Thing

_FLUIDS = word_set("oil coolant antifreeze fluid grease refrigerant lubricant")
_TOOLS = word_set(
    "wrench spanner ratchet socket screwdriver pliers puller hammer mallet scraper wedge lever gauge driver drift jack "
    "hoist crane holder compressor vice caliper micrometer lamp mirror brush funnel syringe tester multimeter "
    "thermometer edge tool extractor stethoscope crowbar protractor"
)
_SUPPLIES = word_set(
    "oil grease sealant sealer cleaner solvent coolant antifreeze threadlocker threadlock fluid rag cloth tape "
    "lubricant degreaser thinner"
)
_WITH = re.compile(r"\b(?:with|using|and)\s+(?:the|a|an)\s+")
_TOOL_ALONE = re.compile(
    r"\b(?:torque wrench|feeler gauge|dial gauge|angle gauge|straight edge|axle stand|spring compressor)"
)
_APPLY = re.compile(
    r"\b(?:apply|fill in|fill|top up|pour in|pour|spread|smear|spray|brush on)\s+(?:the\s+|a\s+|an\s+|in\s+)?"
    r"|\b(?:wet|wipe|clean|coat|fill|grease|lubricate|wash|oil|dry|cover|dip)\b[^.,;]*?\b(?:with|in)\s+(?:the\s+|a\s+)?"
    r"|\b(?:bead|film|coat|drop|layer)\s+of\s+"
)
_NEW = re.compile(r"\bnew\s+")


def tools_used(text: str) -> list[Thing]:
    low = text.lower()
    found = [one for one in things_after(_WITH, low) if one.head in _TOOLS]
    alone = (one for match in _TOOL_ALONE.finditer(low) for one in things(low[match.start() : match.end()]))
    return found + list(alone)


def supplies_used(text: str) -> list[Thing]:
    return [one for one in things_after(_APPLY, text.lower()) if one.head in _SUPPLIES]


def new_parts(text: str) -> list[Thing]:
    return list(things_after(_NEW, text.lower()))


def is_listed(one: Thing, name: str) -> bool:
    return one.head in stems(name)


def is_item(part: Thing, name: str) -> bool:
    named = first_thing(name)
    return named is not None and named.head == part.head and part.more - {"old"} <= named.more


def is_fluid(name: str) -> bool:
    words = name.lower().split()
    return bool(words) and stem(words[-1]) in _FLUIDS


def is_multiplier(name: str) -> bool:
    return "multiplier" in name.lower()


def is_wrench(name: str) -> bool:
    return "wrench" in name.lower() and not is_multiplier(name)
