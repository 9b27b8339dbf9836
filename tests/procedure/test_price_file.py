"""Price lists: what is taken, and the sentence for each thing that is not."""

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.advice.prices import PriceKind
from assistant.procedure.format.price_file import MOST_LINES, PRICE_COLUMNS, read_price_file, read_prices

DEMO = Path(__file__).parents[2] / "procedures" / "prices-alder-row.csv"
HEAD = "kind,id,name,unit,price,to,currency,number,in stock,lies on\n"
WORDS = HEAD.replace("lies on", "lies on,findings")
SEAL = "part,seal,shaft seal,,12.50,,EUR,,,\n"


def read(text):
    return read_prices(text if isinstance(text, bytes) else text.encode(), "list.csv")


def told(text):
    reading = read(text)
    assert (reading.prices is None) == bool(reading.findings)
    return [str(one) for one in reading.findings]


def test_the_demo_list_is_taken_and_says_that_its_values_are_invented():
    reading = read_price_file(DEMO)
    assert reading.findings == ()
    assert "invented" in DEMO.read_text("utf-8").split("\n")[0]
    assert "invented" in reading.prices.remarks[0]
    assert reading.prices.currency.code == "EUR"
    rail = reading.prices.find(PriceKind.PART, "tension-rail", "tension rail")
    assert (rail.low, rail.high, rail.stock, rail.number) == (Decimal("46.00"), Decimal("58.00"), 0, "AR-0550")
    (tax,) = reading.prices.taxes
    assert tax.low == 21
    assert len(tax.on_kinds) == 4


@pytest.mark.parametrize(
    "text",
    [
        HEAD + SEAL,
        "\ufeff" + HEAD + SEAL,
        (HEAD + SEAL).replace("\n", "\r\n"),
        (HEAD + SEAL).replace(",", ";"),
        (HEAD + SEAL).replace(",", ";").replace("12.50", "12,50"),
        (HEAD + SEAL).replace(",", "\t").replace("12.50", "12,50"),
        (HEAD + SEAL).replace("shaft seal", '"shaft seal"'),
        "# said above, and; so on\n\n" + HEAD + "\n" + SEAL + ",,,,,,,,,\n",
        "Price , KIND,currency,ID\n12.50,Part,EUR,seal\n",
    ],
)
def test_what_spreadsheets_write_is_taken(text):
    (line,) = read(text).prices.lines
    assert (line.kind, line.id, line.low, line.high) == (PriceKind.PART, "seal", Decimal("12.5"), Decimal("12.5"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "1:1: error: There is no head with the names of the columns"),
        ("part,seal,1.50\n", "There is no head"),
        (HEAD, "There is no price in the list"),
        ("kind,id,price\npart,a,1\n", 'There is no column "currency"'),
        ("kind,price,currency\npart,1,EUR\n", 'neither a column "id" nor "name"'),
        ("kind,id,price,currency,colour\npart,a,1,EUR,red\n", '1:5: error: The column "colour" is not known'),
        ("kind,id,price,currency,prize\n", 'did you mean "price"?'),
        ("kind,id,price,price,currency\n", 'The column "price" is there twice'),
        (HEAD + "part,a,,,1,,EUR\n", "2:8: error: The line has 7 cells and the head 10"),
        (HEAD + "wheel,a,,,1,,EUR,,,\n", '2:1: error: "wheel" is no kind: write one of part, supply'),
        (HEAD + "part,,,,1,,EUR,,,\n", "The line says not what it is for"),
        (HEAD + SEAL + "part,seal,Shaft Seal,,9,,EUR,,,\n", '3:2: error: "seal" has a price as part in line 2 already'),
        (HEAD + "part,a,,,=1+1,,EUR,,,\n", '2:5: error: "=1+1" begins like a formula: write the value itself'),
        (HEAD + 'part,"=cmd|\'/c calc\'!A1",,,1,,EUR,,,\n', "2:2: error:"),
        (HEAD + "part,@a,,,1,,EUR,,,\n", "begins like a formula"),
        (HEAD + "part,a,,,-1,,EUR,,,\n", '"-1" begins like a formula'),
        (HEAD + "part,a,,,,,EUR,,,\n", '2:5: error: "" is no amount: write digits with a point, such as 1234.50'),
        (HEAD + "part,a,,,1e9,,EUR,,,\n", '"1e9" is no amount'),
        (HEAD + "part,a,,,NaN,,EUR,,,\n", '"NaN" is no amount'),
        (HEAD + f"part,a,,,{'9' * 4300},,EUR,,,\n", "The cell has 4300 letters: write at most 200"),
        (HEAD + f"part,a,,,{'9' * 150},,EUR,,,\n", "is no amount"),
        (HEAD + "part,a,,,1.1234567,,EUR,,,\n", "is no amount"),
        (HEAD + "part,a,,,١٢,,EUR,,,\n", "is no amount"),
        (HEAD + 'part,a,,,"12,50",,EUR,,,\n', '"12,50" has a comma, which parts cells in this file'),
        ("kind;id;price;currency\npart;a;1.234;EUR\n", '"1.234" can be a thousand times more or less'),
        ("kind;id;price;currency\npart;a;1.234,50;EUR\n", '"1.234,50" is no amount'),
        (HEAD + "part,a,,,9,8,EUR,,,\n", "2:6: error: The price ends at 8 and begins at 9"),
        (HEAD + "part,a,,,9,,,,,\n", '2:7: error: "" is no currency: write its three capital letters, such as EUR'),
        (HEAD + "part,a,,,9,,euro,,,\n", '"euro" is no currency'),
        (HEAD + SEAL + "part,b,,,9,,USD,,,\n", "3:7: error: The price is in USD and those above it are in EUR"),
        (HEAD + "labour,mechanic,,,60,,EUR,,,\n", "Work is priced by"),
        (HEAD + "labour,mechanic,,h,60,,EUR,,3,\n", "2:9: error: There is no stock of labour"),
        (HEAD + SEAL + "tax,vat,,%,20,,,,,\n", "3:10: error: A tax lies on something: write part, supply"),
        (HEAD + SEAL + "tax,vat,,EUR,20,,,,,all\n", "A tax is a rate in percent"),
        (HEAD + SEAL + "tax,vat,,%,120,,,,,all\n", "A tax of 120 % cannot be"),
        (HEAD + SEAL + "tax,vat,,%,5,20,,,,all\n", "A tax has one rate"),
        (HEAD + SEAL + "tax,vat,,%,5,,,,,seal oil\n", 'This lies on "oil", which is no line of the list'),
        (HEAD + "part,a,,,1,,EUR,,,all\n", "A part lies on nothing"),
        (WORDS + "part,a,,,1,,EUR,,,,seal\n", '2:11: error: "seal" is one word, which would fit too many findings'),
        (WORDS + "supply,a,,,1,,EUR,,,,seal weeps\n", "A supply prices no finding"),
        (HEAD + 'part,a,"two\nlines",,1,,EUR,,,\n', "2:3: error: The cell has more than one line"),
        (HEAD + 'part,"a"b,,,1,,EUR,,,\n', "The cells cannot be told apart"),
        (HEAD + 'part,"a,,,1,,EUR,,,\n' + SEAL, "The cells cannot be told apart"),
        (HEAD + "part,a\u202eb,,,1,,EUR,,,\n", "The character U+202E cannot be seen here"),
        ((HEAD + SEAL).encode("utf-16"), "The file is UTF-16: save it as UTF-8"),
        ((HEAD + "part,rosé,,,1,,EUR,,,\n").encode("latin-1"), "2:9: error: The byte 0xe9 is not UTF-8 text"),
        (b"PK\x03\x04rest", "This is a workbook: save its table as CSV"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_one_sentence_with_its_place(text, says):
    first, *_ = told(text)
    assert says in first
    assert first.startswith("list.csv:")
    assert first.count("\n") == 0


def test_a_list_beyond_all_bounds_is_refused_soon():
    lines = "".join(f"part,p{number},,,1,,EUR,,,\n" for number in range(MOST_LINES + 2))
    assert any(f"more than {MOST_LINES} lines" in one for one in told(HEAD + lines))
    wrong = HEAD + "part,a,,,x,,EUR,,,\n" * 500
    assert len(told(wrong)) == 101


def test_every_column_is_on_the_page():
    page = (Path(__file__).parents[2] / "docs" / "quote.md").read_text("utf-8")
    for name in PRICE_COLUMNS:
        assert f"| `{name}` |" in page
