"""Clauses of a text and what their wording makes of them: denied, hedged, asked, planned, or about something else.

A clause is the stretch that one verb governs, near enough: sentences are cut at their ends, and at commas and
conjunctions. Marks are read from fixed turns of phrase; nothing here knows bicycles.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Flag, auto

__all__ = ["Clause", "Mark", "split_clauses"]


class Mark(Flag):
    """What the wording of a clause says about its content."""

    NONE = 0
    DENIED = auto()
    """A negation word stands in it ("no play", "doesn't wobble")."""
    HEDGED = auto()
    """The writer is not sure ("I think", "maybe")."""
    ASKED = auto()
    """It is a question."""
    PLANNED = auto()
    """It was not done or seen yet ("I haven't checked", "I'll replace")."""
    ELSEWHERE = auto()
    """It speaks of another bike, another part or an earlier time."""


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause: `source[start:end]` quotes it."""

    start: int
    end: int
    marks: Mark
    sentence: int
    """Number of the sentence it belongs to, from 0."""


def _any_of(*phrases: str) -> re.Pattern[str]:
    """Return a pattern for any of the phrases (regular expressions; an apostrophe may be typed in three ways)."""
    joined = "|".join(phrases).replace("'", "['’]?")
    return re.compile(rf"\b(?:{joined})\b", re.IGNORECASE)


# A full stop ends a sentence unless it stands inside a number; so does a line break before a capital or a list mark.
_SENTENCE_END = re.compile(r"[!?]+|\.(?![0-9a-z])|;|\n\s*\n|\n(?=\s*(?:[-*•]|[A-Z]))")
_CONJUNCTIONS = (
    r"but|although|though|however|whereas|while|except|because|since it|so i|then i|which|"
    r"and (?:the|it|i|my|now|then|no|when|there|both|we|he|she|they)"
)
_CLAUSE_END = re.compile(
    rf",\s(?![0-9])|,(?=[a-z])|:\s|\s[-–—]\s|\s\(|\)|\s(?=(?:{_CONJUNCTIONS})\b)",
    re.IGNORECASE,
)
_CHECKED = (
    "checked", "looked", "measured", "tried", "tested", "dared", "done", "taken", "opened", "got round",
    "had (?:a|the) (?:chance|look|time)",
)  # fmt: skip
_OTHER = (
    "other", "old", "previous", "spare", "second", "last", "former", "wife's", "husband's", "friend's", "mate's",
    "brother's",
    "sister's", "son's", "daughter's", "neighbour's", "gravel", "road", "mountain", "winter", "summer", "city",
    "touring",
)  # fmt: skip
_MARKS: tuple[tuple[Mark, re.Pattern[str]], ...] = (
    (
        Mark.DENIED,
        _any_of(
            r"no", r"not", r"never", r"none", r"nothing", r"neither", r"nor", r"without", r"cannot", r"hardly",
            r"barely",
            r"isnt", r"doesnt", r"dont", r"wasnt", r"didnt", r"wont", r"cant", r"arent", r"zero", r"free (?:of|from)",
            r"nowhere", r"rather than", r"instead of", r"\w+n't",
        ),
    ),
    (
        Mark.HEDGED,
        _any_of(
            r"maybe", r"perhaps", r"possibly", r"probably", r"i think", r"i guess", r"i reckon", r"i suspect",
            r"i believe",
            r"might", r"may be", r"could be", r"seems?", r"looks like", r"sort of", r"kind of", r"not sure", r"unsure",
            r"i'd say", r"as far as i can (?:tell|see)", r"apparently", r"supposedly", r"somewhere", r"swears?",
            r"roughly",
            r"approximately", r"or so", r"if i remember", r"borrowed", r"cheap one", r"hard to (?:tell|say)",
        ),
    ),
    (
        Mark.PLANNED,
        _any_of(
            r"i'll", r"i will", r"going to", r"gonna", r"want(?:ed)? to", r"plan(?:ned|ning)? to", r"meant to",
            r"intend",
            r"need to", r"have to", r"should i", r"thinking (?:of|about)", r"tempted to", r"would like", r"i'd like",
            r"about to", r"not yet", r"yet to", r"no idea", r"don't (?:know|have)", r"unless", r"in case",
            r"(?:can't|couldn't) (?:tell|measure|check|see)", r"if (?:i|it|the|that|you|so)",

           rf"(?:haven't|have not|hasn't|didn't|did not|never|not) (?:yet |really |even )?(?:{'|'.join(_CHECKED)})",
        ),
    ),
    (
        Mark.ELSEWHERE,
        _any_of(
            rf"(?:my|his|her|our|their|the) (?:{'|'.join(_OTHER)}) (?:bike|one|wheel|set|bicycle)",
            r"on (?:my|the) (?:other|gravel|road|mountain|winter|old|previous)",
            r"old (?:one|set|pair|chain|pads?|cassette)",
            r"used to", r"last (?:year|season|summer|winter|spring|autumn|time)", r"previously", r"years? ago",
            r"in the past",
            r"back then", r"before (?:that|then|the bleed|the crash)", r"the (?:old|previous) one", r"had been",
            r"were (?:oily|worn|rough) (?:before|then)", r"neighbou?r's", r"borrowed (?:bike|wheel)",
        ),
    ),
)  # fmt: skip
_ASKS = re.compile(
    r"^\W*(?:(?:so|and|but|or|ok|please|also|then|now)[, ]+)?"
    r"(?:is|are|was|does|do|did|can|could|should|would|will|shall|may|might|has|have|what|why|how|which|when|where|who|any|am)\b",
    re.IGNORECASE,
)
_MOST_OF_SENTENCE = 0.6


def split_clauses(source: str) -> tuple[Clause, ...]:
    """Return the clauses of `source` in order; together they hold all its words.

    >>> [(c.start, c.end, c.marks) for c in split_clauses("Rotor is true, but no idea about the pads")]
    [(0, 13, <Mark.NONE: 0>), (15, 41, <Mark.DENIED|PLANNED: 9>)]
    """
    clauses: list[Clause] = []
    for number, (start, end, asked) in enumerate(_sentences(source)):
        for left, right in _parts(source, start, end):
            text = source[left:right]
            marks = Mark.NONE
            for mark, pattern in _MARKS:
                if pattern.search(text):
                    marks |= mark
            if asked and (_ASKS.match(text) or right - left >= _MOST_OF_SENTENCE * (end - start)):
                marks |= Mark.ASKED
            clauses.append(Clause(left, right, marks, number))
    return tuple(clauses)


def _sentences(source: str) -> Iterator[tuple[int, int, bool]]:
    """Yield start, end and whether it asks; a sentence that opens like a question is one without its mark too."""
    start = 0
    for match in _SENTENCE_END.finditer(source):
        if source[start : match.start()].strip():
            yield start, match.start(), "?" in match.group() or bool(_ASKS.match(source[start : match.start()]))
        start = match.end()
    if source[start:].strip():
        yield start, len(source), bool(_ASKS.match(source[start:]))


def _parts(source: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    left = start
    for match in _CLAUSE_END.finditer(source, start, end):
        if source[left : match.start()].strip():
            yield _trimmed(source, left, match.start())
            left = match.end()
    if source[left:end].strip():
        yield _trimmed(source, left, end)


def _trimmed(source: str, start: int, end: int) -> tuple[int, int]:
    text = source[start:end]
    return start + len(text) - len(text.lstrip()), end - (len(text) - len(text.rstrip()))
