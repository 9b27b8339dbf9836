"""The label fits and can be read by another program, or is refused with a sentence."""

import io
import re

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from assistant.caution import CAUTION
from assistant.cli.printing.label import write_label
from assistant.cli.printing.options import LabelOptions
from assistant.report.label import DPI, SIZES, as_png, label_html, lay_out, parse_label_size
from assistant.report.pdf import html_to_pdf
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, work

JOB = "bay1-2026-11-25-12"
TEXTS = [("New: pump cover gasket", True), ("Done 2026-11-25 at 123 456 km", False), ("Next 2030-11-25", False),
         (f"Job {JOB}", False), (CAUTION, False)]  # fmt: skip


def read_codes(picture):
    return [code.text for code in zxingcpp.read_barcodes(picture)]


@pytest.mark.parametrize("size", SIZES)
def test_a_label_of_a_common_size_is_read_back_or_refused(size):
    width, height = parse_label_size(size)
    label = lay_out(JOB, TEXTS, width, height)
    if isinstance(label, str):
        assert size == "38.1x21.2"  # the smallest has no room for letters of 6 points beside the code
        assert label.startswith(f"The text does not fit on a label of {size} mm")
        return
    for dpi in DPI:
        picture = Image.open(io.BytesIO(as_png(label, dpi)))
        assert picture.size == (round(width * dpi / 25.4), round(height * dpi / 25.4))
        assert read_codes(picture.convert("L")) == [JOB]
    data = html_to_pdf(label_html(label))
    (page,) = pypdf.PdfReader(io.BytesIO(data)).pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
        (width / 25.4 * 72, height / 25.4 * 72), abs=0.01
    )
    words = " ".join(page.extract_text().split())
    for text, _ in TEXTS:
        assert text in words
    drawn = pypdfium2.PdfDocument(data)[0].render(scale=300 / 72).to_pil()
    assert read_codes(drawn) == [JOB]
    ink = Image.eval(drawn.convert("L"), lambda grey: 255 - grey).getbbox()
    edge = 1.0 * 300 / 25.4  # nothing is printed in the outer millimetre
    assert min(ink[0], ink[1], drawn.width - ink[2], drawn.height - ink[3]) > edge


@pytest.mark.parametrize(
    ("texts", "size"),
    [
        ([("A very long name of a part " * 20, True)], (63.5, 38.1)),
        ([("x" * 60, True)], (63.5, 38.1)),
        (TEXTS * 3, (63.5, 38.1)),
    ],
)
def test_text_that_does_not_fit_is_refused_not_cut(texts, size):
    assert "does not fit" in lay_out(JOB, texts, *size)


def test_a_label_too_small_for_its_code_is_refused():
    assert "too small for the QR code" in lay_out(JOB, TEXTS, 20, 10)


@pytest.mark.parametrize("size", ["", "a4", "5x5", "63.5", "900x20", "63.5x38.1x2", "-63x38"])
def test_what_is_no_size_gets_a_sentence(size):
    assert "is no size of a label" in parse_label_size(size)


def test_the_label_of_a_job_says_what_was_renewed_and_when_again(journal, tmp_path, capsys):
    job = work(journal, SHORT, asset="Van 7", meter={"value": "42000", "unit": "km"})
    out = tmp_path / "label.pdf"
    assert write_label(job, LabelOptions(pdf=out, png=tmp_path / "l.png", size="99.1x38.1")) is Exit.OK
    words = " ".join(pypdf.PdfReader(out).pages[0].extract_text().split())
    for text in (
        "Machine: Van 7",
        "New: pump cover gasket",
        "Done 2026-09-21 at 42 000 km",
        "Next 2030-09-21 or 102 000 km",
        f"Job {job}",
        "PRACTICE: values invented",
        CAUTION,
    ):
        assert text in words
    assert "REHEARSAL" not in words
    assert read_codes(Image.open(tmp_path / "l.png").convert("L")) == [job]
    capsys.readouterr()
    assert write_label(job, LabelOptions(size="62x29")) is Exit.USAGE
    assert write_label(job, LabelOptions(pdf=out, size="62x29", dpi=301, force=True)) is Exit.USAGE
    assert write_label(job, LabelOptions(pdf=out, size="20x10", force=True)) is Exit.USAGE
    assert len(capsys.readouterr().err.splitlines()) == 3


def test_an_open_job_has_no_label_and_a_rehearsal_says_so(journal, tmp_path, capsys):
    work(journal, SHORT, most=20)
    assert write_label("last", LabelOptions(pdf=tmp_path / "a.pdf", size="62x29")) is Exit.USAGE
    told = capsys.readouterr().err
    assert "is open: a label is for work that is closed" in told
    assert re.search(r"assistant resume bay1-\d{4}-\d\d-\d\d-\d+$", told.strip()), "the last job may be another one"
    work(journal, SHORT, rehearsal=True)
    assert write_label("last", LabelOptions(pdf=tmp_path / "b.pdf", size="99.1x67.7")) is Exit.OK
    words = " ".join(pypdf.PdfReader(tmp_path / "b.pdf").pages[0].extract_text().split())
    assert "REHEARSAL, no work was done" in words
