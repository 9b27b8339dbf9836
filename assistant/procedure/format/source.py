"""The bytes of a procedure file: may they be read, are they text, and of what characters."""

from __future__ import annotations

from pathlib import Path

from assistant.files import FileFault, read_file, too_long
from assistant.procedure.findings import At, Findings, ReadingRule

MOST_BYTES = 1_000_000
"""A procedure of 500 steps has about 200,000."""

_BYTE_ORDER_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)
# Line ends that editors do not count, marks that turn text round on the screen, and spaces of no width.
_INVISIBLE = frozenset("\x85\u2028\u2029\ufeff\u200b\u200e\u200f\u2060" + "\u202a\u202b\u202c\u202d\u202e"
                       + "\u2066\u2067\u2068\u2069")  # fmt: skip


def read_bytes(path: Path, findings: Findings) -> bytes | None:
    """Read a file of at most a megabyte; None when that cannot be done, and then there is a finding."""
    data = read_file(path, MOST_BYTES, f"a {findings.what} file")
    if isinstance(data, FileFault):
        findings.add(At(), ReadingRule.FILE_SIZE if data.too_long else ReadingRule.FILE, data.reason, data.advice)
        return None
    return data


def decode(data: bytes, findings: Findings) -> str | None:
    """Turn bytes into text; None when they are no text that can be read, and then there is a finding with its line."""
    if len(data) > MOST_BYTES:
        fault = too_long("The file", MOST_BYTES, f"a {findings.what} file")
        findings.add(At(), ReadingRule.FILE_SIZE, fault.reason, fault.advice)
        return None
    for mark, name in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            findings.add(At(), ReadingRule.ENCODING, f"The file is {name}", "save it as UTF-8")
            return None
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        place = _place(data[: fault.start].decode("utf-8"))
        wrong, hint = f"The byte {data[fault.start]:#04x} is not UTF-8 text", "save the file as UTF-8"
        findings.add(place, ReadingRule.ENCODING, wrong, hint)
        return None
    return text if _visible(text, findings) else None


def is_control(letter: str) -> bool:
    """Return whether ``letter`` cannot be seen or said: a control character, or an invisible one."""
    code = ord(letter)
    return (
        code < 0x20
        or 0x7F <= code < 0xA0
        or 0xD800 <= code < 0xE000
        or code in {0xFFFE, 0xFFFF}
        or letter in _INVISIBLE
    )


def _visible(text: str, findings: Findings) -> bool:
    """Return whether all characters may stand in a file; otherwise complain about the first, with its place."""
    wrong = sorted(letter for letter in set(text) if is_control(letter) and letter not in "\t\n\r")
    if not wrong:
        return True
    first = min(text.index(letter) for letter in wrong)
    place = _place(text[:first])
    if text[first] == "\0":
        findings.add(place, ReadingRule.CHARACTERS, "There is a NUL byte here", "this is not a text file")
    else:
        what, hint = f"The character U+{ord(text[first]):04X} cannot be seen here", "delete it"
        findings.add(place, ReadingRule.CHARACTERS, what, hint)
    return False


def _place(before: str) -> At:
    """Return the place that follows the text ``before``."""
    before = before.replace("\r\n", "\n").replace("\r", "\n")
    return At(before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
