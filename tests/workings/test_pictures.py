import math
import re
from xml.etree import ElementTree

import pytest

from kb.workings import pictures


def _circles(svg: str) -> list[tuple[float, float, float]]:
    marks = ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}circle")
    return [(float(mark.attrib["cx"]), float(mark.attrib["cy"]), float(mark.attrib["r"])) for mark in marks]


def test_ring_and_sprocket_are_drawn_to_one_scale() -> None:
    cog, ring = _circles(pictures.chain_picture(405, 50, 34))
    assert ring[2] / cog[2] == pytest.approx(math.sin(math.pi / 34) / math.sin(math.pi / 50), rel=0.01)
    assert (ring[0] - cog[0]) / ring[2] == pytest.approx(405 / 101.13, rel=0.01)


def test_the_runs_of_the_chain_touch_both_circles() -> None:
    svg = pictures.chain_picture(405, 50, 34)
    (cog_x, cog_y, cog_r), (ring_x, ring_y, ring_r) = _circles(svg)
    runs = re.findall(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"/>', svg)
    for x1, y1, x2, y2 in ([float(part) for part in run] for run in runs):
        assert math.dist((x1, y1), (cog_x, cog_y)) == pytest.approx(cog_r, abs=0.2)
        assert math.dist((x2, y2), (ring_x, ring_y)) == pytest.approx(ring_r, abs=0.2)
    assert len(runs) == 2


def test_spacers_are_drawn_only_where_there_is_room() -> None:
    with_room, without = pictures.stack_picture(97.5, 73, 11), pictures.stack_picture(90, 73, 11)
    assert with_room.count("<rect") == without.count("<rect") + 1
    assert "spacers 2.50 mm" in with_room


def test_hanger_leans_to_the_side_of_the_difference() -> None:
    left, right = pictures.hanger_picture(-4, 311), pictures.hanger_picture(4, 311)
    assert left != right
    assert "-0.37 degrees" in left


def test_clamp_shows_bolts_and_bar() -> None:
    assert "4 x 5000 N" in pictures.clamp_picture(5000, 4, 31.8, 0.15)
    assert pictures.clamp_picture(5000, 4, 31.8, 0.15) != pictures.clamp_picture(5000, 4, 31.8, 0.15, "one")


def test_a_radial_spoke_is_drawn_straight_from_the_hub() -> None:
    svg = pictures.spoke_picture(600, 58, 32, 32, 0)
    x1, y1, x2, y2 = (
        float(part) for part in re.findall(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"/>', svg)[0]
    )
    assert y1 == y2
    assert x2 > x1


def test_every_gear_has_a_tick() -> None:
    svg = pictures.gear_picture([("50", [3.0, 6.0]), ("34", [2.0, 4.0])])
    assert svg.count("<line") == 4
