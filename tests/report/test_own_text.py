"""The workshop's own texts on its papers, as whoever holds one finds them: read back by pypdf, which made none."""

import re
from html import unescape
from html.parser import HTMLParser

import pypdfium2
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.procedure.format.wordings_file import MOST_TEXT_LETTERS
from assistant.procedure.wordings import NO_TEXT, OWN_TEXT_HEADING, OwnText
from assistant.report.accounts.paper import AccountPaper, account_html
from assistant.visible import visible
from tests.jobs import ROOT, SHORT, work

DEMO = ROOT / "procedures" / "wordings-alder-row.txt"
LIST = ROOT / "procedures" / "prices-alder-row.csv"
NAME = "Alder Row training workshop"
HOLDS = "This quote holds for thirty days."
WITHOUT = "Papers come without the workshop's own text until then."


@pytest.fixture
def home(home):
    home.mkdir(exist_ok=True)
    return home


def call(*words, code=0):
    done = CliRunner().invoke(app, [*map(str, words)])
    assert done.exit_code == code, done.output
    return done


def flat(text):
    return " ".join(text.split())


def quote(path):
    call("quote", "valve-clearances", "--prices", LIST, f"--{path.suffix[1:]}", path, "--force")
    return path


@pytest.mark.slow
def test_each_paper_has_the_letterhead_above_and_its_own_text_below(journal, home, tmp_path):
    (home / "wordings.txt").write_bytes(DEMO.read_bytes())
    work(journal, SHORT)
    journal.close()
    by = ("--prices", LIST)
    papers = {
        "quote": (("quote", SHORT, *by), HOLDS),
        "order": (("order-list", SHORT, *by), "Deliver to the gate in Practice Yard"),
        "invoice": (("invoice", "last", *by), "Payable within fourteen days"),
        "sheet": (("sheet", SHORT), "Write clearly, with a pen."),
        "record": (("record", "last"), "Keep this record with the papers of the machine."),
    }
    for name, (words, text) in papers.items():
        out = tmp_path / f"{name}.pdf"
        call(*words, "--pdf", out)
        first, *more = (flat(one.get_textpage().get_text_range()) for one in pypdfium2.PdfDocument(out))
        whole = " ".join([first, *more])
        assert NAME in first[:250], name
        assert not any(NAME in page[:150] for page in more), "the letterhead is for the first page"
        assert whole.index(OWN_TEXT_HEADING) < whole.index(text), name
        assert [other for _, other in papers.values() if other in whole] == [text]


@pytest.mark.slow
def test_long_lines_umlauts_and_a_page_break_are_set_well(home, tmp_path):
    """Nothing leaves the page or is lost, also where a word has no place to be broken, or the page ends within it."""
    many = " ".join(f"Größe{number}" for number in range(150))
    long = "Ü" * 400
    (home / "wordings.txt").write_text(f"[letterhead]\n{'Müllerß' * 11}\n[quote]\n{long}\n\n{many}\n", "utf-8")
    assert len(many) + len(long) < MOST_TEXT_LETTERS
    out = quote(tmp_path / "q.pdf")
    plain = re.sub(r"[\s\u200b]", "", "".join(page.extract_text() for page in PdfReader(out).pages))
    assert "Müllerß" * 11 in plain
    assert plain.count("Ü") == len(long)
    assert [int(number) for number in re.findall(r"Größe(\d+)", plain)] == list(range(150)), "each word, in order"
    for page in pypdfium2.PdfDocument(out):
        seen = page.render(scale=1).to_pil().convert("L")
        margin = int(14 / 25.4 * 72) - 1
        for side in ((0, 0, margin, seen.height), (seen.width - margin, 0, seen.width, seen.height)):
            assert seen.crop(side).getextrema() == (255, 255), "nothing stands in the margins"


def test_a_file_that_cannot_be_used_is_told_and_the_paper_comes_without(home, tmp_path):
    (home / "wordings.txt").write_text("[letterhead]\nUs\n[inovice]\nPay.\n", "utf-8")
    done = call("quote", "valve-clearances", "--prices", LIST, "--html", tmp_path / "q.html")
    told = f'wordings.txt, line 3: There is no section [inovice]: did you mean "invoice"? {WITHOUT}'
    assert told in done.output
    page = unescape((tmp_path / "q.html").read_text("utf-8"))
    assert (OWN_TEXT_HEADING in page, ">Us<" in page, "599.94 EUR" in page) == (False, False, True)
    assert WITHOUT not in call("quote", "valve-clearances", "--prices", LIST).output, "and where none is asked for"


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ('wordings = "none.txt"', "none.txt cannot be read (No such file or directory): check the name"),
        ("rate = 9000", "rate 9000 is out of range"),
    ],
)
def test_settings_that_lead_nowhere_stop_no_paper(home, tmp_path, setting, says):
    (home / "settings.toml").write_text(f"{setting}\n")
    done = call("quote", "valve-clearances", "--prices", LIST, "--html", tmp_path / "q.html")
    assert says in done.output
    assert WITHOUT in done.output
    assert "599.94 EUR" in (tmp_path / "q.html").read_text("utf-8")


def test_the_setting_comes_before_the_usual_file(home, tmp_path):
    (home / "wordings.txt").write_text("[quote]\nThe usual one.\n", "utf-8")
    (tmp_path / "other.txt").write_text("[quote]\nThe other one.\n", "utf-8")
    assert "The usual one." in quote(tmp_path / "q.html").read_text("utf-8")
    call("settings", "set", "wordings", tmp_path / "other.txt")
    page = quote(tmp_path / "q.html").read_text("utf-8")
    assert ("The other one." in page, "The usual one." in page) == (True, False)


class _Read(HTMLParser):
    """What a browser makes of a page: its tags, and the text in it."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.text = [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        if tag != "wbr":
            self.tags.append((tag, attrs))

    def handle_data(self, data):
        self.text.append(data)


PAPER = AccountPaper("Quote", "A job", {}, (), ("One note.",))
LINES = st.lists(
    st.text(st.characters(exclude_characters="\n\r"), min_size=1, max_size=60)
    | st.sampled_from(["<script>alert(1)</script>", "{{ 7 * 7 }}", "</div></style><h1>x", "&lt;b&gt;", "' onload='x"]),
    min_size=1,
    max_size=4,
).map(tuple)  # fmt: skip


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(LINES, LINES)
def test_whatever_a_workshop_writes_is_text_on_the_page(letterhead, lines):
    """Read by Python's own parser: as many tags as for plain letters, and each line as it was written."""
    page = _Read(account_html(PAPER, paper="a4", own=OwnText(letterhead, lines)))
    plain = _Read(account_html(PAPER, paper="a4", own=OwnText(("x",) * len(letterhead), ("x",) * len(lines))))
    assert page.tags == plain.tags
    whole = "".join(page.text)
    assert all(visible(line) in whole for line in (*letterhead, *lines))


def test_without_a_text_a_paper_is_what_it_was():
    page = account_html(PAPER, paper="a4")
    assert page == account_html(PAPER, paper="a4", own=NO_TEXT)
    assert OWN_TEXT_HEADING in unescape(account_html(PAPER, paper="a4", own=OwnText((), ("x",))))
    assert OWN_TEXT_HEADING not in unescape(page)
    assert "letterhead" not in page
