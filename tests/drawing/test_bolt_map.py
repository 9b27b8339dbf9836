"""The bolt map shows every bolt where it sits, and can be read without colour."""

import cmath
import itertools
import math
import re
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.drawing.bolt_map import bolt_map_svg
from assistant.drawing.marks import BoltMark, stacked
from assistant.drawing.places import panels
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.model import Group, HiddenBolt, Layout, LayoutKind, Spot
from assistant.procedure.steps.tighten import Run, Stage

SVG = "{http://www.w3.org/2000/svg}"


def nm(value):
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def group(bolts, layout=None, name="cover", **more):
    return Group(name, f"{name} bolts", "eight millimetre", tuple(bolts), layout=layout, **more)


def circle(bolts, start=None, **more):
    turned = None if start is None else Angle(Decimal(start), AngleUnit.DEGREE)
    return Layout(LayoutKind.CIRCLE, circle=tuple(bolts), start=turned, **more)


def texts(svg):
    return ["".join(text.itertext()) for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_bolts_of_a_circle_go_clockwise_from_twelve_o_clock():
    (panel,) = panels([group(range(1, 9), circle(range(1, 9), diameter=Decimal(200)))])
    # As complex numbers: up is i, and a step clockwise is a turn by minus an eighth.
    for number in range(8):
        expected = 100j * cmath.exp(-2j * math.pi * number / 8)
        assert panel.points["cover", number + 1] == pytest.approx((expected.real, expected.imag), abs=1e-9)


def test_a_start_turns_the_circle_clockwise():
    (panel,) = panels([group(range(1, 5), circle(range(1, 5), start=90, diameter=Decimal(2)))])
    right, below, left, above = (panel.points["cover", bolt] for bolt in (1, 2, 3, 4))
    for point, expected in ((right, (1, 0)), (below, (0, -1)), (left, (-1, 0)), (above, (0, 1))):
        assert point == pytest.approx(expected, abs=1e-9)


def test_rows_go_from_left_to_right_the_top_row_first():
    layout = Layout(
        LayoutKind.ROWS,
        rows=((1, 2, 3), (4, 5, 6)),
        width=Decimal(20),
        height=Decimal(8),
        x=Decimal(100),
        y=Decimal(50),
    )
    (panel,) = panels([group(range(1, 7), layout)])
    assert [panel.points["cover", bolt] for bolt in range(1, 7)] == [
        (90, 54), (100, 54), (110, 54), (90, 46), (100, 46), (110, 46),
    ]  # fmt: skip


def test_groups_with_sizes_share_a_picture_and_others_stand_alone():
    sized = group((1, 2), circle((1, 2), diameter=Decimal(50)), "a")
    free = group((3,), Layout(LayoutKind.FREE, spots=(Spot(3, Decimal(0), Decimal(0)),)), "b")
    unsized, nowhere = group((4, 5), circle((4, 5)), "c"), group((6,), None, "d")
    found = panels([sized, unsized, free, nowhere])
    assert [[one.id for one in panel.groups] for panel in found] == [["a", "b"], ["c"], ["d"]]
    assert [panel.known for panel in found] == [True, True, False]
    assert "not where they sit" in bolt_map_svg([nowhere], [])


def test_every_bolt_has_its_number_and_its_place_in_the_order():
    cover = group((1, 2, 3, 4), circle((1, 2, 3, 4)))
    said = texts(bolt_map_svg([cover], [Stage.single((Run("cover", (3, 1, 4, 2), nm(20)),))]))
    for number, place in ((3, "1st"), (1, "2nd"), (4, "3rd"), (2, "4th")):
        assert said.count(str(number)) == 1
        assert said.index(place) == said.index(str(number)) + 1


def test_stage_values_and_limits_stand_beside_the_map():
    cover = group((1, 2), circle((1, 2)))
    run = Run("cover", (1, 2), nm(20), low=nm(18), high=nm(22), drag=nm(2))
    stages = [
        Stage.single((run,)),
        Stage.single((Run("cover", (2, 1), Angle(Decimal(90), AngleUnit.DEGREE)),), to_yield=True),
    ]
    said = " ".join(texts(bolt_map_svg([cover], stages)))
    for words in ("torque 20 N·m", "18 to 22 N·m", "2 N·m drag", "a further 90°", "to yield"):
        assert words in said
    assert "cover bolts 2, 1" in said, "A stage with another order than the one shown names it."


def test_a_drafted_order_is_marked_at_every_bolt_and_in_words_and_a_given_one_is_not():
    cover = group((1, 2, 3, 4), circle((1, 2, 3, 4)))
    drafted = bolt_map_svg([cover], [Stage.single((Run("cover", (1, 3, 2, 4), nm(20), drafted="cross pattern"),))])
    given_order = bolt_map_svg([cover], [Stage.single((Run("cover", (1, 3, 2, 4), nm(20)),))])
    assert {"1st*", "2nd*", "3rd*", "4th*"} <= set(texts(drafted))
    assert any("DRAFTED ORDER (cross pattern)" in text for text in texts(drafted))
    assert "*" not in "".join(texts(given_order))
    assert "DRAFTED" not in given_order


def test_hidden_bolts_are_marked_with_a_line_a_word_and_their_place():
    svg = bolt_map_svg([group((1, 2), circle((1, 2)), hidden=(HiddenBolt(2, "behind the pipe"),))], [])
    assert texts(svg).count("hidden") == 1
    assert "behind the pipe" in " ".join(texts(svg))
    assert svg.count("stroke-dasharray") == 1


def grey(svg):
    """Return the map as a printer without colour makes it: every colour as its lightness."""

    def lightness(found):
        red, green, blue = (int(found[0][place : place + 2], 16) for place in (1, 3, 5))
        return f"grey{round(0.2126 * red + 0.7152 * green + 0.0722 * blue) // 64}"

    return re.sub("#[0-9a-f]{6}", lightness, svg)


def test_states_and_groups_differ_without_colour():
    def drawn(place, state):
        groups = [group((number,), None, f"g{number}") for number in range(1, place + 2)]
        marks = {place + 1: state}
        svg = grey(bolt_map_svg(groups, [], marks))
        title = f"<title>Bolt {place + 1}, g{place + 1} bolts, {state.value}"
        one = svg[svg.index(title) :].split("</g>")[0]
        return re.sub(r"\d+\.\d", "0", one.split("</title>")[1]).replace(f">{place + 1}<", "><")

    looks = [drawn(place, state) for place in range(6) for state in BoltMark]
    assert len(set(looks)) == len(looks)


def test_text_of_people_cannot_become_a_part_of_the_picture():
    evil = '</text><script>alert(1)</script> & "x" \x07'
    cover = Group("cover", evil, evil, (1,), thread=evil, hidden=(HiddenBolt(1, evil),))
    svg = bolt_map_svg([cover], [Stage.single((Run("cover", (1,), nm(5)),))], title=evil)
    root = ElementTree.fromstring(svg)
    assert not [element for element in root.iter() if element.tag == f"{SVG}script"]
    assert "<script>alert(1)</script>" in "".join(texts(svg)).replace("  ", " ")


def test_maps_are_stacked_below_each_other():
    one = bolt_map_svg([group((1, 2), circle((1, 2)))], [], title="One")
    two = bolt_map_svg([group((7,), None)], [], title="Two")
    root = ElementTree.fromstring(stacked([one, two]))
    inner = [element for element in root if element.tag == f"{SVG}svg"]
    assert [element.get("y") for element in inner] == ["0", inner[0].get("height")]
    assert int(root.get("height")) == sum(int(element.get("height")) for element in inner)


@st.composite
def layouts(draw):
    bolts = tuple(range(1, draw(st.integers(1, 40)) + 1))
    kind = draw(st.sampled_from(LayoutKind))
    if kind is LayoutKind.CIRCLE:
        return group(
            bolts, circle(bolts, start=draw(st.integers(0, 359)), diameter=draw(st.none() | st.just(Decimal(300))))
        )
    if kind is LayoutKind.ROWS:
        cut = draw(st.integers(1, len(bolts)))
        rows = tuple(row for row in (bolts[:cut], bolts[cut:]) if row)
        return group(bolts, Layout(kind, rows=rows, width=draw(st.none() | st.just(Decimal(500)))))
    grid = st.tuples(st.integers(-9, 9), st.integers(-9, 9))
    points = draw(st.lists(grid, min_size=len(bolts), max_size=len(bolts), unique=True))
    spots = tuple(Spot(bolt, Decimal(40 * x), Decimal(40 * y)) for bolt, (x, y) in zip(bolts, points, strict=True))
    return group(bolts, Layout(kind, spots=spots))


@given(layouts())
@settings(deadline=None, max_examples=60)
def test_any_layout_has_each_number_once_inside_the_picture_and_no_two_marks_touch(one):
    root = ElementTree.fromstring(bolt_map_svg([one], [Stage.single((Run("cover", one.bolts, nm(5)),))]))
    outer, inner = (list(root.iter(f"{SVG}g"))[place].get("transform") for place in (1, 2))
    shift = [sum(float(re.findall(r"-?[\d.]+", move)[axis]) for move in (outer, inner)) for axis in (0, 1)]
    marks = [(float(mark.get("cx")), float(mark.get("cy")), float(mark.get("r"))) for mark in root.iter(f"{SVG}circle")]
    marks = [
        mark for mark, element in zip(marks, root.iter(f"{SVG}circle"), strict=True) if element.get("fill") == "#ffffff"
    ]
    assert len(marks) == len(one.bolts)
    for (x, y, radius), (other_x, other_y, _) in itertools.combinations(marks, 2):
        assert math.dist((x, y), (other_x, other_y)) > 2 * radius
    for x, y, radius in marks:
        assert radius <= x + shift[0] <= float(root.get("width")) - radius
        assert radius <= y + shift[1] <= float(root.get("height")) - radius
    numbers = [text.text for text in root.iter(f"{SVG}text") if text.get("font-weight") == "bold"]
    assert sorted(int(text) for text in numbers if text.isdigit()) == list(one.bolts)
