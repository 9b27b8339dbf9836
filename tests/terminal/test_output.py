"""Writing a file that was asked for: nothing is lost, and trouble is one sentence."""

import os
import stat
from pathlib import Path

import pytest

from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, write_file


def test_a_file_that_is_there_stays_unless_it_may_be_replaced_and_then_is_kept(tmp_path):
    path = tmp_path / "work.yaml"
    assert write_file(path, b"first", force=False) is None
    with pytest.raises(Refusal) as refused:
        write_file(path, b"second", force=False, option="--write")
    assert refused.value.code is Exit.OUTPUT
    assert str(path) in refused.value.sentence
    assert "--write" in refused.value.sentence
    assert path.read_bytes() == b"first"
    kept = [write_file(path, data, force=True) for data in (b"second", b"third")]
    assert [one.name for one in kept] == ["work.yaml.bak", "work.yaml.bak2"]
    assert [one.read_bytes() for one in kept] == [b"first", b"second"]
    assert path.read_bytes() == b"third"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["work.yaml", "work.yaml.bak", "work.yaml.bak2"]


def test_a_link_stays_a_link_and_rights_stay_as_they_were(tmp_path):
    real = tmp_path / "real.yaml"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link = tmp_path / "link.yaml"
    link.symlink_to(real)
    write_file(link, b"new", force=True)
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("name", "says"),
    [("no/such/folder.pdf", "is not there"), (".", "is a folder"), ("nul\0name", "cannot be written"),
     ("n" * 300, "cannot be written")],
)  # fmt: skip
def test_what_cannot_be_written_is_said_before_the_work(tmp_path, name, says):
    with pytest.raises(Refusal) as refused:
        check_free(tmp_path / name, force=True)
    assert says in refused.value.sentence
    assert refused.value.code is Exit.OUTPUT


def test_a_full_disk_is_one_sentence():
    # Linux gives every write to /dev/full the error of a full disk (man 4 full).
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    with pytest.raises(Refusal) as refused:
        write_file(Path("/dev/full"), b"x", force=False)
    assert os.strerror(28) in refused.value.sentence
    assert "has room" in refused.value.sentence
