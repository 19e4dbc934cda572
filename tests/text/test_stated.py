"""What a complaint states, on the real checks: short cases that each hold one point."""

import pytest

from kb.answer import Answerer


def stated(answerer: Answerer, text: str) -> dict[str, str | float]:
    found = answerer.stated.find(answerer.analyser.analyse(text))
    return {item.check: item.outcome if item.value is None else item.value for item in found}


@pytest.mark.parametrize(
    ("text", "check", "reading"),
    [
        ("There is no play in the hub.", "hub-play", "none"),
        ("The rotor is 1.62 mm thick.", "rotor-thickness", 1.62),
        ("It stops when I freewheel.", "stops-when-coasting", "stops"),
        ("New chain last week.", "after-change", "new-chain"),
        ("Lever feels spongy.", "lever-feel", "spongy"),
    ],
)
def test_plain_statements_are_read(text: str, check: str, reading: str | float, answerer: Answerer) -> None:
    assert stated(answerer, text).get(check) == reading


@pytest.mark.parametrize(
    "text",
    [
        "Is there play in the hub?",
        "I haven't checked for play in the hub yet.",
        "On my other bike there is play in the hub.",
        "I will check the hub for play.",
    ],
)
def test_questions_plans_and_other_bikes_state_nothing(text: str, answerer: Answerer) -> None:
    assert "hub-play" not in stated(answerer, text)


def test_a_denial_turns_the_outcome_round(answerer: Answerer) -> None:
    assert stated(answerer, "The hub has play.").get("hub-play") == "play"
    assert stated(answerer, "The hub has no play.").get("hub-play") == "none"


def test_hedged_readings_are_marked(answerer: Answerer) -> None:
    found = answerer.stated.find(answerer.analyser.analyse("I think the hub has play."))
    assert [item.hedged for item in found if item.check == "hub-play"] == [True]


def test_quotes_stand_in_the_text(answerer: Answerer) -> None:
    text = "Rotor is true. No play in the hub! Lever feels spongy, chain was new last week."
    for item in answerer.stated.find(answerer.analyser.analyse(text)):
        assert text[item.start : item.end] == item.quote


def test_values_no_bike_can_show_are_not_read(answerer: Answerer) -> None:
    assert stated(answerer, "The rotor is 40 mm thick.").get("rotor-thickness") != 40
