"""A Vosk model directory on disk: where ours lies, and whether it is whole.

What the engine does with a damaged directory is not ours to choose (it may end the process), so all is looked at first.
"""

from __future__ import annotations

import difflib
import hashlib
import re
from collections.abc import Mapping
from pathlib import Path

from assistant.files import FileFault, expanded, read_file
from assistant.shipped import shipped
from assistant.voice.listening.engine_phrases import TWIN
from assistant.voice.ports import VoiceFault

OWN_MODEL = shipped("models") / "bay-en"
"""The English model that comes with the assistant."""
CHECKSUMS = "SHA256SUMS"
"""A model directory may hold this file, as sha256sum writes it; then each file named in it is checked."""
NEAR_WORDS = "conf/near-words.txt"
"""A model may list words that sound like a phrase and are none, one a line; then they can be told from it."""
_FST_MAGIC = (2_125_659_606).to_bytes(4, "little")
"""First bytes of an OpenFst file (openfst/fst.h, kFstMagicNumber)."""
_NEEDED: Mapping[str, bytes] = {
    "am/final.mdl": b"\0B",
    "conf/mfcc.conf": b"",
    "conf/model.conf": b"",
    "graph/HCLr.fst": _FST_MAGIC,
    "graph/Gr.fst": _FST_MAGIC,
}
"""Files that a model must have to take a grammar at run time, and how each begins."""
_WORDS = "graph/words.txt"
_MOST_BYTES = 20_000_000
"""The longest list of words that any model has is about five million bytes."""
_WORD = re.compile(r"[a-z][a-z']*")


def model_folder(named: str) -> Path:
    """Return where the model ``named`` in the settings lies; the assistant's own where none is."""
    return expanded(named) if named else OWN_MODEL


def check_model(folder: Path) -> None:
    """Look whether ``folder`` can be a Vosk model for command phrases.

    Raises:
        VoiceFault: it is missing, lacks a file, or a file is not what it should be; the sentence names it.
    """
    if not folder.is_dir():
        if folder == OWN_MODEL:
            raise VoiceFault(
                f"The assistant's own speech model is not in {folder}: install the program again, "
                "or name another model with --model."
            )
        raise VoiceFault(f"There is no speech model in {folder}: name a model directory with --model.")
    try:
        for name, beginning in _NEEDED.items():
            _check_file(folder, name, beginning)
        _check_sums(folder)
    except OSError as error:
        raise VoiceFault(
            f"The speech model {folder} cannot be read ({error.strerror}): check who may read it."
        ) from error


def _check_file(folder: Path, name: str, beginning: bytes) -> None:
    path = folder / name
    if not path.is_file():
        if name.startswith("graph/") and (folder / "graph/HCLG.fst").is_file():
            raise VoiceFault(
                f"The speech model {folder} has a fixed vocabulary (graph/HCLG.fst) and takes no phrases: "
                "use a model with HCLr.fst and Gr.fst."
            )
        raise VoiceFault(f"The speech model {folder} lacks {name}: copy the whole directory again.")
    with path.open("rb") as opened:
        head = opened.read(max(1, len(beginning)))
    if not head or not head.startswith(beginning):
        raise VoiceFault(f"{path} is damaged: copy the speech model again.")


def _check_sums(folder: Path) -> None:
    """Compare each file with its checksum, where the model came with a list of them."""
    listing = folder / CHECKSUMS
    if not listing.is_file():
        return
    for line in _text(listing).splitlines():
        wanted, _, name = line.partition(" ")
        path = folder / name.strip().removeprefix("*").removeprefix("./")
        if not name.strip():
            continue
        if not path.is_file():
            raise VoiceFault(f"The speech model {folder} lacks {name.strip(' *')}: copy the whole directory again.")
        with path.open("rb") as opened:
            if hashlib.file_digest(opened, "sha256").hexdigest() != wanted:
                raise VoiceFault(f"{path} is damaged or cut short: copy the speech model again.")


def _text(path: Path) -> str:
    """Return the text of a file of a model; a byte that is no UTF-8 stands as a mark that fits nothing.

    Raises:
        VoiceFault: it cannot be read, or is longer than any such file.
    """
    data = read_file(path, _MOST_BYTES, "a model directory that is whole")
    if isinstance(data, FileFault):
        raise VoiceFault(f"{data.sentence}.")
    return data.decode("utf-8", errors="replace")


def read_near_words(folder: Path) -> tuple[str, ...]:
    """Return the words that the model in ``folder`` lists as sounding like a phrase; none where it has no list.

    Raises:
        VoiceFault: the list cannot be read, or a line is not one word.
    """
    path = folder / NEAR_WORDS
    if not path.is_file():
        return ()
    words = _text(path).split("\n")
    for number, word in enumerate(words, 1):
        if word and not _WORD.fullmatch(word):
            raise VoiceFault(f"{path}, line {number} is not one word in small letters: copy the speech model again.")
    return tuple(dict.fromkeys(filter(None, words)))


def words_of(folder: Path) -> tuple[str, ...]:
    """Return the words that the model in ``folder`` can hear, where it lists them; none where it does not.

    Twins, which sound like another word and are for phrases (``engine_phrases``), are left out.
    """
    try:
        lines = _text(folder / _WORDS).splitlines()
    except VoiceFault:
        return ()
    return tuple(word for word in (line.partition(" ")[0] for line in lines) if word[:1].isalpha() and TWIN not in word)


def knows_word_order(folder: Path) -> bool:
    """Return whether the graph of words says how they follow one another.

    It does not when it has a single state, from which every word leads back to it. The number of states stands in the
    head of the file (openfst/fst.h, FstHeader: magic number, two names, version, flags, properties, start, states).
    """
    try:
        with (folder / "graph/Gr.fst").open("rb") as opened:
            opened.read(len(_FST_MAGIC))
            for _ in range(2):
                opened.read(int.from_bytes(opened.read(4), "little"))
            head = opened.read(32)
    except OSError:
        return True
    return int.from_bytes(head[24:32], "little") != 1


def near_word(word: str, known: tuple[str, ...]) -> str:
    """Return the word of ``known`` that is spelled most like ``word``; empty when none is like it."""
    return next(iter(difflib.get_close_matches(word, known, n=1, cutoff=0.7)), "")
