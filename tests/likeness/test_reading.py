import pytest

from kb.errors import BadInput
from kb.library.models import Library
from kb.likeness import Reader, make_reader, plain_reading
from kb.search.vocabulary import make_speller
from kb.text.analysis import Analyser
from kb.text.concepts import make_concept_finder


@pytest.fixture
def reader(small_library: Library) -> Reader:
    return make_reader(Analyser(make_speller(small_library), make_concept_finder(small_library.lexicon)))


def test_two_words_for_one_part_share_its_concept(reader: Reader) -> None:
    one, other = reader("a worn cog"), reader("worn sprockets")
    assert "@sprocket" in set(one.terms) & set(other.terms)
    assert one.quoted["@sprocket"] == "cog"


def test_spelling_is_repaired_and_quoted_as_written(reader: Reader) -> None:
    said = reader("my Sprokcet")
    assert "sprocket" in said.terms
    assert said.quoted["sprocket"] == "Sprokcet"


def test_function_words_are_left_out_and_numbers_kept() -> None:
    assert plain_reading("It is the 0,75 side of my gauge").terms == ("0.75", "side", "gaug")


def test_repeated_words_stand_as_often_as_they_are_said() -> None:
    assert plain_reading("creak creaks creaking").terms == ("creak",) * 3


@pytest.mark.parametrize("text", ["", "…", "the of and", "\x00", "🚲"])
def test_a_text_without_words_says_nothing(reader: Reader, text: str) -> None:
    assert reader(text).terms == plain_reading(text).terms == ()


def test_a_text_too_long_is_refused(reader: Reader) -> None:
    for read in (reader, plain_reading):
        with pytest.raises(BadInput, match="at most 20000 characters"):
            read("a" * 20_001)
