"""A second reading of docs/journal.md, on sqlite3, json and hashlib alone: shares no code with the assistant."""

import hashlib
import json
import sqlite3
from pathlib import Path


def check(path: Path, job: str) -> list[tuple[int, str, dict]]:
    """Return (seq, kind, data) of each entry; AssertionError where the chain or a sealed field does not hold.

    ``path`` is the journal, or the data folder that it lies in.
    """
    path = path / "journal.sqlite" if path.is_dir() else path
    db = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    rows = db.execute(
        "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry WHERE job = ? ORDER BY seq", (job,)
    ).fetchall()
    said = {
        (seq, key): (salt, value)
        for seq, key, salt, value in db.execute("SELECT seq, key, salt, value FROM personal WHERE job = ?", (job,))
    }
    db.close()
    before, out = "0" * 64, []
    for number, (seq, at_ms, kind, version, cause, data, prev, own) in enumerate(rows, start=1):
        line = [job, seq, at_ms, kind, version, cause, data, prev]
        text = json.dumps(line, separators=(",", ":"), ensure_ascii=False)
        assert seq == number
        assert prev == before
        assert own == hashlib.sha256(text.encode()).hexdigest()
        before = own
        fields = json.loads(data)
        for key, sealed in fields.items():
            if isinstance(sealed, dict) and sealed.keys() == {"sealed"} and (seq, key) in said:
                salt, value = said[seq, key]
                assert sealed["sealed"] == hashlib.sha256((salt + value).encode()).hexdigest()
                fields[key] = json.loads(value)
        out.append((seq, kind, fields))
    return out
