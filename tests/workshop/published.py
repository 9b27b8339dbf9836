"""Files for a library: procedures as an author writes them, approved or not, and pictures that Pillow made."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image

from assistant.procedure.format.content import content_hash

ROOT = Path(__file__).parents[2]
_BASE = (ROOT / "tests" / "procedure" / "good" / "bench-check.yaml").read_text("utf-8")
_LOOK = '- {id: look, check: "Is the plate clamped to the bench?"}'


def picture(path: Path, shade: int = 10) -> Path:
    """Write a picture."""
    out = io.BytesIO()
    Image.new("RGB", (30, 20), (200, shade, 10)).save(out, "PNG")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(out.getvalue())
    return path


def procedure(
    folder: Path,
    revision: int = 1,
    *,
    ident: str = "bench-check",
    shows: str = "",
    approved: bool = True,
    more: str = "",
) -> Path:
    """Write a procedure of ``revision`` that shows the picture ``shows`` in its first step; ``more`` is a remark."""
    text = _BASE.replace("id: bench-check", f"id: {ident}").replace("revision: 1", f"revision: {revision}")
    if shows:
        text = text.replace(_LOOK, f"{_LOOK[:-1]}, picture: {shows}}}")
    text += f"# {more}\n" if more else ""
    if approved:
        stamp = content_hash(text.encode())
        text += f"approval: {{by: Alder Row training workshop, on: 2026-11-26, content: {stamp}}}\n"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{ident}.yaml"
    path.write_text(text, "utf-8")
    return path
