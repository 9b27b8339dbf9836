"""Which words the assistant's own model can hear, for the rule about names that are called aloud."""

from __future__ import annotations

from functools import cache

from assistant.files import FileFault, read_file
from assistant.shipped import shipped

_WORDS = shipped("models") / "bay-en" / "graph" / "words.txt"
_MOST_BYTES = 20_000_000


@cache
def words_heard() -> frozenset[str]:
    """Return every word of the model that comes with the program; none where it cannot be read."""
    data = read_file(_WORDS, _MOST_BYTES, "the assistant's own speech model")
    if isinstance(data, FileFault):
        return frozenset()
    lines = data.decode("utf-8", errors="replace").splitlines()
    return frozenset(word for word in (line.partition(" ")[0] for line in lines) if word[:1].isalpha())
