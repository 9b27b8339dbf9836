"""The work sheet as its reader finds it: page by page, read back from the PDF by libraries that did not make it."""

import re
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.caution import CAUTION
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.steps.tighten import TightenStep

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("sheets")]

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))
SHORT = ROOT / "procedures" / "coolant-pump-cover.yaml"
LONG = ROOT / "procedures" / "hub-drive-reseal.yaml"
SIZES = {"a4": (210, 297), "letter": (215.9, 279.4)}
"""Millimetres: ISO 216 A4, and ANSI/ASME Y14.1 A (letter)."""


def call(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


def flat(text):
    return " ".join(text.split())


@pytest.fixture(scope="module")
def sheets(tmp_path_factory):
    made = {}

    def sheet(path, paper):
        if (path, paper) not in made:
            out = tmp_path_factory.mktemp("sheet") / f"{path.stem}-{paper}.pdf"
            result = call("sheet", path, "--pdf", out, "--paper", paper)
            assert result.exit_code == 0, result.output
            made[path, paper] = out
        return made[path, paper]

    return sheet


@pytest.fixture(scope="module")
def texts(sheets):
    read = {}

    def pages(path, paper):
        """Return the text of each page; pypdf takes a second for a long sheet, so it is read once."""
        if (path, paper) not in read:
            read[path, paper] = [flat(page.extract_text()) for page in PdfReader(sheets(path, paper)).pages]
        return read[path, paper]

    return pages


EACH = [(path, paper) for path in DEMOS for paper in SIZES]
each = pytest.mark.parametrize(("path", "paper"), EACH, ids=[f"{path.stem}-{paper}" for path, paper in EACH])


@each
def test_every_page_has_revision_hash_number_and_the_warning_about_its_values(sheets, texts, path, paper):
    out = sheets(path, paper)
    procedure = read_procedure(path).procedure
    import hashlib

    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    pages = PdfReader(out).pages
    steps = len(procedure.steps) + len(procedure.closing)
    assert 2 < len(pages) < 4 + steps / 3
    for number, page in enumerate(pages, 1):
        text = texts(path, paper)[number - 1]
        assert f"Revision {procedure.revision}" in text
        assert digest[:16] in text
        assert f"Page {number} of {len(pages)}" in text
        assert procedure.title in text
        assert "Values are invented" in text
        wide, high = (float(side) * 25.4 / 72 for side in (page.mediabox.width, page.mediabox.height))
        assert (wide, high) == pytest.approx(SIZES[paper], abs=0.5)
    first = texts(path, paper)[0]
    assert digest in first.replace(" ", "")
    assert "Do not use it on" in first, "what stands above everything in the file stands on the first page"


@each
def test_the_preparation_comes_first_and_is_whole(texts, path, paper):
    procedure = read_procedure(path).procedure
    text = " ".join(texts(path, paper))
    before = text[: text.index(procedure.chapters[0].steps[0].text)]
    for item in (*procedure.support_equipment, *procedure.spares, *procedure.supplies):
        assert item.name in before
        if item.unit:
            assert f"{item.quantity} {item.unit}" in before
    for condition in procedure.conditions:
        assert condition in before
    for person in procedure.persons:
        assert f"{person.count} {person.kind}" in before
    for hazard in procedure.safety:
        assert hazard.avoid in before


@each
def test_no_page_parts_a_warning_from_its_step(texts, path, paper):
    procedure = read_procedure(path).procedure
    pages = texts(path, paper)
    hazards = 0
    for step in (*procedure.steps, *procedure.closing):
        for hazard in step.hazards:
            hazards += 1
            whole = f"{hazard.hazard} {hazard.consequence} {hazard.avoid}"
            homes = [page for page in pages if whole in page and step.text in page[page.index(whole) :]]
            assert homes, (step.id, whole)
            between = homes[0].split(whole, 1)[1].split(step.text, 1)[0]
            assert len(between) < 10 or any(other.avoid in between for other in step.hazards), "nothing stands between"
            assert hazard.word.value.upper() in homes[0][: homes[0].index(whole)]
    assert hazards or path.stem == "gearbox-side-cover"


@each
def test_every_step_and_every_bolt_of_every_stage_can_be_ticked(sheets, texts, path, paper):
    procedure = read_procedure(path).procedure
    text = " ".join(texts(path, paper))
    places = [text.index(step.text) for step in (*procedure.steps, *procedure.closing)]
    assert places == sorted(places)
    for step in procedure.steps:
        if isinstance(step, TightenStep):
            part = text[text.index(step.text) :]
            for number, stage in enumerate(step.stages, 1):
                at = part.index(f"Stage {number}")
                for run in (run for one in stage.passes for _ in range(one.repeat) for run in one.runs):
                    at = part.index(str(run.target), at)
                    for bolt in run.bolts:
                        at = re.compile(rf"\b{bolt}\b").search(part, at).end()
    # The boxes are drawn, not typed: count the small squares on the pages, one for each step and each bolt at least.
    wanted = len(places) + sum(
        len(run.bolts)
        for step in procedure.steps if isinstance(step, TightenStep)
        for stage in step.stages for one in stage.passes for _ in range(one.repeat) for run in one.runs
    )  # fmt: skip
    document = pypdfium2.PdfDocument(sheets(path, paper))
    squares = 0
    for page in document:
        for one in page.get_objects(max_depth=4):
            left, bottom, right, top = one.get_bounds()
            squares += 11 < right - left < 17 and abs((right - left) - (top - bottom)) < 0.5
    assert squares >= wanted


def test_a_page_has_ink_inside_its_margins_only_and_is_not_empty(sheets):
    document = pypdfium2.PdfDocument(sheets(LONG, "letter"))
    for page in document:
        picture = page.render(scale=0.5).to_pil().convert("L")
        wide, high = picture.size
        margin = round(6 / 25.4 * 36)  # printers leave some five millimetres white (common practice, no source)
        inner = picture.crop((margin, margin, wide - margin, high - margin))
        dark = picture.histogram()[:128]
        assert sum(dark) > 200
        assert sum(inner.histogram()[:128]) == sum(dark)


@pytest.fixture
def copy(tmp_path):
    def changed(*changes, name="copy.yaml"):
        text = SHORT.read_text("utf-8")
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / name
        path.write_text(text, "utf-8")
        return path

    return changed


def test_text_of_people_is_text_and_fetches_nothing(copy, tmp_path):
    nasty = "<img src='file:///etc/hostname'> <script>alert(1)</script> & {{ 7*7 }}"
    path = copy(
        ("title: New gasket for the coolant pump cover", f'title: "Cover {nasty}"'),
        ("do: Lift off the cover with the old gasket.", f'do: "Lift off {nasty} the cover."'),
        ("name: long bolts", 'name: "long <b>&amp;</b> bolts"'),
    )
    out = tmp_path / "out.pdf"
    result = call("sheet", path, "--pdf", out)
    assert result.exit_code == 0, result.output
    reader = PdfReader(out)
    text = flat(" ".join(page.extract_text() for page in reader.pages))
    assert f"Lift off {nasty}".replace(" ", "") in text.replace(" ", "")
    assert "long <b>&amp;</b> bolts" in text
    assert not any(page.images for page in reader.pages)
    assert "Values are invented" in text


def test_very_long_words_and_lists_stay_on_the_paper(copy, tmp_path):
    path = copy(
        ("title: New gasket for the coolant pump cover", f"title: {'Very long title ' * 8}end"),
        ("do: Lift off the cover", f"do: Lift off {'x' * 150} the cover"),
    )
    out = tmp_path / "out.pdf"
    assert call("sheet", path, "--pdf", out).exit_code == 0
    for page in pypdfium2.PdfDocument(out):
        picture = page.render(scale=0.5).to_pil().convert("L")
        wide, high = picture.size
        assert min(picture.crop((wide - 14, 0, wide, high)).getextrema()) > 200


def test_a_sheet_without_such_a_note_does_not_say_that_values_are_invented(copy, tmp_path):
    path = copy(
        (
            "# All values in this file are invented for practice. Do not use it on a vehicle or on any real engine.\n",
            "",
        ),
        (
            "Invented for the practice engines of the Alder Row training workshop",
            "Handbook of the plate, third edition",
        ),
        ("  values: invented\n", ""),
    )
    out = tmp_path / "out.pdf"
    assert call("sheet", path, "--pdf", out).exit_code == 0
    text = " ".join(page.extract_text() for page in PdfReader(out).pages)
    assert "invented" not in text.lower()
    assert CAUTION in flat(text)
    assert "For real work use the procedure of the maker" in flat(text)


def test_a_changed_file_has_another_hash(copy, texts, tmp_path):
    path = copy(("16 N·m", "17 N·m"))
    out = tmp_path / "out.pdf"
    assert call("sheet", path, "--pdf", out).exit_code == 0
    footer = re.compile(r"SHA-256 ([0-9a-f]{16})")
    one = set(footer.findall(flat(" ".join(page.extract_text() for page in PdfReader(out).pages))))
    other = set(footer.findall(" ".join(texts(SHORT, "a4"))))
    assert one
    assert other
    assert not one & other


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        (["--pdf", "no/folder/sheet.pdf"], 8, "is not there"),
        (["--pdf", "."], 8, "is a folder"),
        (["--pdf", "/dev/full"], 8, "has room"),
        (["--pdf", "there.pdf"], 8, "is there already"),
        (["--pdf", "sheet.pdf", "--paper", "a3"], 2, "a3"),
    ],
)
def test_what_cannot_be_written_is_told_and_nothing_is_lost(options, code, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.pdf").write_bytes(b"mine")
    result = call("sheet", SHORT, *options)
    assert result.exit_code == code, result.output
    assert says in result.output
    assert (tmp_path / "there.pdf").read_bytes() == b"mine"
    assert [one.name for one in tmp_path.iterdir()] == ["there.pdf"]


def test_a_procedure_with_errors_gives_its_findings(copy, tmp_path):
    result = call("sheet", copy(("timer: drying", "timer: dyring")), "--pdf", tmp_path / "out.pdf")
    assert result.exit_code == 4
    assert 'did you mean "drying"' in result.output
    assert not (tmp_path / "out.pdf").exists()
