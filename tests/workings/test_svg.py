from xml.etree import ElementTree

from kb.workings.svg import Canvas, box, circle, label, line


def test_a_picture_is_well_formed_and_says_what_it_shows() -> None:
    drawn = ElementTree.fromstring(
        Canvas("bar & <clamp>", 100, 50).svg(line(0, 0, 1, 1), circle(5, 5, 2), label(1, 1, "a < b"))
    )
    assert drawn.attrib["role"] == "img"
    assert drawn[0].text == "bar & <clamp>"
    assert [mark.tag.rpartition("}")[2] for mark in drawn[1:]] == ["line", "circle", "text"]


def test_a_box_is_never_of_negative_size() -> None:
    assert 'width="0.0"' in box(0, 0, -5, 3)
