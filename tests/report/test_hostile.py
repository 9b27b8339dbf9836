"""Whatever people say or type is shown as text: in a real browser nothing runs, and a PDF shows the very words."""

import re
from decimal import Decimal

import pypdfium2
import pytest
from msgspec.structs import replace

from assistant.facts import Quantity
from assistant.facts.store import fact_classes
from assistant.report.record.made import make
from tests.jobs import SHORT, bare, kept, note
from tests.samples import sample

pytestmark = pytest.mark.slow

HOSTILE = (
    "<script>window.hit=1;document.title='hit'</script><img src=x onerror=\"window.hit=1\"></pre></td></table>"
    "<svg onload=window.hit=1></svg><iframe src=javascript:parent.hit=1></iframe><style>*{display:none}</style>"
    "{{ 7*7 }} &amp; &#60; ]]> --> \x00\x07\x1b[31m \u202egnp.exe\u202c \u2066x \ufeff \u200b "
    "\ud7ff \U0001f527 'quote\" end"
)


def hostile_job(text):
    """Return a job whose every text is ``text``, with a fact of each kind that is known."""
    first = bare(text, procedure_yaml=SHORT.read_text("utf-8"), procedure_file="x.yaml", asset=text, customer=text)
    first = replace(first, operator=text, meter_note=text, meter=Quantity(Decimal(1), text), program=text)
    others = [sample(cls, text) for kind, cls in sorted(fact_classes().items()) if kind != "opened"]
    return kept([first, *others], 1_790_000_000_000)


def test_nothing_runs_or_is_fetched_in_a_browser(browser, tmp_path):
    job = hostile_job(HOSTILE)
    file = tmp_path / "record.html"
    file.write_bytes(make(*job, paper="a4", clock=0).form("html"))
    page = browser.new_page()
    asked, told = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: told.append(dialog.message))
    page.goto(file.as_uri())
    assert page.evaluate("window.hit") is None
    assert page.title() == f"Job record {job[0]}"
    assert (asked, told) == ([file.as_uri()], [])
    assert page.locator("script, iframe, img, object, embed, link, form").count() == 0
    shown = page.locator("body").inner_text()
    assert shown.count("<script>window.hit=1;document.title='hit'</script>") > len(fact_classes())
    assert "‹U+202E›gnp.exe‹U+202C›" in shown
    assert "‹U+0000›‹U+0007›‹U+001B›[31m" in shown
    assert not re.search("[\x00-\x08\x0b-\x1f\u200b-\u200f\u202a-\u202e\u2066-\u2069]", shown)
    assert page.locator("h2").last.is_visible()
    page.close()


def words_of(pdf):
    """Return what stands on all pages, as PDFium reads it, without spaces and line ends."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return "".join("".join(page.get_textpage().get_text_range() for page in document).split())
    finally:
        document.close()


def test_the_pdf_shows_the_very_words():
    job = hostile_job("<script>x</script> \u202egnp.exe </table>")
    data = make(*job, paper="a4", clock=0).form("pdf")
    whole = words_of(data)
    assert whole.count("<script>x</script>‹U+202E›gnp.exe</table>") > len(fact_classes())
    assert b"/JavaScript" not in data
    assert b"/Launch" not in data


@pytest.mark.timeout(240)
@pytest.mark.parametrize("text", ["x" * 100_000, "<b>bad</b> " * 9_091], ids=["one word", "markup"])
def test_a_hundred_kilobytes_are_all_there(text):
    """In the list of entries; the tables and the card above it show how it begins, and where the rest is."""
    first = bare(procedure_yaml=SHORT.read_text("utf-8"), procedure_file="x.yaml", asset=text)
    job = kept([first, note(text)], 1_790_000_000_000)
    made = make(*job, paper="a4", clock=0)
    wanted = text.replace("<", "&lt;").replace(">", "&gt;").rstrip()
    assert wanted in made.form("html").decode().replace("<wbr>", "")
    assert made.form("json").decode().count(text) > 1
    whole = words_of(made.form("pdf"))
    assert whole.count("(goeson;wholeintheJSONrecord)") >= 2
    for letter in "xbd":
        assert whole.count(letter) >= text.count(letter)
