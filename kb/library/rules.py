"""The lint rules across the whole library: one function a rule, in one list, each `rule(library) -> Iterator[Problem]`.

What a single file must look like is checked where it is read (`yaml_source`, `structuring`); these rules look at
what the values mean together. `lint`, `load_library` and the tests run the same list.
"""

import math
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

from kb.errors import Problem
from kb.library.models import Band, Check, Kind, Library, Ride
from kb.units import is_unit

__all__ = ["RULES", "Rule", "check_library"]

Rule = Callable[[Library], Iterator[Problem]]

SUM_TOLERANCE = 1e-6
LEAST_SHOWN = 0.005
"""A likelihood of 0 would let one mistaken reading rule a cause out for ever."""
LEAST_SYMPTOMS = 6
LEAST_CHECKS = 2
LEAST_SAID = 4
_LINK = re.compile(r"\]\((article|check):([^)\s]+)\)")


def check_library(library: Library) -> tuple[Problem, ...]:
    """Run every rule and return all problems, ordered by file and line."""
    return tuple(sorted(problem for rule in RULES for problem in rule(library)))


def known_checks(library: Library) -> Iterator[Problem]:
    """Rule unknown-check: an article names a check that is not in the library."""
    for article in library.articles.values():
        for index, item in enumerate(article.checks):
            if item.check not in library.checks:
                yield _at(
                    library,
                    "unknown-check",
                    f"check {item.check!r} is not known",
                    "article",
                    article.id,
                    "checks",
                    index,
                )


def checks_once(library: Library) -> Iterator[Problem]:
    """Rule check-twice: an article lists a check more than once."""
    for article in library.articles.values():
        for check, count in Counter(item.check for item in article.checks).items():
            if count > 1:
                yield _at(
                    library, "check-twice", f"check {check!r} stands {count} times", "article", article.id, "checks"
                )


def shown_outcomes(library: Library) -> Iterator[Problem]:
    """Rule outcomes: `shows` gives exactly the outcomes of its check."""
    for article in library.articles.values():
        for index, item in enumerate(article.checks):
            check = library.checks.get(item.check)
            if check is not None:
                message = _outcomes_differ(item.shows, check)
                if message:
                    yield _at(library, "outcomes", f"{item.check}: {message}", "article", article.id, "checks", index)


def shown_probabilities(library: Library) -> Iterator[Problem]:
    """Rule probabilities: the probabilities of one `shows` lie between 0.005 and 1 and sum to 1."""
    for article in library.articles.values():
        for index, item in enumerate(article.checks):
            message = _not_a_distribution(item.shows)
            if message:
                yield _at(library, "probabilities", f"{item.check}: {message}", "article", article.id, "checks", index)


def check_outcome_tables(library: Library) -> Iterator[Problem]:
    """Rule check-outcomes: `usual` and `said` give the outcomes of their check, `said` 4 phrasings each."""
    for check in library.checks.values():
        for name, table in (("usual", check.usual), ("said", check.said)):
            message = _outcomes_differ(table, check)
            if message:
                yield _at(library, "check-outcomes", f"{name}: {message}", "check", check.id, name)
        message = _not_a_distribution(check.usual)
        if message:
            yield _at(library, "check-outcomes", f"usual: {message}", "check", check.id, "usual")
        for outcome, phrases in check.said.items():
            if len(phrases) < LEAST_SAID:
                text = f"said.{outcome}: {len(phrases)} phrasings, at least {LEAST_SAID} are needed"
                yield _at(library, "check-outcomes", text, "check", check.id, "said", outcome)


def band_order(library: Library) -> Iterator[Problem]:
    """Rule bands: the bands of a measured check follow each other from open to open, with no gap and no overlap."""
    for check in library.checks.values():
        for name, bands in (
            ("outcomes", check.bands),
            *((f"variants.{item.fact}", item.outcomes) for item in check.variants),
        ):
            if bands is not None:
                message = _bands_broken(bands) or (
                    "" if set(bands) == set(check.outcomes) else "other outcomes than the check's"
                )
                if message:
                    yield _at(library, "bands", f"{name}: {message}", "check", check.id, "outcomes")


def known_units(library: Library) -> Iterator[Problem]:
    """Rule units: units of checks and torques are ones we can calculate with."""
    for check in library.checks.values():
        if check.unit is not None and not is_unit(check.unit):
            yield _at(library, "units", f"unit {check.unit!r} is not known", "check", check.id, "unit")
    for article in library.articles.values():
        for index, torque in enumerate(article.fix.torque if article.fix else ()):
            if not is_unit(torque.unit):
                text = f"unit {torque.unit!r} of {torque.bolt} is not known"
                yield _at(library, "units", text, "article", article.id, "fix", "torque", index)


def torque_order(library: Library) -> Iterator[Problem]:
    """Rule torque: a torque's minimum is above 0 and not above its maximum."""
    for article in library.articles.values():
        for index, torque in enumerate(article.fix.torque if article.fix else ()):
            if not 0 < torque.min <= torque.max:
                given = f"{torque.min:g} to {torque.max:g}"
                text = f"{torque.bolt}: {given}; the minimum must be above 0 and not above the maximum"
                yield _at(library, "torque", text, "article", article.id, "fix", "torque", index)


def measured_fields(library: Library) -> Iterator[Problem]:
    """Rule measured: a measured check has a resolution above 0 and plausible limits in order; others have neither."""
    for check in library.checks.values():
        if not check.is_measured:
            if check.resolution is not None or check.plausible is not None or check.variants:
                yield _at(
                    library, "measured", "resolution, plausible and variants are for measured checks", "check", check.id
                )
        elif check.resolution is None or not check.resolution > 0:
            yield _at(library, "measured", "a measured check needs a resolution above 0", "check", check.id)
        elif check.plausible is None or not check.plausible[0] < check.plausible[1]:
            yield _at(library, "measured", "a measured check needs plausible: [low, high]", "check", check.id)


def used_checks(library: Library) -> Iterator[Problem]:
    """Rule unused-check: every check is used by at least one article."""
    used = {item.check for article in library.articles.values() for item in article.checks}
    for check in library.checks.values():
        if check.id not in used:
            yield _at(library, "unused-check", f"no article uses check {check.id!r}", "check", check.id)


def known_articles(library: Library) -> Iterator[Problem]:
    """Rule unknown-article: `see` and links lead to other articles or checks that exist."""
    for article in library.articles.values():
        for index, other in enumerate(article.see):
            if other not in library.articles or other == article.id:
                found = "itself" if other == article.id else f"{other!r}, which is not known"
                yield _at(library, "unknown-article", f"see leads to {found}", "article", article.id, "see", index)
        for kind, id in _LINK.findall(article.body):
            if id not in (library.articles if kind == "article" else library.checks):
                yield _at(
                    library,
                    "unknown-article",
                    f"the text links to {kind} {id!r}, which is not known",
                    "article",
                    article.id,
                )


def known_parts(library: Library) -> Iterator[Problem]:
    """Rule unknown-concept: `parts` of articles and `broader` of concepts are concepts of the lexicon."""
    for article in library.articles.values():
        for index, part in enumerate(article.parts):
            if part not in library.lexicon:
                yield _at(
                    library,
                    "unknown-concept",
                    f"part {part!r} is not in the lexicon",
                    "article",
                    article.id,
                    "parts",
                    index,
                )
    for concept in library.lexicon.values():
        for index, other in enumerate(concept.broader):
            if other not in library.lexicon or other == concept.id:
                text = f"broader {other!r} is not another concept of the lexicon"
                yield _at(library, "unknown-concept", text, "concept", concept.id, "broader", index)


def full_faults(library: Library) -> Iterator[Problem]:
    """Rule thin-fault: a fault article has at least 6 symptoms, 2 checks and a fix."""
    for article in library.articles.values():
        if article.kind is not Kind.FAULT:
            continue
        if len(article.symptoms) < LEAST_SYMPTOMS:
            text = f"{len(article.symptoms)} symptoms, a fault needs {LEAST_SYMPTOMS}"
            yield _at(library, "thin-fault", text, "article", article.id, "symptoms")
        if len(article.checks) < LEAST_CHECKS:
            text = f"{len(article.checks)} checks, a fault needs {LEAST_CHECKS}"
            yield _at(library, "thin-fault", text, "article", article.id, "checks")
        if article.fix is None or not article.fix.steps:
            yield _at(library, "thin-fault", "a fault needs a fix with steps", "article", article.id, "fix")


def repeated_symptoms(library: Library) -> Iterator[Problem]:
    """Rule symptom-twice: one wording of a symptom stands in one article only."""
    first: dict[str, str] = {}
    for article in library.articles.values():
        for index, symptom in enumerate(article.symptoms):
            known = first.setdefault(symptom.casefold(), article.id)
            if known != article.id or symptom.casefold() in (other.casefold() for other in article.symptoms[:index]):
                text = f"symptom {symptom!r} stands in {known} already"
                yield _at(library, "symptom-twice", text, "article", article.id, "symptoms", index)


def cautions_given(library: Library) -> Iterator[Problem]:
    """Rule no-caution: an article that says do-not-ride or ride-gently has a caution."""
    for article in library.articles.values():
        if article.ride is not Ride.RIDE_ON and not article.cautions:
            yield _at(
                library,
                "no-caution",
                f"ride is {article.ride} and there is no caution",
                "article",
                article.id,
                "cautions",
            )


def sourced_figures(library: Library) -> Iterator[Problem]:
    """Rule no-source: an article names a source (a standard, a handbook or common practice)."""
    for article in library.articles.values():
        if not article.sources:
            yield _at(library, "no-source", "at least one source is needed", "article", article.id, "sources")


def phrases_of_one_concept(library: Library) -> Iterator[Problem]:
    """Rule phrase-twice: a word of two concepts needs `company` in all but one of them, so that it can be told
    apart.
    """
    owners: dict[str, list[str]] = defaultdict(list)
    for concept in library.lexicon.values():
        for phrase in dict.fromkeys(phrase.casefold() for phrase in concept.phrases):
            if phrase not in {word.casefold() for word in concept.company}:
                owners[phrase].append(concept.id)
    for phrase, ids in owners.items():
        if len(ids) > 1:
            text = f"{phrase!r} belongs to {', '.join(ids)} with no company to tell them apart"
            yield _at(library, "phrase-twice", text, "concept", ids[1])


def company_of_own_words(library: Library) -> Iterator[Problem]:
    """Rule company: `company` speaks of words that the concept has."""
    for concept in library.lexicon.values():
        for word in concept.company:
            if word.casefold() not in {phrase.casefold() for phrase in concept.phrases}:
                text = f"company for {word!r}, which is not among the concept's words"
                yield _at(library, "company", text, "concept", concept.id, "company")


def labelled_complaints(library: Library) -> Iterator[Problem]:
    """Rule complaint: labels of complaints are known articles, checks and outcomes; no text stands twice."""
    seen: set[str] = set()
    for index, complaint in enumerate(library.complaints):
        for id in (*((complaint.gold,) if complaint.gold else ()), *complaint.also):
            if id not in library.articles:
                yield _at(library, "complaint", f"article {id!r} is not known", "complaint", index)
        for check_id, reading in complaint.stated.items():
            check = library.checks.get(check_id)
            if check is None:
                yield _at(library, "complaint", f"stated: check {check_id!r} is not known", "complaint", index)
            elif isinstance(reading, str) and reading not in check.outcomes:
                text = f"stated: {check_id} has no outcome {reading!r}; allowed: {', '.join(check.outcomes)}"
                yield _at(library, "complaint", text, "complaint", index)
            elif not isinstance(reading, str) and not check.is_measured:
                yield _at(
                    library, "complaint", f"stated: {check_id} is not measured, found {reading}", "complaint", index
                )
        if complaint.text in seen:
            yield _at(library, "complaint", "the same text stands twice", "complaint", index)
        seen.add(complaint.text)


def stated_outcomes(library: Library) -> Iterator[Problem]:
    """Rule statement: statements are of known checks and outcomes, and one wording states one outcome of a check.

    (Statements of a check that isn't in the library are found where they are read.)
    """
    for check in library.checks.values():
        first: dict[str, str] = {}
        for outcome, texts in check.statements.items():
            if outcome not in check.outcomes:
                text = f"{check.id} has no outcome {outcome!r}; allowed: {', '.join(check.outcomes)}"
                yield _at(library, "statement", text, "statements", check.id, outcome)
            for index, statement in enumerate(texts):
                if first.setdefault(statement.casefold(), outcome) != outcome:
                    text = f"{statement!r} states {first[statement.casefold()]!r} already"
                    yield _at(library, "statement", text, "statements", check.id, outcome, index)


RULES: tuple[Rule, ...] = (
    known_checks,
    checks_once,
    shown_outcomes,
    shown_probabilities,
    check_outcome_tables,
    band_order,
    known_units,
    torque_order,
    measured_fields,
    used_checks,
    known_articles,
    known_parts,
    full_faults,
    repeated_symptoms,
    cautions_given,
    sourced_figures,
    phrases_of_one_concept,
    company_of_own_words,
    labelled_complaints,
    stated_outcomes,
)


def _at(library: Library, rule: str, message: str, *key: str | int) -> Problem:
    path, line = library.place(*key)
    field = ".".join(str(part) for part in key[1:])
    return Problem(path, line, rule, f"{field}: {message}")


def _outcomes_differ(table: Mapping[str, object], check: Check) -> str:
    missing = [name for name in check.outcomes if name not in table]
    strange = [name for name in table if name not in check.outcomes]
    if not missing and not strange:
        return ""
    parts = [f"missing {', '.join(missing)}"] * bool(missing) + [f"not an outcome: {', '.join(strange)}"] * bool(
        strange
    )
    return f"{'; '.join(parts)}; the outcomes are {', '.join(check.outcomes)}"


def _not_a_distribution(table: Mapping[str, float]) -> str:
    for name, value in table.items():
        if not LEAST_SHOWN <= value <= 1:
            return f"{name} is {value:g}, allowed is {LEAST_SHOWN:g} to 1"
    total = math.fsum(table.values())
    return "" if abs(total - 1) <= SUM_TOLERANCE else f"sums to {total:g}, must be 1"


def _bands_broken(bands: Mapping[str, Band]) -> str:
    ordered = list(bands.items())
    if not ordered:
        return "no outcome"
    if ordered[0][1].low is not None or ordered[-1][1].high is not None:
        return "the first band begins and the last ends with null"
    for (name, band), (following, after) in pairwise(ordered):
        if band.high is None or after.low is None or band.high != after.low:
            word = "gap" if band.high is not None and after.low is not None and band.high < after.low else "overlap"
            return f"{word} between {name} (to {band.high}) and {following} (from {after.low})"
        if band.low is not None and band.low >= band.high:
            return f"{name} is empty"
    return ""
