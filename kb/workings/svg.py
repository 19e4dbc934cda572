"""Draws small inline pictures: lines, circles, boxes and words on a canvas in millimetres, as accessible SVG."""

from dataclasses import dataclass
from html import escape

__all__ = ["Canvas", "arc_line", "box", "circle", "label", "line"]


@dataclass(frozen=True, slots=True)
class Canvas:
    """A picture `width` by `height`, x to the right and y down, with what it shows in words."""

    title: str
    width: float
    height: float

    def svg(self, *marks: str) -> str:
        """Return the picture as one inline SVG element; it takes the colour of the text around it."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {self.width:.0f} {self.height:.0f}" '
            f'width="100%" style="max-width:32rem" fill="none" stroke="currentColor" stroke-width="1.5">'
            f"<title>{escape(self.title)}</title>{''.join(marks)}</svg>"
        )


def line(x1: float, y1: float, x2: float, y2: float, dashed: bool = False) -> str:
    """Return a line."""
    dash = ' stroke-dasharray="4 3" stroke-width="1"' if dashed else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"{dash}/>'


def circle(x: float, y: float, radius: float, filled: bool = False) -> str:
    """Return a circle."""
    fill = ' fill="currentColor"' if filled else ""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{max(radius, 0.5):.1f}"{fill}/>'


def box(x: float, y: float, width: float, height: float, shade: float = 0.0) -> str:
    """Return a box; `shade` from 0 to 1 fills it."""
    fill = f' fill="currentColor" fill-opacity="{shade:g}"' if shade else ""
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(width, 0.0):.1f}" height="{max(height, 0.0):.1f}"{fill}/>'


def arc_line(points: list[tuple[float, float]]) -> str:
    """Return a line through points."""
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polyline points="{path}"/>'


def label(x: float, y: float, text: str, anchor: str = "middle") -> str:
    """Return words at a point."""
    style = f'font-size="11" stroke="none" fill="currentColor" text-anchor="{anchor}"'
    return f'<text x="{x:.1f}" y="{y:.1f}" {style}>{escape(text)}</text>'
