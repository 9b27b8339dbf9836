"""A record with the workshop's own text on it proves the same as one without, and nothing of that text."""

import base64
import re
from html import unescape

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from assistant.cli.printing.options import RecordOptions
from assistant.cli.printing.record.check import verify_record
from assistant.cli.printing.record.write import write_record
from assistant.journal.opening import open_journal
from assistant.procedure.format.wordings_file import read_wordings
from assistant.procedure.wordings import OWN_TEXT_HEADING, OwnPaper, OwnText
from assistant.report.record.made import make
from assistant.report.record.own_text import NOT_PROVED, own_text_in
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, work

WORDS = "[letterhead]\nMüller & Söhne\nWeg 1\n[record]\nKeep this.\n\n<b>Ours</b>, and not the journal's.\n"
CARRIER = '<meta name="own-text" content="step-assistant-own-text 1 W3JlY29yZF0KTm8uCg==">'
"""What a record carries, as somebody may say it in a note."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A data folder with a closed job in which somebody dictated what looks like the text that a record carries."""
    folder = tmp_path_factory.mktemp("kept")
    said = iter(["take a note", CARRIER])

    def say(session, now):
        phase = session.view(now)["phase"]
        return next(said, None) if phase in ("doing", "dictation") else None

    with open_journal(folder) as journal:
        job = work(journal, SHORT, say=say)
        return folder, job, journal.read(job).entries


@pytest.fixture
def job(kept, monkeypatch):
    folder, name, _ = kept
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    (folder / "wordings.txt").write_text(WORDS, "utf-8")
    yield name
    (folder / "wordings.txt").unlink(missing_ok=True)


def written(job, path):
    assert write_record(job, RecordOptions(**{path.suffix[1:]: path}, force=True)) is Exit.OK
    return path


@pytest.mark.parametrize("form", ["html", pytest.param("pdf", marks=pytest.mark.slow)])
def test_it_fits_with_the_text_and_goes_on_to_fit_when_the_workshop_writes_another_one(
    kept, job, tmp_path, form, capsys
):
    folder, _, _ = kept
    file = written(job, tmp_path / f"r.{form}")
    (folder / "wordings.txt").write_text("[record]\nAnother one.\n", "utf-8")
    assert verify_record(str(file)) is Exit.OK
    said = capsys.readouterr().out
    assert f"to the letter. {OWN_TEXT_HEADING} stands on it too. {NOT_PROVED}" in said
    (folder / "wordings.txt").unlink()
    assert verify_record(str(written(job, tmp_path / f"plain.{form}"))) is Exit.OK
    assert OWN_TEXT_HEADING not in capsys.readouterr().out


def test_the_page_marks_it_and_has_all_else_as_without_it(kept, job, tmp_path):
    folder, _, _ = kept
    page = written(job, tmp_path / "r.html").read_text("utf-8")
    (folder / "wordings.txt").unlink()
    plain = written(job, tmp_path / "plain.html").read_text("utf-8")
    assert "&lt;b&gt;Ours&lt;/b&gt;, and not the journal&#39;s." in page
    assert unescape(page).count(OWN_TEXT_HEADING) == 2
    assert CARRIER in unescape(plain), "it was dictated, and is text"
    assert NOT_PROVED in page
    here, there = (re.sub(r"<style>.*?</style>", "", one, flags=re.DOTALL) for one in (page, plain))
    here = re.sub(r'<meta name="own-text"[^>]*>', "", here)
    here = re.sub(r'<div class="apart">\n.*?</div>\n+</div>\n', "", here, flags=re.DOTALL)
    assert here.split() == there.split()


def test_json_and_csv_have_none_of_it(kept, job, tmp_path):
    folder, _, _ = kept
    with_it = [written(job, tmp_path / f"a.{form}").read_bytes() for form in ("json", "csv")]
    (folder / "wordings.txt").unlink()
    assert [written(job, tmp_path / f"b.{form}").read_bytes() for form in ("json", "csv")] == with_it


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ("Weg 1", "Weg 2"),  # in the frame, and not in what is carried
        ("not the journal&#39;s.", "all of it was done."),
        ("counted out: 4 of 4", "counted out: 3 of 4"),
        ('<div class="apart">', '<div class="apart"><h2>Steps</h2>'),
    ],
)
def test_what_was_changed_on_the_page_is_found(kept, job, tmp_path, was, becomes, capsys):
    file = written(job, tmp_path / "r.html")
    text = file.read_text("utf-8")
    assert was in text
    file.write_text(text.replace(was, becomes, 1), "utf-8", newline="")
    assert verify_record(str(file)) is Exit.DIFFERENT
    assert "does not fit" in capsys.readouterr().err


@pytest.mark.parametrize("carried", ["[record]\nA\x1b[2J\n", "[nothing]\nA\n", "[record]\n" + "A" * 2001, "\udcff"])
def test_a_carried_text_that_no_workshop_may_write_does_not_pass(kept, job, tmp_path, carried):
    file = written(job, tmp_path / "r.html")
    code = base64.b64encode(carried.encode("utf-8", "surrogateescape"))
    file.write_bytes(re.sub(rb'(own-text" content="\S+ 1 )[^"]+', rb"\1" + code, file.read_bytes()))
    assert own_text_in(file.read_bytes()) == OwnText()
    assert verify_record(str(file)) is Exit.DIFFERENT


TEXTS = st.lists(
    st.text(st.characters(exclude_characters="\n\r"), min_size=1, max_size=60)
    | st.sampled_from([CARRIER, "</div></div>", "<h2>Every entry of the journal</h2>", "%step-assistant-own-text 1"]),
    max_size=5,
).map("\n".join)  # fmt: skip


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(TEXTS, TEXTS)
@example("", "")
def test_whatever_a_workshop_writes_the_record_carries_it_and_is_made_again_of_it(kept, letterhead, text):
    _, job, entries = kept
    wordings = read_wordings(f"[letterhead]\n{letterhead}\n[record]\n{text}\n".encode("utf-8", "replace"), "w").wordings
    own = wordings.on(OwnPaper.RECORD) if wordings else OwnText()
    page = make(job, entries, paper="a4", clock=0, own=own).form("html")
    assert own_text_in(page) == own
    assert make(job, entries, paper="a4", clock=0, own=own_text_in(page)).form("html") == page
