"""All workings by name, in the order of their subjects."""

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType

from kb.errors import NotKnown
from kb.workings import (
    alignment,
    bolts,
    bottom_bracket,
    brakes,
    carrying,
    chain,
    chain_length,
    clamps,
    drilled_parts,
    frame_fits,
    gauges,
    gears,
    indexing,
    part_fits,
    suspension,
    tyres,
    wheel_fits,
    wheels,
)
from kb.workings.base import Working, WorkingResult
from kb.workings.running import run

__all__ = ["all_workings", "run_working", "working"]

_SUBJECTS = (
    chain, chain_length, gears, indexing, alignment, bolts, clamps, bottom_bracket, frame_fits, part_fits, wheel_fits,
    drilled_parts, brakes, wheels, tyres, suspension, carrying, gauges,
)  # fmt: skip
_ALL: Mapping[str, Working] = MappingProxyType({item.name: item for subject in _SUBJECTS for item in subject.WORKINGS})


def all_workings() -> tuple[Working, ...]:
    """Return every working, in the order of the subjects."""
    return tuple(_ALL.values())


def working(name: str) -> Working:
    """Return the working of that name.

    Raises: NotKnown with the nearest names.
    """
    if name not in _ALL:
        raise NotKnown("working", name, get_close_matches(name, list(_ALL), 3, 0.5))
    return _ALL[name]


def run_working(name: str, given: Mapping[str, str]) -> WorkingResult:
    """Return what the working of that name makes of inputs as written, units and ± included.

    Raises: NotKnown; BadInput naming the first input that is missing, unknown, unreadable or impossible.

    >>> run_working("press-fit", {"bore": "41.96", "cup": "42 mm"}).results[0].text
    '0.0400 ± 0.0071 mm'
    """
    return run(working(name), given)
