"""Sums of money: worked by hand, or by laws that every sum keeps."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.money import MoneyRange, currency_of
from assistant.advice.prices import PriceKind, PriceLine, PriceList
from assistant.procedure.format.price_file import read_price_file, read_prices
from assistant.procedure.format.reader import read_procedure
from assistant.report.accounts.account import Account, Needed, account, summed
from assistant.report.accounts.quote import price_of_work, quote_of

PROCEDURES = Path(__file__).parents[2] / "procedures"
DEMO = read_price_file(PROCEDURES / "prices-alder-row.csv").prices
VALVES = read_procedure(PROCEDURES / "valve-clearances.yaml").usable
HEAD = "kind,id,name,unit,price,to,currency,number,in stock,lies on\n"


def listed(*lines):
    reading = read_prices((HEAD + "".join(f"{line}\n" for line in lines)).encode(), "list.csv")
    assert reading.findings == ()
    return reading.prices


def part(name, amount):
    return Needed(PriceKind.PART, name, name, None if amount is None else Decimal(amount))


def amounts(money):
    return str(money.low.amount), str(money.high.amount)


def test_a_sum_is_as_the_hand_works_it_out():
    prices = listed(
        "part,a,,,0.335,,EUR,,,", "part,b,,,10,12.5,EUR,,,", "labour,mechanic,,h,64,,EUR,,,", "tax,vat,,%,19,,,,,all",
        "tax,levy,,%,1.5,,,,,a",
    )  # fmt: skip
    work = Needed(PriceKind.LABOUR, "mechanic", "mechanic", Decimal("1.25"), "h")
    found = account(prices, [part("a", 3), part("b", 2), work])
    # 3 x 0.335 = 1.005 -> 1.01; 2 x 10 to 12.50 = 20 to 25; 1.25 x 64 = 80: 101.01 to 106.01.
    assert [amounts(one.net) for one in found.positions] == [("1.01", "1.01"), ("20.00", "25.00"), ("80.00", "80.00")]
    assert amounts(found.net) == ("101.01", "106.01")
    # 19 % of 101.01 = 19.1919 and of 106.01 = 20.1419; 1.5 % of 1.01 = 0.01515.
    assert [amounts(tax.net) for tax in found.taxes] == [("19.19", "20.14"), ("0.02", "0.02")]
    assert amounts(found.total) == ("120.22", "126.17")


@pytest.mark.parametrize(
    ("currency", "price", "count", "rate", "net", "tax"),
    [
        ("JPY", "333", "3", "10", "999", "100"),  # 99.9
        ("KWD", "0.1235", "1", "5", "0.124", "0.006"),  # 0.0062
        ("EUR", "19.99", "1", "17.5", "19.99", "3.50"),  # 3.49825
        ("EUR", "625", "1", "25", "625.00", "156.25"),
    ],
)
def test_minor_units_decide_what_is_rounded(currency, price, count, rate, net, tax):
    found = account(listed(f"part,a,,,{price},,{currency},,,", f"tax,v,,%,{rate},,,,,part"), [part("a", count)])
    assert (str(found.net.low.amount), str(found.taxes[0].net.low.amount)) == (net, tax)


def test_nothing_costs_nothing():
    found = account(DEMO, [])
    assert amounts(found.total) == ("0.00", "0.00")
    assert found.positions == found.taxes == ()


def test_what_has_no_price_is_listed_and_not_counted():
    found = account(DEMO, [part("shaft-seal", 1), part("gold bar", 3), part("plug-seals", None)])
    assert [one.why for one in found.unpriced] == [
        "no part of that name is in the price list", "no part of that name is in the price list",
        "no part of that name is in the price list",
    ]  # fmt: skip
    spare = Needed(PriceKind.PART, "plug-seals", "plug seal", None)
    assert [one.why for one in account(DEMO, [spare]).unpriced] == ["how much of it is not known"]
    oil = Needed(PriceKind.SUPPLY, "oil", "gear oil", Decimal(1), "can")
    assert "priced by l" in account(DEMO, [oil]).unpriced[0].why
    assert account(DEMO, [oil]).taxes == ()


def test_one_name_for_two_things_is_not_mixed_up():
    gear, engine, other = (
        account(DEMO, [Needed(PriceKind.SUPPLY, "oil", name, Decimal(2), "litres")])
        for name in ("gear oil", "Engine oil", "salad oil")
    )
    assert (amounts(gear.positions[0].net), amounts(engine.positions[0].net)) == (("17.80",) * 2, ("14.90",) * 2)
    assert len(other.unpriced) == 1


def test_millilitres_are_priced_by_the_litre():
    found = account(DEMO, [Needed(PriceKind.SUPPLY, "oil", "gear oil", Decimal(250), "ml")])
    assert amounts(found.positions[0].net) == ("2.23", "2.23")  # 0.25 x 8.90 = 2.225


@given(
    st.lists(
        st.tuples(st.integers(0, 999_999), st.integers(0, 5_000), st.integers(0, 9_999), st.booleans()), max_size=12
    ),
    st.integers(0, 2_500),
    st.sampled_from(["JPY", "EUR", "KWD"]),
    st.randoms(use_true_random=False),
)
def test_the_lines_make_the_sum_in_any_order(lines, rate, code, random):
    """Checked with whole numbers of minor units, added by Python itself."""
    rows = [
        PriceLine(
            PriceKind.PART, f"p{at}", "", "", Decimal(price).scaleb(-3), Decimal(price + more).scaleb(-3),
        )
        for at, (price, _, more, _) in enumerate(lines)
    ]  # fmt: skip
    tax = PriceLine(
        PriceKind.TAX, "t", "t", "%", *(Decimal(rate).scaleb(-2),) * 2,
        on_ids=tuple(f"p{at}" for at, line in enumerate(lines) if line[3]),
    )  # fmt: skip
    prices = PriceList("l", currency_of(code), (*rows, tax))
    wanted = [part(f"p{at}", Decimal(count).scaleb(-1)) for at, (_, count, _, _) in enumerate(lines)]
    found = account(prices, wanted)
    assert found.unpriced == ()
    for end in ("low", "high"):
        nets = [getattr(one.net, end).amount for one in found.positions]
        taxes = [getattr(one.net, end).amount for one in found.taxes]
        assert getattr(found.net, end).amount == sum(nets)
        assert getattr(found.total, end).amount == sum([*nets, *taxes])
        assert all(amount >= 0 for amount in (*nets, *taxes))
    assert found.total.low <= found.total.high
    mixed = list(found.positions)
    random.shuffle(mixed)
    again = summed(prices, mixed)
    assert (again.net, again.total, again.taxes) == (found.net, found.total, found.taxes)


def test_the_quote_of_the_demo_is_as_the_hand_works_it_out():
    quote = quote_of(VALVES, DEMO)
    # 5 h 20 min are 5.33 h at 64.00: 341.12, and the witness costs nothing in this list. Parts: 18.40 + 12.75 + 5 x
    # 2.35 = 42.90. Supplies: 11.90 + 5.60 + 5 x 0.18 + 12 x 7.45 = 107.80. Old oil, once: 4.00.
    assert amounts(quote.sure.net) == ("495.82",) * 2
    assert amounts(quote.sure.taxes[0].net) == ("104.12",) * 2  # 104.1222
    assert amounts(quote.sure.total) == ("599.94",) * 2
    (rail,) = quote.options
    # 20 min are 0.33 h: 21.12, and a rail 46.00 to 58.00: 67.12 to 79.12, with 21 % 81.2152 to 95.7352.
    assert (rail.work, rail.title, rail.needs_grant) == ("rail:no", "Change the tension rail.", True)
    assert amounts(rail.account.total) == ("81.22", "95.74")
    # All in one: 495.82 + 79.12 = 574.94, and 21 % of it: 120.7374.
    assert amounts(quote.total) == ("599.94", "695.68")
    assert not quote.may_be_less


def test_extra_work_has_its_own_price():
    assert amounts(price_of_work(VALVES, DEMO, "rail:no").total) == ("81.22", "95.74")
    prices = listed("labour,mechanic,,h,64,,EUR,,,", "other,,The duct is torn.,,80,120,EUR,,,")
    assert amounts(price_of_work(VALVES, prices, "finding:1", "the duct is torn.").total) == ("80.00", "120.00")
    unknown = price_of_work(VALVES, prices, "finding:2", "the mount is cracked")
    assert amounts(unknown.total) == ("0.00", "0.00")
    assert [one.name for one in unknown.unpriced] == ["the mount is cracked"]


WORDS = HEAD.replace("lies on", "lies on,findings")
SEAL = "part,front-seal,front shaft seal,,12.00,14.00,EUR,,,,seal weeps|weeping seal\n"
RATE = "labour,mechanic,,h,60,,EUR,,,,\n"


def found_by(text: str, minutes: int | None, *lines: str) -> Account:
    prices = read_prices((WORDS + "".join(lines)).encode(), "l.csv").prices
    return price_of_work(VALVES, prices, "finding:1", text, None if minutes is None else Decimal(minutes))


@pytest.mark.parametrize("text", ["The seal weeps on the left.", "a weeping seal", "left seal weeps"])
def test_a_finding_is_priced_by_words_of_it_with_its_minutes(text):
    # 20 min are 0.33 h at 60: 19.80, and a seal for 12 to 14
    assert amounts(found_by(text, 20, SEAL, RATE).total) == ("31.80", "33.80")
    own_rate = "labour,sealing,sealing work,h,90,,EUR,,,,seal weeps|weeping seal\n"
    assert amounts(found_by(text, 20, SEAL, RATE, own_rate).total) == ("41.70", "43.70")


@pytest.mark.parametrize(
    ("text", "minutes", "unpriced"),
    [("the seal weeps", None, "mechanic"),  # nobody said how long it takes
     ("the sealed hose weeps", 20, "the sealed hose weeps"),  # other words
     ("the seal weepsy", 20, "the seal weepsy"),
     ("the seal of the weeping pump", 20, "the seal of the weeping pump")],
)  # fmt: skip
def test_a_finding_whose_words_or_minutes_are_missing_has_no_price(text, minutes, unpriced):
    assert [one.name for one in found_by(text, minutes, SEAL, RATE).unpriced] == [unpriced]


def test_the_longest_words_count_and_two_of_one_length_price_nothing():
    longer = "other,,reseal the shaft,,150,,EUR,,,,seal weeps badly\n"
    assert amounts(found_by("the seal weeps badly", None, SEAL, longer, RATE).total) == ("150.00",) * 2
    other = "other,,clean it,,15,,EUR,,,,on top\n"
    text = "the seal weeps on top"
    assert [one.name for one in found_by(text, 20, SEAL, other, RATE).unpriced] == [text]


def test_what_comes_once_does_not_come_again_with_what_comes_on_top():
    prices = listed("labour,mechanic,,h,60,,EUR,,,", "other,visit,way to the machine,,30,,EUR,,,labour")
    quote = quote_of(VALVES, prices)
    assert [one.name for one in quote.sure.positions if one.kind is PriceKind.OTHER] == ["way to the machine"]
    assert [one.name for one in quote.options[0].account.positions] == ["mechanic", "tension rail"]


def test_a_range_minus_a_range_is_all_that_it_can_be():
    eur = currency_of("EUR")
    found = MoneyRange.of(eur, Decimal(10), Decimal(12)) - MoneyRange.of(eur, Decimal(3), Decimal(7))
    assert amounts(found) == ("3", "9")
