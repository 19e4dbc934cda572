"""Draws how latency grows with the number of texts, both on logarithmic scales, as an SVG picture."""

import math
from collections.abc import Mapping, Sequence
from html import escape

_COLOURS = ("#0b6e4f", "#b5480f", "#3b4cc0", "#7a3e9d", "#666666", "#a08000")
_LEFT, _TOP, _WIDTH, _HEIGHT = 70, 30, 480, 320


def growth_plot(title: str, series: Mapping[str, Sequence[tuple[int, float]]]) -> str:
    """Return the picture; each series is (texts, milliseconds), all above 0."""
    points = [point for line in series.values() for point in line]
    right, left = (math.log10(limit(n for n, _ in points)) for limit in (max, min))
    right = max(right, left + 1)
    low = math.floor(min(math.log10(ms) for _, ms in points))
    high = max(math.ceil(max(math.log10(ms) for _, ms in points)), low + 1)

    def at(n: float, ms: float) -> tuple[float, float]:
        x = _LEFT + _WIDTH * (math.log10(n) - left) / (right - left)
        return round(x, 1), round(_TOP + _HEIGHT * (high - math.log10(ms)) / (high - low), 1)

    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 740 420" font-family="sans-serif" font-size="13">',
        f"<title>{escape(title)}</title>",
        '<rect width="740" height="420" fill="white"/>',
        f'<text x="{_LEFT}" y="18" font-weight="bold">{escape(title)}</text>',
    ]
    for power in range(low, high + 1):
        y = at(10**left, 10**power)[1]
        parts.append(f'<path d="M{_LEFT} {y}h{_WIDTH}" stroke="#ddd"/>')
        parts.append(f'<text x="{_LEFT - 8}" y="{y + 4}" text-anchor="end">{10.0**power:g} ms</text>')
    for n in sorted({n for n, _ in points}):
        x = at(n, 10**low)[0]
        parts.append(f'<text x="{x}" y="{_TOP + _HEIGHT + 20}" text-anchor="middle">{n:,}</text>')
    for number, (name, line) in enumerate(series.items()):
        colour = _COLOURS[number % len(_COLOURS)]
        places = [at(*point) for point in sorted(line)]
        path = " ".join(f"{x},{y}" for x, y in places)
        parts.append(f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="2"/>')
        parts += (f'<circle cx="{x}" cy="{y}" r="3" fill="{colour}"/>' for x, y in places)
        parts.append(
            f'<text x="{_LEFT + _WIDTH + 12}" y="{_TOP + 20 + 20 * number}" fill="{colour}">{escape(name)}</text>'
        )
    return "\n".join([*parts, "</svg>"]) + "\n"
