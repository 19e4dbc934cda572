import pytest

from kb.errors import BadInput
from kb.workings.listing import teeth_list


@pytest.mark.parametrize(
    ("text", "teeth"),
    [
        ("50/34", (50, 34)),
        ("11-13-15", (11, 13, 15)),
        ("11, 12,13", (11, 12, 13)),
        ("40T", (40,)),
        ("48x36x26", (48, 36, 26)),
    ],
)
def test_lists_of_teeth_are_read_as_riders_write_them(text: str, teeth: tuple[int, ...]) -> None:
    assert teeth_list("rings", text) == teeth


@pytest.mark.parametrize("text", ["", "200/34", "0", "fifty", "50/34.5", "-", " ".join(["11"] * 17)])
def test_what_is_no_list_of_teeth_is_refused(text: str) -> None:
    with pytest.raises(BadInput) as refusal:
        teeth_list("rings", text)
    assert refusal.value.field == "rings"
