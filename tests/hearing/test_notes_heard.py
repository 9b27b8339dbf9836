"""Words wrong are counted as by hand, and nobody is in two parts."""

from __future__ import annotations

import numpy as np
import pytest
import soundfile

from assistant.hearing.manifest import read_manifest
from tests.bench.notes_heard import Wrong, in_part, lines, said_in, word_errors, write_lists


@pytest.mark.parametrize(
    ("said", "written", "wrong"),
    [
        ("hello world", "hello duck", 1),
        ("the third bolt is bent", "the bolt is bent", 1),
        ("the bolt is bent", "the the bolt is bent now", 2),
        ("one two three", "", 3),
        ("one two three four", "two three four five", 2),
        ("", "thank you", 2),
    ],
)
def test_words_that_are_wrong_missing_or_too_many_count_each(said, written, wrong):
    assert word_errors(said.split(), written.split()) == wrong
    assert word_errors(written.split(), said.split()) == wrong


def test_marks_and_capitals_do_not_count():
    assert said_in("Mr. Smith's gasket, glued.") == ["mister", "smith's", "gasket", "glued"]


def test_the_table_says_which_bar_was_met():
    writer, usual = lines([Wrong(None, 200, 24, 100), Wrong(10.0, 200, 41, 120), Wrong(5.0, 200, 50, 150)], 9)
    assert writer[2:5] == ("12.0 ok 12", "20.5 MISSED 20", "25.0 ok 28")
    assert usual[1:5] == ("9 (200 words)", "50.0", "60.0", "75.0")


def test_nobody_is_in_two_parts_and_only_verbatim_labels_are_taken(tmp_path):
    heads = "kind\tset\tpath\tlabel\tspeaker\tseconds\textra"
    rows = [("speech", "vctk_p239", f"a{number}.flac", "please call", f"p{number}") for number in range(12)]
    rows += [("speech", "vctk_p239", "b.flac", "[speech]", "p1"), ("noise", "noise_esc10", "n.flac", "[saw]", "x")]
    for row in rows:
        soundfile.write(tmp_path / row[2], np.zeros(160, dtype=np.int16), 16_000)
    told = ["\t".join((*row, "3.0", "")) for row in rows]
    (tmp_path / "manifest.tsv").write_text("\n".join([heads, *told, ""]), "utf-8")
    written = {part: write_lists(tmp_path, tmp_path / part, part) for part in ("dev", "test")}
    assert sum(written.values()) == 12
    for part, count in written.items():
        listed = read_manifest(tmp_path / part / "notes.tsv")
        assert [one.label for one in listed] == ["please call"] * count
        assert all(in_part(one.speaker, part) for one in listed)
