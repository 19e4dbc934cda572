"""A reading that a text states, with the words that state it."""

from dataclasses import dataclass

from kb.library.models import CheckId

__all__ = ["StatedReading"]


@dataclass(frozen=True, slots=True)
class StatedReading:
    """A reading found in the text."""

    check: CheckId
    outcome: str
    value: float | None
    """In the check's unit; None where it is stated in words."""
    start: int
    end: int
    """`source[start:end]` is the quotation."""
    quote: str
    hedged: bool
    probability: float = 1.0
    """That check and outcome are what the text states; 1 where they were found by a fixed phrase."""
