"""Clauses of a text and what their wording makes of them: denied, hedged, asked, planned, or about something else.

A clause is the stretch that one verb governs, near enough: sentences are cut at their ends, and at commas and
conjunctions. Marks are read from fixed turns of phrase; nothing here knows bicycles.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
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
    "checked", "looked", "measured", "tried", "tested", "dared", "got round", "rocked", "inspected",
    "had (?:a|the) (?:chance|look|time)",
)  # fmt: skip
_OTHER = (
    "other", "old", "previous", "spare", "last", "former", "wife's", "husband's", "friend's", "mate's", "brother's",
    "sister's", "son's", "daughter's", "neighbour's", "gravel", "road", "mountain", "winter", "summer", "city",
    "touring",
)  # fmt: skip
# What one may deny having done and yet report on the bike: "I didn't feel any play", "I haven't changed anything".
_REPORTS = (
    r"feel|felt|see|saw|seen|hear|heard|notice|noticed|(?:find|found|get|got) (?:any|a|an|one|no)|chang|touch|"
    r"do anything|done anything|crash|had|have|think|thought|even (?:feel|hear|see)|need|manage|want|expect|hit|drop"
)
_NOT_DONE = r"(?:did not|didn't|have not|haven't|never|hasn't|has not|not)"
_LOOKERS_ON = (
    r"(?:mate|friend|buddy|pal|clubmate|neighbou?r|brother|sister|wife|husband|son|daughter|colleague|forum|internet|"
    r"someone|somebody|people|guy|bloke)"
)
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
            r"maybe", r"perhaps", r"possibly", r"probably", r"i think", r"i guess", r"my (?:best )?guess", r"i reckon",
            r"i suspect", r"i believe", r"i suppose", r"i imagine", r"i may be wrong", r"fairly sure", r"pretty sure",
            r"might", r"may be", r"could be", r"seems?", r"looks like", r"sort of", r"kind of", r"not sure", r"unsure",
            r"i'd (?:say|guess|have thought)", r"i would say", r"would guess", r"it looks to me", r"could be off",
            r"ish",
            r"as (?:far|best|near) as (?:i|my eye) can (?:tell|see|feel|judge)", r"that i can (?:tell|see|feel)",
            r"best i can (?:see|tell)", r"apparently", r"supposedly", r"somewhere", r"swears?", r"roughly",
            r"rough reckoning",
            r"approximately", r"or so", r"or thereabouts", r"if i remember",
            r"if i'?m (?:seeing|reading|right|not mistaken)",
            r"if that", r"borrowed", r"cheap one", r"hard to (?:tell|say)", r"it must be", r"must have",
        ),
    ),
    (
        Mark.PLANNED,
        _any_of(
            r"i'll", r"i will", r"going to", r"gonna", r"want(?:ed)? to", r"plan(?:ned|ning)? to", r"meant to (?!be\b)",
            r"intend", r"need to", r"(?:'ll|will|would|might|may) have to", r"should i", r"ought to",
            r"thinking (?:of|about)", r"tempted to", r"would like", r"i'd like", r"about to", r"not yet", r"yet to",
            r"never (?:clicked|spun|weighed|undone|pulled)",
            r"still to (?:do|check|measure|look|come)", r"(?:next )?on (?:my|the) (?:to.?do )?list", r"left alone",
            r"no (?:idea|clue)", r"don't know", r"don't have (?:a|an|the|any|one)", r"haven't got (?:a|an|the|any|one)",
            r"i forget", r"can't remember", r"unless", r"in case", r"not sure (?:about|if|whether|which|how|what)",
            r"(?:can't|couldn't) (?:tell|measure|check|get at|reach|vouch|say (?:whether|if|how|which|what|for sure))",
            r"(?:see|know|tell|check|wonder|wondering|ask|asking|sure|idea|clue) (?:if|whether)",
            r"if (?:i|it|the|that|you|so|this|they|we)\b[^.]{0,60}?\b(?:would|will|should|could|might|'ll)",
            r"(?:says?|said|suggests?|told me|recommends?) (?:to )?(?:try|check|replace|measure|swap|change|look)",
            rf"{_NOT_DONE} (?:yet |really |even |properly |actually )?(?:{'|'.join(_CHECKED)})",
            rf"(?:i|he|she|we|they) (?:just |simply )?{_NOT_DONE} (?:yet |even |properly |actually )?(?!{_REPORTS})\w+",
            rf"i've (?:not|never|n't) (?:yet |even |properly |actually )?(?!{_REPORTS})\w+",
        ),
    ),
    (
        Mark.ASKED,
        _any_of(
            r"how (?:many|often|to)", r"when to", r"where to", r"what to",
            r"which \w+ (?:stops|does|should|do|fits?|to)",
        ),
    ),
    (
        Mark.PLANNED,
        re.compile(
            rf"^\W*(?:and |but |so )?(?:haven['’]?t|have not) (?:yet )?(?!{_REPORTS})\w{{2,}}ed\b", re.IGNORECASE
        ),
    ),
    (
        Mark.ELSEWHERE,
        _any_of(
            rf"(?:my|his|her|our|their|the) (?:{'|'.join(_OTHER)}) (?:bike|one|wheelset|wheel|set|bicycle)",
            r"(?:my|the|a) second bike", r"on my (?:other|gravel|road|mountain|winter|old|previous)",
            r"on the (?:gravel|road|mountain|winter|old|previous) (?:bike|one)",
            r"old (?:one|set|pair|chain|pads?|cassette)", r"my last (?:one|tyre|chain|pads?|cassette|bike)",
            r"used to", r"previously", r"in the past", r"back then", r"before (?:that|then|the bleed|the crash)",
            r"the (?:old|previous) one", r"had been", r"were (?:oily|worn|rough) (?:before|then)", r"neighbou?r's",
            r"borrowed (?:bike|wheel)",
            rf"{_LOOKERS_ON}\W+(?:also |just |always )?(?:says?|said|reckons?|thinks?|suggests?|suspects?|told me)",
        ),
    ),
    (
        Mark.ELSEWHERE,  # a time gone by, unless it dates what was done to the bike
        re.compile(
            r"^(?!.*\b(?:bled|bleed|changed?|new|fitted|replaced|serviced|topped|sealant|fluid|installed|bought|since|converted"
            r"|swapped|put|went on)\b).*\b(?:last (?:year|season|summer|winter|spring|autumn|time)|years? ago)\b",
            re.IGNORECASE | re.DOTALL,
        ),
    ),
)  # fmt: skip
_VERB_FIRST = r"(?:is|are|was|were|does|do|did|can|could|should|would|will|shall|may|might|has|have|am)"
_LEAD = r"^\W*(?:(?:so|and|but|or|ok|please|also|then|now)[, ]+)?"
_ASKS = re.compile(
    rf"{_LEAD}(?:{_VERB_FIRST}|(?:when|which) (?:{_VERB_FIRST}|one|size|way|part)|what|why|how|where|who|any)\b",
    re.IGNORECASE,
)
"""How a clause of a sentence with a question mark opens if it is the one that asks."""
_ASKS_UNMARKED = re.compile(
    rf"{_LEAD}(?:(?:{_VERB_FIRST}) (?:it|its|this|that|these|those|the|there|my|i|a|an|anyone|anybody|you|they|we)\b"
    r"(?<!does it)(?<!can i)(?<!could i)|"
    r"does it (?!in|with|on|when|even|at|every|from|all|under|no|too|just|only|most|both|while)|"
    r"(?:why|how|where|who)\b|what(?:'s| is| are| do| does| should| can| could| would| else| size| causes?))\b",
    re.IGNORECASE,
)
"""How a question opens that lacks its mark."""
_MENDED = re.compile(
    r"^\W*(?:(?:so|and|then|now|but|i|we|he|they|have|has|'ve|the|shop)\W+)*(?:replaced|swapped|renewed|binned|changed)"
    r"(?: (?:it|them|that|those|both|the lot|straight away))?\W*$",
    re.IGNORECASE,
)
"""A clause that says that what the clause before found is no longer on the bike ("it was rough, replaced it")."""
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
            if clauses and clauses[-1].sentence == number and _MENDED.match(text):
                clauses[-1] = replace(clauses[-1], marks=clauses[-1].marks | Mark.ELSEWHERE)
            clauses.append(Clause(left, right, marks, number))
    return tuple(clauses)


def _sentences(source: str) -> Iterator[tuple[int, int, bool]]:
    """Yield start, end and whether it asks; a sentence that opens like a question is one without its mark too."""
    start = 0
    for match in _SENTENCE_END.finditer(source):
        if source[start : match.start()].strip():
            yield (
                start,
                match.start(),
                "?" in match.group() or bool(_ASKS_UNMARKED.match(source[start : match.start()])),
            )
        start = match.end()
    if source[start:].strip():
        yield start, len(source), bool(_ASKS_UNMARKED.match(source[start:]))


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
