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


@pytest.mark.parametrize(
    ("text", "check", "reading"),
    [
        ("BB smooth, cups tight, chain off.", "bottom-bracket-cups", "tight"),
        ("The hub has play, and when I spin the axle in my fingers it is smooth.", "hub-spin", "smooth"),
        ("Rotor wobbles by half a millimetre.", "rotor-runout", 0.5),
        ("The chain wear gauge reads 0,75 %.", "chain-elongation", 0.75),
        ("No idea whether the bottom bracket is pressed in or threaded.", "shell-kind", "unsure"),
    ],
)
def test_wordings_of_no_fixed_phrase_are_read(text: str, check: str, reading: str | float, answerer: Answerer) -> None:
    assert stated(answerer, text).get(check) == reading


@pytest.mark.parametrize(
    "text",
    [
        "The pedal itself I haven't spun.",
        "A mate says the pedals are rough.",
        "I'd like to spin the pedals some day.",
        "The pedals on my old bike were rough.",
        "The pedals were rough, replaced them.",
    ],
)
def test_what_was_not_done_or_is_no_longer_so_states_nothing(text: str, answerer: Answerer) -> None:
    assert "pedal-spin" not in stated(answerer, text)


def test_one_number_is_the_reading_of_one_check(answerer: Answerer) -> None:
    found = stated(answerer, "Chainring wobble: 0.5 mm against the front mech plate.")
    assert sum(value == 0.5 for value in found.values()) <= 1


def test_readings_stand_in_order_and_once_a_check(answerer: Answerer) -> None:
    text = "No play in the hub. Rotor is true, rotor runs straight. The chain measures 0.5 %, chain is half worn."
    found = answerer.stated.find(answerer.analyser.analyse(text))
    assert [item.start for item in found] == sorted(item.start for item in found)
    assert len({item.check for item in found}) == len(found)
