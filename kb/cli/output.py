"""Prints answers, articles and checks for a person at the stand: plain text, 40 lines at most for an answer."""

import textwrap

from kb.answer import Answer, NextStep, percent, probability_in_words
from kb.diagnosis.readings import Reading
from kb.library.models import Article, Check, Ride
from kb.units import shown

__all__ = ["WIDTH", "answer_lines", "article_lines", "check_lines", "reading_in_words", "ride_in_words"]

WIDTH = 96
MOST_LINES = 40

RIDE_WORDS = {
    Ride.RIDE_ON: "Ride on: nothing here is known to make riding dangerous.",
    Ride.RIDE_GENTLY: "Ride gently and not far until it is put right or ruled out",
    Ride.DO_NOT_RIDE: "Do not ride until it is put right or ruled out",
}


def ride_in_words(answer: Answer) -> str:
    """Return the advice on riding as a sentence."""
    if answer.ride_because is None:
        return RIDE_WORDS[answer.ride]
    return f"{RIDE_WORDS[answer.ride]}: it may be “{answer.ride_because.title}”."


def reading_in_words(reading: Reading, check: Check) -> str:
    """Return what a check showed, with the number where there is one."""
    found = (
        f"{reading.value:g} {shown(check.unit or '')} ({reading.outcome})"
        if reading.value is not None
        else reading.outcome
    )
    return f"{check.what}: {found}{', perhaps' if reading.hedged else ''}"


def answer_lines(answer: Answer) -> list[str]:
    """Return an answer as at most 40 lines."""
    if not answer.answered:
        return _unanswered_lines(answer)
    lines = _cause_lines(answer)
    lines += _reading_lines(answer)
    lines += ["", *_wrapped(ride_in_words(answer))]
    lines += [line for caution in answer.cautions[:3] for line in _wrapped(caution, "  ! ", "    ")]
    lines += _fix_lines(answer) if answer.settled else _next_lines(answer)
    return (
        lines
        if len(lines) <= MOST_LINES
        else [*lines[: MOST_LINES - 1], "  (more with --json, or: truestand article ID)"]
    )


def article_lines(article: Article) -> list[str]:
    """Return a whole article for reading."""
    lines = [
        article.title,
        "=" * min(len(article.title), WIDTH),
        f"{article.kind}, {article.prevalence}, {article.ride}",
        "",
    ]
    lines += article.body.rstrip().splitlines()
    if article.fix:
        fix = article.fix
        lines += ["", f"Fix ({fix.minutes:g} min, skill: {fix.skill}; tools: {', '.join(fix.tools) or 'none'})"]
        for number, step in enumerate(fix.steps, 1):
            lines += _wrapped(step, f" {number}. ", "    ")
        lines += [f"  torque, {item.bolt}: {item.min:g} to {item.max:g} {shown(item.unit)}" for item in fix.torque]
        if fix.torque:
            lines.append("  A figure marked on the part goes before these.")
    for heading, items in (("Cautions", article.cautions), ("Never", [f"{n.says} {n.because}" for n in article.never])):
        if items:
            lines += ["", heading, *(line for item in items for line in _wrapped(item, "  ! ", "    "))]
    if article.checks:
        lines += ["", "Checks: " + ", ".join(item.check for item in article.checks)]
    if article.see:
        lines += ["See also: " + ", ".join(article.see)]
    lines += ["Sources: " + "; ".join(f"{source.title} ({source.note})" for source in article.sources)]
    return [part for line in lines for part in (textwrap.wrap(line, WIDTH, subsequent_indent="    ") or [""])]


def check_lines(check: Check) -> list[str]:
    """Return a whole check for reading."""
    lines = [*_wrapped(check.ask), "", f"{check.minutes:g} min, tool: {check.tool}, skill: {check.skill}", ""]
    for number, step in enumerate(check.how, 1):
        lines += _wrapped(step, f" {number}. ", "    ")
    lines += ["", "What it can show:"]
    for name in check.outcomes:
        lines += _wrapped(f"{name}: {check.phrases[name]}", "  - ", "    ")
    if check.caution:
        lines += ["", *_wrapped(check.caution, "  ! ", "    ")]
    return [check.what, "=" * min(len(check.what), WIDTH), *lines]


def _unanswered_lines(answer: Answer) -> list[str]:
    lines = _wrapped("None of our articles fits this well enough to answer it.")
    if answer.causes and answer.none_of_ours < 0.9:
        nearest = ", ".join(f"“{cause.article.title}”" for cause in answer.causes[:2])
        lines += _wrapped(f"The nearest are {nearest}, but that would be a guess.")
    lines += _wrapped(
        "Say what the bike does (a noise, a movement, a look), where on the bike, when it happens, "
        "and what was changed before."
    )
    return lines


def _cause_lines(answer: Answer) -> list[str]:
    lines = ["Probable causes"]
    for number, cause in enumerate(answer.causes, 1):
        if cause.probability < 0.005 and number > 1:
            break
        why = f"  [{', '.join(cause.why)}]" if cause.why and number <= 3 else ""
        words = probability_in_words(cause.probability)
        text = f"{percent(cause.probability):>5}  {words}: {cause.article.title} ({cause.article.id}){why}"
        lines += _wrapped(text, f"{number}. ", "         ")
    lines.append(f"   {percent(answer.none_of_ours):>5}  none of ours")
    return lines


def _reading_lines(answer: Answer) -> list[str]:
    lines: list[str] = []
    for reading in answer.stated:
        lines += _wrapped(
            f"you said “{reading.quote}”: {reading.check} = {reading.outcome}{' (perhaps)' if reading.hedged else ''}",
            "  * ",
        )
    for found in answer.also_found:
        names = " or ".join(f"“{article.title}”" for article in found.explained_by)
        lines += _wrapped(
            f"also found: {reading_in_words(found.reading, found.check)}; that points to {names}", "  * ", "    "
        )
    return ["", *lines] if lines else []


def _next_lines(answer: Answer) -> list[str]:
    lines: list[str] = []
    for place, step in enumerate(answer.next[:3]):
        if place == 0:
            lines += [
                "",
                f"Do this next ({step.check.id}, {step.check.minutes:g} min): it {step.because}",
            ]
            lines += _wrapped(step.check.ask, "  ")
            lines += _meaning_lines(answer, step)
        else:
            lines += _wrapped(f"or {step.check.id}: {step.check.ask}", "  ", "    ")[:2]
    return lines


def _meaning_lines(answer: Answer, step: NextStep) -> list[str]:
    titles = {cause.article.id: cause.article.title for cause in answer.causes}
    lines: list[str] = []
    for meaning in step.gain.outcomes:
        if meaning.p_outcome < 0.02:
            continue
        id, share = meaning.leading[0]
        lines += _wrapped(
            f"{meaning.outcome} ({step.check.phrases[meaning.outcome]}): then {share:.0%} {titles.get(id, id)}",
            "  - ",
            "    ",
        )
    return lines[:8]


def _fix_lines(answer: Answer) -> list[str]:
    article = answer.causes[0].article
    if article.fix is None:
        return ["", f"Read: truestand article {article.id}"]
    fix = article.fix
    lines = ["", f"Settled enough to act. Fix ({fix.minutes:g} min, skill: {fix.skill})"]
    for number, step in enumerate(fix.steps, 1):
        lines += _wrapped(step, f" {number}. ", "    ")
    lines += [
        f"  torque, {item.bolt}: {item.min:g} to {item.max:g} {shown(item.unit)}; a figure on the part goes first"
        for item in fix.torque
    ]
    return [*lines, f"More: truestand article {article.id}"]


def _wrapped(text: str, first: str = "", following: str | None = None) -> list[str]:
    indent = " " * len(first) if following is None else following
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=indent) or [""]
