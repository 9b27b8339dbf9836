"""The shims of a table of readings as they stand in a file: what can be had, and what is in the box."""

from __future__ import annotations

from assistant.advice.thickness import parse_thicknesses
from assistant.procedure.format.base import Key
from assistant.procedure.format.codecs import Value
from assistant.procedure.format.forms import LENGTH, matching
from assistant.procedure.format.records import KeyTable, makes, must
from assistant.procedure.rows import ShimStock

_ITEM = r"\d+(?:\.\d+)?(?:\s*(?:mm|in|inch|inches))?(?:\s*[x×]\s*\d+)?(?:\s*(?:mm|in|inch|inches))?"
_SERIES = r"\d+(?:\.\d+)?\s*(?:to|-|–)\s*\d+(?:\.\d+)?\s*by\s*\d+(?:\.\d+)?\s*(?:mm|in|inch|inches)"
THICKNESSES = Value(
    "thicknesses", parse_thicknesses, str,
    matching(rf"{_SERIES}|{_ITEM}(?:\s*,\s*{_ITEM})*", "2.00 to 3.20 by 0.05 mm", "2.45, 2.60 x 2 mm"),
    "thicknesses, such as 2.00 to 3.20 by 0.05 mm, or 2.45, 2.60 x 2 mm",
)  # fmt: skip
SHIMS = KeyTable(
    "shims",
    (
        must("sizes", THICKNESSES, "The sizes that can be bought."),
        Key("box", THICKNESSES, "The shims in hand, taken before one is bought."),
        Key("gauge", LENGTH, "The uncertainty with which the clearance is measured; without it, one is assumed."),
    ),
    makes(ShimStock),
    example="sizes: 2.00 to 3.20 by 0.05 mm, box: 2.45 mm",
)  # fmt: skip
