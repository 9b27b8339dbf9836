"""The files of photos: private, whole or not there at all, named by what is in them."""

from __future__ import annotations

import errno
import resource
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.pictures.drawing import SHARP_SIDE, DrawnPhoto, draw_frame, draw_photo
from assistant.pictures.store import PhotoStore
from tests.pictures.samples import photo


@contextmanager
def full_disk(most_bytes: int = 1000) -> Iterator[None]:
    """Let no file grow past ``most_bytes``: the system refuses the write as a full disk does (setrlimit(2))."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_photo_is_for_its_owner_alone_and_read_back_by_its_hash(tmp_path: Path) -> None:
    store = PhotoStore(tmp_path / "photos" / "job")
    data = b"\xff\xd8 a photo"
    name = store.put(data)
    assert name == sha256(data).hexdigest()
    assert store.put(data) == name
    assert [(one.name, one.stat().st_mode & 0o777) for one in store.folder.iterdir()] == [(f"{name}.jpg", 0o600)]
    assert {folder.stat().st_mode & 0o777 for folder in (store.folder, store.folder.parent)} == {0o700}
    hung = store.hung(name)
    assert hung is not None
    assert (hung.data, hung.media, hung.address) == (data, "image/jpeg", f"/pictures/{name}")
    for strange in ("", "../job", "0" * 63, "0" * 64, "/" * 64):
        assert store.hung(strange) is None
    store.path(name).write_bytes(data + b"!")
    assert store.hung(name) is None
    assert store.wrong({name}) == ([], [name], [])
    store.path(name).unlink()
    store.path(name).symlink_to("/etc/hostname")
    assert store.hung(name) is None


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path) -> None:
    store = PhotoStore(tmp_path / "photos" / "job")
    kept = store.put(b"small")
    with full_disk(), pytest.raises(OSError, match="File too large") as fault:
        store.put(b"x" * 5000)
    assert fault.value.errno == errno.EFBIG
    assert [one.stem for one in store.folder.iterdir()] == [kept]
    assert store.put(b"x" * 5000)


def test_what_never_came_into_the_job_is_swept_away_and_nothing_else(tmp_path: Path) -> None:
    store = PhotoStore(tmp_path / "photos" / "job")
    kept, stray = store.put(b"kept"), store.put(b"stray")
    (store.folder / f".{stray}.part").write_bytes(b"half")
    (store.folder / "of-a-person.txt").write_text("mine")
    store.sweep({kept})
    assert sorted(one.name for one in store.folder.iterdir()) == sorted([f"{kept}.jpg", "of-a-person.txt"])
    PhotoStore(tmp_path / "none").sweep(set())


def test_a_photo_is_drawn_upright_without_what_a_camera_writes_beside_it() -> None:
    data = photo(size=(3000, 2000))
    assert b"Secret" in data
    drawn = draw_photo(data, "it")
    assert isinstance(drawn, DrawnPhoto)
    assert (drawn.width, drawn.height) == (1280, SHARP_SIDE)
    assert b"Secret" not in drawn.data
    assert b"Exif" not in drawn.data


def test_a_frame_of_a_camera_is_drawn_with_its_padding_left_out() -> None:
    row = bytes((200, 10, 10)) * 4 + b"padding!"
    drawn = draw_frame(row * 3, 4, 3, len(row))
    assert (drawn.width, drawn.height) == (4, 3)
