"""What a code means, from what is known; fields of GS1 codes by the examples of its specifications (from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.faults import Fault
from assistant.scan.gs1 import Field, is_article, read_code
from assistant.scan.meaning import (
    Known,
    MachineScanned,
    Named,
    OrderScanned,
    PartScanned,
    Several,
    ToolScanned,
    Unknown,
    meaning_of,
)
from assistant.scan.order_list import WorkOrder, read_orders

ARTICLE = "09501101530003"
"""The number that the examples of GS1 use; the digits 950 are those of its own office."""
KNOWN = Known(
    orders=(WorkOrder("WO-4711", "Pump stand 4", "Row of Alders", "pump.yaml"), WorkOrder("WO-4712", "Hub stand 2")),
    machines=("Pump stand 4", "Bench Z7"),
    tools=(
        Named("small-wrench", "small wrench", ("PW-0815",)),
        Named("jazzy", "long bar"),
        Named("seal-press", "press"),
    ),
    parts=(Named("seal", "lid seal", (ARTICLE,)), Named("ring", "plug ring", ("PX-1002",))),
)


def test_what_is_known_is_found_whatever_stands_between_its_letters():
    pump, hub = KNOWN.orders
    assert meaning_of("wo4711", KNOWN) == OrderScanned(pump)
    assert meaning_of("PUMP STAND 4", KNOWN) == MachineScanned("Pump stand 4", True, (pump,))
    assert meaning_of("Hub stand 2", KNOWN) == MachineScanned("Hub stand 2", True, (hub,))
    assert meaning_of("px 1002", KNOWN) == PartScanned(KNOWN.parts[1])
    assert meaning_of("TOOL small-wrench", KNOWN) == meaning_of("PW0815", KNOWN) == ToolScanned(KNOWN.tools[0])
    assert meaning_of("TOOL gone", KNOWN) == Unknown("TOOL gone", is_tool=True)
    assert meaning_of("y", KNOWN) == Unknown("y")


def test_a_reader_with_another_layout_of_keys_is_understood():
    """English letters on a computer with German keys: y and z change places, and the hyphen is an ß."""
    assert meaning_of("TOOL jayyz", KNOWN) == ToolScanned(KNOWN.tools[1])
    assert meaning_of("TOOL smallßwrench", KNOWN) == ToolScanned(KNOWN.tools[0])
    assert meaning_of("Bench Y7", KNOWN) == MachineScanned("Bench Z7")


def test_one_code_on_two_things_is_asked_about():
    both = Known(tools=(Named("wrench", "wrench", ("77",)),), parts=(Named("seal", "seal", ("77",)),))
    assert meaning_of("77", both) == Several((ToolScanned(both.tools[0]), PartScanned(both.parts[0])))


def test_a_vehicle_that_nobody_met_yet_is_a_machine():
    new = meaning_of("1" * 17, KNOWN)
    assert isinstance(new, MachineScanned)
    assert (new.name, new.is_known, new.orders) == ("1" * 17, False, ())
    order = WorkOrder("9", machine="1" * 17)
    assert meaning_of("I" + "1" * 17, Known(orders=(order,))).orders == (order,)


@pytest.mark.parametrize(
    "code",
    [
        ARTICLE[1:],  # the bar code of a shop, thirteen digits
        f"]C101{ARTICLE}",
        f"]d201{ARTICLE}17270101" + "10LOT7\x1d21SER9",
        f"]Q301{ARTICLE}310300125021SER9",
        f"(01){ARTICLE}(17)270101(10)LOT7",
        f"01{ARTICLE}21SER9",  # a reader that does not say what it read
        f"https://id.example.org/01/{ARTICLE}/10/LOT7?17=270101",
    ],
)
def test_a_part_is_found_by_the_number_of_its_article(code):
    assert meaning_of(code, KNOWN) == PartScanned(KNOWN.parts[0])


def test_the_other_fields_of_a_code_are_found():
    fields = {read.field: read.text for read in read_code(f"]C101{ARTICLE}240PX-1002\x1d21PW-0815\x1d400WO-4711")}
    assert fields[Field.NUMBER] == "PX-1002"
    assert (fields[Field.SERIAL], fields[Field.ORDER]) == ("PW-0815", "WO-4711")
    assert meaning_of("]C18004PW-0815", KNOWN) == ToolScanned(KNOWN.tools[0])
    assert meaning_of("]C1400WO-4711", KNOWN) == OrderScanned(KNOWN.orders[0])
    assert meaning_of("]A0PX-1002", KNOWN) == PartScanned(KNOWN.parts[1])  # Code 39, and no GS1 code


@given(st.text(st.characters(codec="ascii"), max_size=60))
def test_no_code_breaks_it_and_the_whole_of_it_is_always_there(code):
    assert read_code(code)[0].field is Field.ALL
    meaning_of(code, KNOWN)


@given(st.from_regex(r"[0-9]{13}", fullmatch=True))
def test_the_last_digit_of_an_article_by_brute_force(start):
    """Exactly one digit of ten fills the sum up: GS1 General Specifications, 7.9 (from memory)."""
    right = [digit for digit in range(10) if is_article(f"{start}{digit}")]
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(start))
    assert right == [-total % 10]


def test_the_list_of_orders_is_read():
    text = "\ufeffOrder;Machine;Customer;Procedure\r\nWO-4711;Pump stand 4;Row of Alders;pump.yaml\r\nWO-4712;;;\r\n"
    assert read_orders(text.encode(), "orders.csv") == (
        WorkOrder("WO-4711", "Pump stand 4", "Row of Alders", "pump.yaml", 2),
        WorkOrder("WO-4712", line=3),
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"\xff", "orders.csv is not in UTF-8"),
        (b"machine,customer\n", 'orders.csv has no column "order"'),
        (b"order,price\n", 'a column "price" that is not known'),
        (b"order,order\n", "has a column twice"),
        (b"order,machine\n1,a\n2\n", "Line 3 of orders.csv has not as many cells"),
        (b"order,machine\n1,a\n2,b,c\n", "Line 3 of orders.csv has not as many cells"),
        (b"order\n1\n--\n", "Line 3 of orders.csv has no number"),
        (b"order\nA-1\na1\n", 'Line 3 of orders.csv has the order "a1" again'),
        (b"order,procedure\n1,../pump.yaml\n", "is a path"),
        (b'order\n"1\n', "cannot be told apart"),
        (b"order\n" + b"7" * 200 + b"\n", "is too long"),
    ],
)
def test_a_broken_list_says_the_line_and_what_to_do(text, says):
    fault = read_orders(text, "orders.csv")
    assert isinstance(fault, Fault)
    assert says in fault.sentence
