import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.text.clauses import Mark, split_clauses


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=400))
def test_clauses_lie_in_order_inside_the_text(text: str) -> None:
    end = 0
    for clause in split_clauses(text):
        assert end <= clause.start < clause.end <= len(text)
        end = clause.end


@given(st.lists(st.sampled_from("the rotor is true but I have not checked , . ; no play and ( it rubs ) ?".split()), max_size=30))
def test_no_word_is_lost(words: list[str]) -> None:
    text = " ".join(words)
    clauses = split_clauses(text)
    for place, char in enumerate(text):
        if char.isalpha():
            assert any(clause.start <= place < clause.end for clause in clauses), text[place:]


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("There is no play in the hub.", Mark.DENIED),
        ("The rotor doesn't wobble.", Mark.DENIED),
        ("The rotor doesnt wobble.", Mark.DENIED),
        ("I think the chain is worn.", Mark.HEDGED),
        ("Is the chain worn?", Mark.ASKED),
        ("is it safe to ride with a cracked rim", Mark.ASKED),
        ("I haven't checked the hanger yet.", Mark.PLANNED),
        ("I will measure the chain.", Mark.PLANNED),
        ("On my other bike the rotor is bent.", Mark.ELSEWHERE),
        ("Last year the bottom bracket was rough.", Mark.ELSEWHERE),
        ("The crank bolt I left alone.", Mark.PLANNED),
        ("The pedal itself I've not spun.", Mark.PLANNED),
        ("Never clicked the lever.", Mark.PLANNED),
        ("I'd like to measure it some day.", Mark.PLANNED),
        ("Not sure about the pads.", Mark.PLANNED),
        ("A mate says the hanger is bent.", Mark.ELSEWHERE),
        ("It runs straight as far as I can tell.", Mark.HEDGED),
    ],
)
def test_wording_gives_its_mark(text: str, mark: Mark) -> None:
    (clause,) = split_clauses(text)
    assert mark in clause.marks


@pytest.mark.parametrize(
    "text",
    [
        "I didn't feel any play.",
        "I haven't changed anything.",
        "If I hold the lever it slowly sinks.",
        "When I slid the axle out it was cracked.",
        "Can't feel any play.",
        "I have to use both hands to close the lever.",
        "The fluid was changed three years ago.",
        "does it in the stand as well",
        "Not cracked.",
    ],
)
def test_reports_are_not_taken_for_plans_or_questions(text: str) -> None:
    marks = [clause.marks for clause in split_clauses(text)]
    assert not any(mark & (Mark.ASKED | Mark.PLANNED | Mark.ELSEWHERE) for mark in marks)


def test_what_was_put_right_is_of_an_earlier_time() -> None:
    first, _ = split_clauses("The bottom bracket was rough, replaced it")
    assert Mark.ELSEWHERE in first.marks


def test_marks_stay_in_their_clause() -> None:
    marks = [clause.marks for clause in split_clauses("The rotor is true, but I haven't looked at the pads.")]
    assert marks[0] == Mark.NONE
    assert Mark.PLANNED in marks[1]


def test_a_decimal_point_ends_nothing() -> None:
    assert len(split_clauses("The rotor is 1.75 mm thick")) == 1
