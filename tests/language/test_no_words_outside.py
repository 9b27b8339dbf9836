"""No word that is spoken or recognised stands outside of the language room.

What English says and understands is taken from its own modules: every text in them of four words or more, every fixed
sentence, every phrase. No other room may have one of them among its texts. Left out are phrases of one word, which are
names as well ("next", "count"), and what only a reader sees.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import assistant
from assistant.language.en import ENGLISH
from assistant.language.sentence import Sentence
from assistant.session.intents import INTENTS

ROOM = Path(assistant.__file__).parent
READ = {
    "authoring/tables/": "names of columns in tables of others",
    "caution.py": "the standing caution, which speech, papers and help share word for word",
    "cli/": "help and printed answers, which are read",
    "display/": "words of the page, which are read; what can be said there comes from the language",
    "fastening/": "reasons and advice of faults, which are printed; what is said of one is made from its code",
    "report/": "papers, which are read",
    "service/shop/": "what the programs of a workshop that is tried out are called, which is printed",
    "session/diagram.py": "pages of the docs",
    "terminal/": "meanings of exit codes, which are printed",
}
"""Where texts are only read, and why."""
_LEAST = 4
"""Words of a text that is looked for inside of others; fewer are found in any English."""


def texts(path: Path) -> Iterator[tuple[int, str]]:
    """Yield every text in a module with its line, but docstrings."""
    tree = ast.parse(path.read_text("utf-8"))
    bare = {id(one.value) for one in ast.walk(tree) if isinstance(one, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in bare:
            yield node.lineno, " ".join(node.value.lower().split())


def said() -> set[str]:
    """Return what English says, as far as it stands in its modules as a text of its own."""
    found = {text for path in (ROOM / "language/en").glob("*.py") for _, text in texts(path)}
    found |= {ENGLISH.talk.text(sentence).lower() for sentence in Sentence}
    plain = {text.strip(" .,:;?") for text in found if re.fullmatch(r"[a-z ,.:;'?-]+", text)}
    return {text for text in plain if len(text.split()) >= _LEAST}


def phrases() -> set[str]:
    """Return the phrases of more than one word."""
    return {phrase for intent in INTENTS for phrase in ENGLISH.phrases.phrases(intent.name) if " " in phrase}


def holds(text: str, sentence: str) -> bool:
    """Return whether ``text`` has ``sentence`` in it, as whole words."""
    return sentence in text and re.search(rf"\b{re.escape(sentence)}\b", text) is not None


def outside() -> Iterator[tuple[str, str]]:
    """Yield every text of the other rooms, with its place."""
    for path in sorted(ROOM.rglob("*.py")):
        name = path.relative_to(ROOM).as_posix()
        if not name.startswith(("language/", *READ)):
            yield from ((f"{name}:{line}", text) for line, text in texts(path))


def test_nothing_that_is_spoken_stands_in_another_room() -> None:
    sentences = said()
    assert len(sentences) > 200
    found = [f"{place}: {one!r}" for place, text in outside() for one in sentences if holds(text, one)]
    assert found == []


def test_nothing_that_is_recognised_stands_in_another_room() -> None:
    """A phrase alone, behind "say" or "type", or two in a list."""
    known = phrases()
    assert len(known) > 60
    found = []
    for place, text in outside():
        parts = {part.strip(" .'\"") for part in re.split(r",|\bor\b", text)} & known
        told = {text.strip(" .'\""), re.sub(r".*\b(?:say|type):? ", "", text).strip(" .'\"")} & known
        found += [f"{place}: {one!r}" for one in told | (parts if len(parts) > 1 else set())]
    assert found == []


def test_what_is_left_out_is_there() -> None:
    assert all((ROOM / name).exists() for name in READ)
