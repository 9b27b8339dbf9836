"""Whether browsers of November 2021 know what the pages use, by the compatibility data that MDN publishes.

Chrome 96 (2021-11-15), Firefox 94 (2021-11-02) and Safari 15.1 (2021-10-25) were the newest then. The rows of
``support.json`` come from the package that stands on its first line; whatever the pages begin to use needs a row there.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import tinycss2

from assistant.display.pages import HERE

NEWEST_OF_2021 = ((96,), (94,), (15, 1))
SUPPORT = json.loads((Path(__file__).parent / "support.json").read_text("utf-8"))
SPARE = {
    "property appearance": "the name with a prefix stands beside it",
    "property print-color-adjust": "the name with a prefix stands beside it",
    "property color-scheme": "only the browser's own parts (scroll bars) stay light; the page has its own colours",
    "property forced-color-adjust": "the marks keep their shapes and words",
    "media forced-colors": "no forced colours there, and no rules for them",
    "property paint-order": "drawings, where the page has it, know it from Chrome 35; the row is of other letters",
    "property outline": "it is drawn, but does not follow round corners",
    "property text-size-adjust": "it only keeps phones from enlarging text by themselves",
    "selector focus-visible": "the browser's own ring shows the focus; the rules take nothing away",
}
"""What the page can do without, and why."""
OWN = {
    "shape",
    "turn",
    "percent",
    "text",
    "chart",
    "runs",
    "entry",
    "draw",
    "choose",
    "arm",
    "disarm",
    "enable",
    "listen",
    "give",
    "take",
    "process",
}
"""Functions of looks.js, bolts.js, handing.js, photos.js, idle.js, keys.js and headset-worklet.js, all of static/."""
_PLAIN = "headset.js asks for it first, and sends plain samples where it is missing"
_AWAKE = "headset.js asks for it first; without it the phone's own settings keep it awake"
SPARE_CALLS = {
    **dict.fromkeys(
        ("AudioData", "AudioDecoder", "AudioEncoder", "EncodedAudioChunk", "configure", "copyTo", "decode", "encode",
         "isConfigSupported"), _PLAIN,
    ),
    "release": _AWAKE,
    "request": _AWAKE,
}  # fmt: skip
"""What the headset can do without, and why."""


def stylesheet_uses() -> set[tuple[str, str]]:
    """Return (kind, name) of every property, at-rule, media feature, pseudo-class and function of the style sheets."""
    used: set[tuple[str, str]] = set()
    for path in sorted((HERE / "static").glob("*.css")):
        used |= set(_rules(tinycss2.parse_stylesheet(path.read_text("utf-8"), True, True)))
    return used


def _rules(nodes: Iterable[tinycss2.ast.Node]) -> Iterator[tuple[str, str]]:
    for node in nodes:
        if node.type == "at-rule":
            yield "at-rule", node.at_keyword
            yield from (("media", one.content[0].value) for one in node.prelude if one.type == "() block")
            yield from _rules(tinycss2.parse_rule_list(node.content, True, True))
            continue
        assert node.type == "qualified-rule", node
        yield from (("selector", name) for name in _pseudo(tinycss2.serialize(node.prelude)))
        for one in tinycss2.parse_declaration_list(node.content, True, True):
            assert one.type == "declaration", one
            if not one.name.startswith(("--", "-webkit-", "-moz-")):
                yield "property", one.name
            yield from _functions(one.value)


def _pseudo(selector: str) -> list[str]:
    return [name for name in re.findall(r"::?([a-z-]+)", selector) if not name.startswith("-")]


def _functions(values: Iterable[tinycss2.ast.Node]) -> Iterator[tuple[str, str]]:
    for value in values:
        if value.type == "function":
            yield "function", value.name
            yield from _functions(value.arguments)


def script_uses() -> set[str]:
    """Return the names that the scripts call of anything, and of the window."""
    text = "".join(path.read_text("utf-8") for path in sorted((HERE / "static").glob("*.js")))
    code = re.sub(r"//[^\n]*|/\*.*?\*/", "", text)
    called = set(re.findall(r"\.([A-Za-z]+)\(", code)) - OWN
    own = set(re.findall(r"function (\w+)\(", code))
    plain = set(re.findall(r"(?<![.\w])([A-Za-z]+)\(", code)) - own
    own |= {"make", "isGood", "done", "failed", "scan", "pressed"}  # what is handed over
    return called | (plain - own - OWN - {"function", "if", "catch", "String", "Number", "Boolean", "parseFloat"})


def known_in_2021(versions: list[str | None]) -> bool:
    """Return whether all three browsers had it."""
    return all(
        version is not None and tuple(map(int, version.split("."))) <= newest
        for version, newest in zip(versions, NEWEST_OF_2021, strict=True)
    )


def test_every_style_is_known_to_browsers_of_2021():
    used = {f"{kind} {name}" for kind, name in stylesheet_uses()}
    assert used == SUPPORT["css"].keys(), "support.json tells of other styles than the pages have"
    assert {name for name in used if not known_in_2021(SUPPORT["css"][name])} == set(SPARE)


def test_every_script_is_known_to_browsers_of_2021():
    used = script_uses()
    assert used == SUPPORT["js"].keys(), "support.json tells of other functions than the scripts call"
    assert {name for name in used if not known_in_2021(SUPPORT["js"][name])} == set(SPARE_CALLS)
