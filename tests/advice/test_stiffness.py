"""The stiffness of joints against worked examples of books and rules of practice."""

import math

import pytest

from assistant.advice.stiffness import factor_of_stretch, force_of_angle, frustum, joint_of, rod, torque_band
from assistant.fastening.assembly import head_sizes
from assistant.fastening.classes import property_class
from assistant.fastening.inch import parse_any_thread

INCH, POUND = 25.4, 4.4482216152605
MEGA = 1e6 * POUND / INCH
"""Newtons to the millimetre [N/mm] in a million pounds-force to the inch."""
MODULUS = 30e6 * 0.006894757
"""That of steel in the book [MPa]: 30 million pounds-force to the square inch."""


def test_parts_are_as_stiff_as_in_a_book():
    # Shigley, Mechanical Engineering Design, example 8-2 (from memory): 1/2 inch, clamp length 1.345 inch, head of one
    # and a half diameters, all of steel: 14.64 million lbf/in.
    parts = 2 * frustum(0.5 * INCH, 0.75 * INCH, 1.345 / 2 * INCH, MODULUS, 0.5774)
    assert 1 / parts / MEGA == pytest.approx(14.64, abs=0.005)


def test_a_bolt_is_as_stiff_as_in_a_book():
    # The same example (from memory): 0.25 inch of shank and 1.095 of thread with 0.1599 square inches: 3.69.
    bolt = rod(0.25 * INCH, math.pi / 4 * (0.5 * INCH) ** 2, MODULUS) + rod(1.095 * INCH, 0.1599 * INCH**2, MODULUS)
    assert 1 / bolt / MEGA == pytest.approx(3.69, abs=0.01)


@pytest.mark.parametrize(("size", "diameters", "degrees", "kips"), [
    # RCSC specification, table 8.1, group A (from memory): least tension of structural bolts; table 8.2: the angle.
    ("1/2-13", 3.5, 120, 12), ("3/4-10", 6, 180, 28), ("7/8-9", 6, 180, 39), ("3/4-10", 11, 240, 28),
])  # fmt: skip
def test_an_angle_that_is_prescribed_stretches_the_bolt_as_far_as_it_must(size, diameters, degrees, kips):
    thread = parse_any_thread(size)
    joint = joint_of(thread, diameters * thread.diameter, *head_sizes(thread))
    assert force_of_angle(joint, degrees) > kips * 1000 * POUND


def test_both_give_way_together_less_than_a_bare_bolt_would():
    # 826 N for each degree where only the bolt stretches: E A P / (360 l) for M10 and 60 mm, on paper.
    thread = parse_any_thread("M10")
    assert 400 < force_of_angle(joint_of(thread, 60, *head_sizes(thread)), 1) < 826


def test_a_stretch_gives_the_force_and_so_the_nut_factor():
    # Shigley, table 8-15 (from memory): K = 0.18 lubricated. F = 48 N·m / (0.18 x 10 mm) = 26.67 kN.
    thread = parse_any_thread("M10")
    joint = joint_of(thread, 60, *head_sizes(thread))
    assert factor_of_stretch(joint, 48, 26_667 * joint.bolt) == pytest.approx(0.18, abs=1e-4)


def test_a_usual_final_torque_is_within_what_the_joint_accounts_for():
    # VDI 2230-1:2015, table A1 (from memory): M10 10.9 at 0.12 uses 90 percent of yield at 71 N·m.
    thread = parse_any_thread("M10")
    low, high = torque_band(joint_of(thread, 60, *head_sizes(thread)), property_class("10.9", 10), 30, 90, (0.08, 0.16))
    assert 30 < low < 71 < high < 71 * 2
