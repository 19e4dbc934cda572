from kb.library.models import Library
from kb.text.concepts import make_concept_finder
from kb.text.words import split_words


def named(library: Library, text: str) -> list[str]:
    return [found.concept for found in make_concept_finder(library.lexicon).find(split_words(text))]


def test_synonyms_and_inflected_forms_meet_in_one_concept(small_library: Library) -> None:
    assert named(small_library, "the seats") == named(small_library, "a saddle") == ["saddle"]
    assert named(small_library, "it skipped") == named(small_library, "jumping") == ["slip"]


def test_a_word_of_two_meanings_goes_by_its_company(small_library: Library) -> None:
    assert named(small_library, "the stem is loose") == ["stem"]
    assert named(small_library, "air comes out at the stem") == ["valve"]


def test_listed_misspellings_are_known(small_library: Library) -> None:
    assert named(small_library, "chian") == ["chain"]


def test_real_lexicon_tells_ambiguous_words_apart(library: Library) -> None:
    finder = make_concept_finder(library.lexicon)

    def of(text: str) -> set[str]:
        return {found.concept for found in finder.find(split_words(text))}

    assert "stem" in of("the bar slips in the stem when I hit a kerb")
    assert "valve" in of("air leaks where the stem joins the tube")
    assert "cassette" in of("new chain and block, slips on the small sprockets")
    assert "brake-block" in of("the brake blocks squeal on the rim")
    assert "rear-derailleur" in of("the gear thing at the back")
    assert "brake-lever" in of("break lever comes to the bar")
