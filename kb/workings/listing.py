"""Reads lists of teeth as riders write them: "50/34", "11-13-15", "11, 12, 13"."""

import re

from kb.errors import BadInput

__all__ = ["teeth_list"]


def teeth_list(field: str, text: str, least: int = 9, most: int = 80) -> tuple[int, ...]:
    """Return the teeth in the order written.

    Raises: BadInput if one is no whole number from `least` to `most`, or if there are more than 16.

    >>> teeth_list("rings", "50/34T")
    (50, 34)
    """
    parts = [part for part in re.split(r"[\s,;/x-]+", text.strip()) if part]
    allowed = f"1 to 16 whole numbers from {least} to {most}, as in 50/34"
    if not 1 <= len(parts) <= 16:
        raise BadInput(field, text, allowed)
    teeth = []
    for part in parts:
        match = re.fullmatch(r"(\d{1,3})[tT]?", part)
        if match is None or not least <= int(match[1]) <= most:
            raise BadInput(field, text, allowed)
        teeth.append(int(match[1]))
    return tuple(teeth)
