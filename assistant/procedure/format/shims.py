"""The shims of a table of readings, and those of a pack, as they stand in a file: what can be had, what is in hand."""

from __future__ import annotations

from assistant.advice.thickness import parse_thicknesses
from assistant.procedure.format.base import Key
from assistant.procedure.format.codecs import Value
from assistant.procedure.format.forms import LENGTH, LIMITS, matching
from assistant.procedure.format.records import KeyTable, makes, must
from assistant.procedure.format.rows import CALLED
from assistant.procedure.packs import PackStock, parse_ratio, parse_uncertainty, written_ratio, written_uncertainty
from assistant.procedure.rows import ShimStock

_ITEM = r"\d+(?:\.\d+)?(?:\s*(?:mm|in|inch|inches))?(?:\s*[x×]\s*\d+)?(?:\s*(?:mm|in|inch|inches))?"
_SERIES = r"\d+(?:\.\d+)?\s*(?:to|-|–)\s*\d+(?:\.\d+)?\s*by\s*\d+(?:\.\d+)?\s*(?:mm|in|inch|inches)"
THICKNESSES = Value(
    "thicknesses", parse_thicknesses, str,
    matching(rf"{_SERIES}|{_ITEM}(?:\s*,\s*{_ITEM})*", "2.00 to 3.20 by 0.05 mm", "2.45, 2.60 x 2 mm"),
    "thicknesses, such as 2.00 to 3.20 by 0.05 mm, or 2.45, 2.60 x 2 mm",
)  # fmt: skip
SHIM_GAUGE = Key(
    "shim gauge", LENGTH, "The uncertainty of the thickness of a shim, as it is marked or measured; without it, none "
    "comes to that of the gauge.", "shim_gauge",
)  # fmt: skip
SHIM_KIND = Key(
    "kind", CALLED, "What kind of shims they are, as the list of the box of the bay calls it; without it, those "
    "without a kind are taken.",
)  # fmt: skip
SHIMS = KeyTable(
    "shims",
    (
        must("sizes", THICKNESSES, "The sizes that can be bought."),
        Key("box", THICKNESSES, "The shims in hand, taken before one is bought."),
        Key("gauge", LENGTH, "The uncertainty with which the clearance is measured; without it, one is assumed."),
        SHIM_GAUGE,
        SHIM_KIND,
    ),
    makes(ShimStock),
    example="sizes: 2.00 to 3.20 by 0.05 mm, box: 2.45 mm",
)  # fmt: skip
_UNCERTAINTY = Value(
    "uncertainty", parse_uncertainty, written_uncertainty,
    matching(r"\d+(?:\.\d+)?\s*[^\s\d].*", "0.01 mm", "0.1 N·m"), "uncertainty, such as 0.01 mm",
)  # fmt: skip
_RATIO = Value(
    "ratio", parse_ratio, written_ratio,
    {"anyOf": [{"type": "number"}, matching(r"-?\d+(?:\.\d+)?(?:\s*/\s*\d+)?", "-1", "0.6", "3/5")]},
    "number, such as -1 or 0.6",
)  # fmt: skip
PACK = KeyTable(
    "pack",
    (
        must("for", CALLED, "What the pack is of, as it is called aloud: shaft.", "name"),
        must("shims", THICKNESSES, "The shims in hand: 0.10 x 4, 0.25 x 2 mm."),
        must("ratio", _RATIO, "Change of the play for a change of the pack, below zero where a thicker pack makes less "
             "of it; of a drag, for each millimetre of the pack. It is never guessed."),
        Key("fitted", THICKNESSES, "The pack with which it is measured; none without it."),
        Key("wanted", LIMITS, "The play that is wanted, where it is measured with a pack for trial; a preload is a "
            "play below zero. Without it, it is the limits of the reading."),
        Key("gauge", _UNCERTAINTY, "The uncertainty of the reading, in its unit; without it, that of a gauge is "
            "assumed for a length, and none for a drag."),
        SHIM_GAUGE,
        SHIM_KIND,
    ),
    makes(PackStock),
    example="for: shaft, shims: 0.10 x 4 mm, ratio: -1",
)  # fmt: skip
