"""Draws how far confidence and the share of right answers agree: one point a bin, its size the texts in it."""

import math
from collections.abc import Sequence

from kb.search.reliability import ConfidenceBin, calibration_error
from kb.workings.svg import Canvas, arc_line, box, circle, label, line

__all__ = ["reliability_picture"]

_SIDE = 240.0
_LEFT, _TOP = 50.0, 26.0
_BARS = 60.0
"""Height of the bars below that count texts."""
_GAP = 44.0
_LARGEST = 9.0
_TICKS = (0.0, 0.25, 0.5, 0.75, 1.0)


def reliability_picture(bins: Sequence[ConfidenceBin], name: str) -> str:
    """Return an SVG: confidence to the right, share right upwards, the diagonal where they agree, counts below."""
    texts = sum(item.count for item in bins)
    heading = f"{name}: calibration error {calibration_error(bins):.3f}, {texts} texts"
    points = [(_x(item.confidence), _y(item.correct)) for item in bins]
    largest = max((item.count for item in bins), default=1)
    marks = [
        label(_LEFT + _SIDE / 2, _TOP - 12, heading),
        box(_LEFT, _TOP, _SIDE, _SIDE),
        line(_x(0), _y(0), _x(1), _y(1), dashed=True),
        *_axes(),
        *([arc_line(points)] if len(points) > 1 else []),
        *(
            circle(x, y, max(_LARGEST * math.sqrt(item.count / largest), 1.5), filled=True)
            for (x, y), item in zip(points, bins, strict=True)
        ),
        *_bars(bins, largest),
    ]
    title = f"{heading}. " + "; ".join(
        f"confidence {item.confidence:.2f}, right {item.correct:.2f}, {item.count} texts" for item in bins
    )
    return Canvas(title, _LEFT + _SIDE + 20, _TOP + _SIDE + _GAP + _BARS + 24).svg(*marks) + "\n"


def _x(confidence: float) -> float:
    return _LEFT + confidence * _SIDE


def _y(share: float) -> float:
    return _TOP + (1 - share) * _SIDE


def _axes() -> list[str]:
    marks = []
    for tick in _TICKS:
        marks += [
            line(_x(tick), _y(0), _x(tick), _y(0) + 4),
            label(_x(tick), _y(0) + 16, f"{tick:g}"),
            line(_LEFT - 4, _y(tick), _LEFT, _y(tick)),
            label(_LEFT - 8, _y(tick) + 4, f"{tick:g}", anchor="end"),
        ]
    return [
        *marks,
        label(_LEFT + _SIDE / 2, _y(0) + 30, "confidence in the likeliest answer"),
        label(_LEFT + 6, _TOP + 14, "share of them that was right", anchor="start"),
    ]


def _bars(bins: Sequence[ConfidenceBin], largest: int) -> list[str]:
    floor = _TOP + _SIDE + _GAP + _BARS
    marks = [line(_LEFT, floor, _LEFT + _SIDE, floor), label(_LEFT + _SIDE / 2, floor + 15, "texts in each bin")]
    for item in bins:
        height = _BARS * 0.8 * item.count / largest
        middle = _x((item.low + item.high) / 2)
        width = (item.high - item.low) * _SIDE - 4
        marks += [
            box(middle - width / 2, floor - height, width, height, shade=0.3),
            label(middle, floor - height - 3, str(item.count)),
        ]
    return marks
