"""Clauses of a text and what their wording makes of them: denied, hedged, asked, planned, or about something else.

A clause is the stretch that one verb governs, near enough: sentences are cut at their ends, and at commas and
conjunctions. Marks are read from fixed turns of phrase; nothing here knows bicycles.
"""

import re
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


# A full stop ends a sentence unless it stands inside a number; so does a line break, unless a sentence runs on over it.
_SENTENCE_END = re.compile(r"[!?]+|\.(?![0-9a-z])|;|\n\s*\n|\n(?=\s*(?:[-*•]|[A-Z]))")
_CLAUSE_END = re.compile(
    r",\s(?![0-9])|,(?=[a-z])|:\s|\s[-–—]\s|\s\(|\)|"
    r"\s(?=(?:but|although|though|however|whereas|while|yet|except|because|since it|so i|and (?:the|it|i|my|now|then|no|when|there|both)|then i|which)\b)",
    re.IGNORECASE,
)
_MARKS: tuple[tuple[Mark, re.Pattern[str]], ...] = (
    (
        Mark.DENIED,
        re.compile(
            r"\b(?:no|not|never|none|nothing|neither|nor|without|cannot|hardly|barely|isnt|doesnt|dont|wasnt|didnt|wont|cant|arent|zero|"
            r"free (?:of|from)|nowhere|no longer|rather than|instead of|\w+n['’]t)\b",
            re.IGNORECASE,
        ),
    ),
    (
        Mark.HEDGED,
        re.compile(
            r"\b(?:maybe|perhaps|possibly|probably|i think|i guess|i reckon|i suspect|i believe|might|may be|could be|seems?|"
            r"looks like|sort of|kind of|not sure|unsure|i'd say|as far as i can (?:tell|see)|apparently|supposedly|somewhere|"
            r"swears?|roughly|approximately|or so|if i remember|borrowed|cheap one|hard to (?:tell|say))\b",
            re.IGNORECASE,
        ),
    ),
    (
        Mark.PLANNED,
        re.compile(
            r"\b(?:i(?:'|’)?ll|i will|going to|gonna|want(?:ed)? to|plan(?:ned|ning)? to|meant to|intend|need to|have to|should i|"
            r"thinking of|thinking about|tempted to|would like|i(?:'|’)?d like|about to|not yet|yet to|"
            r"(?:haven['’]?t|have not|hasn['’]?t|didn['’]?t|did not|never|not) (?:yet |really |actually |even )?(?:checked|looked|measured|tried|tested|dared|done|got round|had (?:a|the) (?:chance|look|time))|"
            r"don['’]?t (?:know|have)|no idea|can['’]?t (?:tell|measure|check|see)|couldn['’]?t (?:tell|measure|check|see)|if (?:i|it|the|that|you|so)|unless|in case)\b",
            re.IGNORECASE,
        ),
    ),
    (
        Mark.ELSEWHERE,
        re.compile(
            r"\b(?:(?:my|his|her|our|their|the) (?:other|old|previous|spare|second|last|former|wife['’]?s|husband['’]?s|friend['’]?s|mate['’]?s|brother['’]?s|sister['’]?s|gravel|road|mountain|winter|summer|city|touring) (?:bike|one|wheel|set|bicycle)|"
            r"on (?:my|the) (?:other|gravel|road|mountain|winter|old|previous)|old (?:one|set|pair|chain|pads?|cassette)|used to|last (?:year|season|summer|winter|spring|autumn|time)|"
            r"previously|years? ago|in the past|back then|before (?:that|this|then|the bleed|the crash)|the (?:old|previous) one|had been|were (?:oily|worn|rough) (?:before|then)|"
            r"neighbou?r['’]?s|borrowed (?:bike|wheel))\b",
            re.IGNORECASE,
        ),
    ),
)
_ASKS = re.compile(
    r"^\W*(?:(?:so|and|but|or|ok|please|also|then|now)[, ]+)?(?:is|are|was|does|do|did|can|could|should|would|will|shall|may|might|has|have|what|why|how|which|when|where|who|any|am)\b",
    re.IGNORECASE,
)


def split_clauses(source: str) -> tuple[Clause, ...]:
    """Return the clauses of `source` in order; together they hold all its words.

    >>> [(source[c.start:c.end], c.marks) for source in ["Rotor is true, but no idea about the pads"] for c in split_clauses(source)]
    [('Rotor is true', <Mark.NONE: 0>), ('but no idea about the pads', <Mark.DENIED|PLANNED: 9>)]
    """
    clauses: list[Clause] = []
    for number, (start, end, asked) in enumerate(_sentences(source)):
        for left, right in _parts(source, start, end):
            text = source[left:right]
            marks = Mark.NONE
            for mark, pattern in _MARKS:
                if pattern.search(text):
                    marks |= mark
            if asked and (_ASKS.match(text) or _only_clause(left, right, start, end)):
                marks |= Mark.ASKED
            clauses.append(Clause(left, right, marks, number))
    return tuple(clauses)


def _sentences(source: str) -> list[tuple[int, int, bool]]:
    found = []
    start = 0
    for match in _SENTENCE_END.finditer(source):
        if source[start : match.start()].strip():
            found.append((start, match.start(), "?" in match.group()))
        start = match.end()
    if source[start:].strip():
        found.append((start, len(source), False))
    # A sentence that opens like a question is one even where the mark was left out ("is it safe to ride").
    return [(left, right, asked or bool(_ASKS.match(source[left:right]))) for left, right, asked in found]


def _parts(source: str, start: int, end: int) -> list[tuple[int, int]]:
    parts = []
    left = start
    for match in _CLAUSE_END.finditer(source, start, end):
        if source[left : match.start()].strip():
            parts.append(_trimmed(source, left, match.start()))
            left = match.end()
    if source[left:end].strip():
        parts.append(_trimmed(source, left, end))
    return parts


def _trimmed(source: str, start: int, end: int) -> tuple[int, int]:
    text = source[start:end]
    return start + len(text) - len(text.lstrip()), end - (len(text) - len(text.rstrip()))


def _only_clause(left: int, right: int, start: int, end: int) -> bool:
    return right - left >= 0.6 * (end - start)
