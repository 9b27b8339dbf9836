"""Pictures of steps: only PNG and JPEG files beside the procedure, and nothing that a name can lead to elsewhere."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from PIL import Image

from assistant.faults import Fault
from assistant.procedure.pictures import MOST_PICTURE_BYTES, Picture, parse_picture, read_picture


def made(form: str, size: tuple[int, int] = (30, 20)) -> bytes:
    """A picture that another program made (Pillow)."""
    out = io.BytesIO()
    Image.new("RGB", size, (200, 10, 10)).save(out, form)
    return out.getvalue()


@pytest.mark.parametrize(("form", "name", "media"), [("PNG", "a.png", "image/png"), ("JPEG", "a.jpeg", "image/jpeg")])
def test_a_picture_is_read_with_what_it_is(tmp_path: Path, form: str, name: str, media: str) -> None:
    (tmp_path / name).write_bytes(made(form))
    found = read_picture(tmp_path, name)
    assert isinstance(found, Picture)
    assert (found.data, found.media) == (made(form), media)


@pytest.mark.parametrize(
    "name",
    ["../a.png", "/etc/a.png", "a/b.png", "..png", ".png", "a.svg", "a.png\0", "a.png/", "C:a.png", "a b.png", "ä.png",
     "a.png\n", "x" * 200 + ".png", "~a.png", "a.PNG.exe", "%2e%2e.png"],
)  # fmt: skip
def test_a_name_is_a_file_name_and_no_way(tmp_path: Path, name: str) -> None:
    assert isinstance(parse_picture(name), Fault)
    assert isinstance(read_picture(tmp_path, name), Fault)


def test_a_link_a_folder_a_pipe_and_what_is_no_picture_are_told_in_one_line(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "secret.png").write_bytes(made("PNG"))
    (tmp_path / "link.png").symlink_to(elsewhere / "secret.png")
    (tmp_path / "folder.png").mkdir()
    os.mkfifo(tmp_path / "pipe.png")
    (tmp_path / "text.png").write_bytes(b"<svg onload=alert(1)>")
    (tmp_path / "head.png").write_bytes(made("PNG")[:20])
    (tmp_path / "head.jpg").write_bytes(made("JPEG")[:30])
    (tmp_path / "wide.png").write_bytes(made("PNG")[:16] + (99_999).to_bytes(4, "big") + made("PNG")[20:])
    (tmp_path / "long.png").write_bytes(made("PNG") + bytes(MOST_PICTURE_BYTES))
    told = {}
    for name in ("link", "folder", "pipe", "text", "head", "wide", "long", "none"):
        found = read_picture(tmp_path, f"{name}.png")
        assert isinstance(found, Fault)
        assert "\n" not in found.sentence
        told[name] = found.reason
    assert isinstance(read_picture(tmp_path, "head.jpg"), Fault)
    assert told == {
        "link": "The picture link.png cannot be used: it is a link",
        "folder": "The picture folder.png cannot be used: it is a folder",
        "pipe": "The picture pipe.png cannot be used: it is not a regular file",
        "text": "text.png is no PNG and no JPEG",
        "head": "head.png is no PNG and no JPEG",
        "wide": "wide.png has 99999 by 20 points",
        "long": f"The picture long.png cannot be used: it is longer than {MOST_PICTURE_BYTES:,} bytes",
        "none": "The picture none.png is not there",
    }
