"""Drawings of closing: every nut and every gap where it stands, and the same in words."""

import math
from decimal import Decimal

import pytest

from app.reports.closing_drawing import MIDDLE, joint_layout, stagger_layout


@pytest.mark.parametrize("nuts", [2, 4, 5, 6, 8, 12])
def test_nuts_stand_evenly_round_the_joint_and_each_has_its_turn(nuts):
    layout = joint_layout(nuts)

    angles = [math.degrees(math.atan2(nut.x - MIDDLE, MIDDLE - nut.y)) % 360 for nut in layout.nuts]
    assert angles == pytest.approx([360 * index / nuts for index in range(nuts)], abs=0.2)
    assert sorted(nut.turn for nut in layout.nuts) == list(range(1, nuts + 1))


def test_order_of_six_nuts_is_said_in_words():
    assert joint_layout(6).spoken == "6 nuts; clockwise from the top they are tightened as 1, 3, 5, 2, 4, 6"


def test_gaps_stand_at_their_angles_the_top_ring_outermost():
    layout = stagger_layout([Decimal(0), Decimal(120), Decimal(240)])

    reach = [math.hypot(ring.x - MIDDLE, ring.y - MIDDLE) for ring in layout.rings]
    assert reach == sorted(reach, reverse=True)
    assert layout.rings[0].x == MIDDLE
    assert layout.spoken == "Gaps seen from above: ring 1 at 0°; ring 2 at 120°; ring 3 at 240°"
