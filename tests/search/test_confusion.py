from dataclasses import replace

from kb.library.models import CauseId
from kb.search.confusion import swapped_pairs
from kb.search.judging import Judged, Placing

WRONG, RIGHT = Placing(0, 1, 0.5, 0.63), Placing(1, 1, 1, 1)
CHAIN, COGS, ROTOR = CauseId("chain-worn"), CauseId("cassette-worn"), CauseId("rotor-bent")
ITEM = Judged("x", CHAIN, "comment", "drivetrain", "fault", COGS, 0.6, 0.1, True, False, 1.0, 0.8, WRONG, ("cogs",))


def test_both_directions_of_a_pair_are_counted_apart_and_ranked_together() -> None:
    other_way = replace(ITEM, gold=COGS, top=CHAIN, words=("slips", "cogs"))
    once = replace(ITEM, gold=ROTOR, top=CHAIN, words=())
    first, second = swapped_pairs([once, ITEM, ITEM, other_way])
    assert (first.pair, first.first_for_second, first.second_for_first) == ((COGS, CHAIN), 2, 1)
    assert first.words == ("cogs", "slips")
    assert (second.pair, second.count) == ((CHAIN, ROTOR), 1)


def test_right_answers_and_texts_without_an_article_are_no_swaps() -> None:
    right = replace(ITEM, top=CHAIN, placing=RIGHT)
    strange = replace(ITEM, gold=None, placing=None)
    assert swapped_pairs([right, strange]) == ()


def test_no_more_pairs_are_listed_than_asked_for() -> None:
    assert len(swapped_pairs([ITEM, replace(ITEM, top=ROTOR)], most=1)) == 1
