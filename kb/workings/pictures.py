"""The pictures of the workings, drawn to the scale of their inputs."""

import math

from kb.workings.svg import Canvas, arc_line, box, circle, label, line

__all__ = ["chain_picture", "clamp_picture", "gear_picture", "hanger_picture", "spoke_picture", "stack_picture"]


def _radius_mm(teeth: float) -> float:
    return 6.35 / math.sin(math.pi / teeth)


def chain_picture(chainstay: float, chainring: float, sprocket: float) -> str:
    """Return ring, sprocket and the two straight runs of the chain between them."""
    ring, cog = _radius_mm(chainring), _radius_mm(sprocket)
    scale = 300 / (chainstay + ring + cog)
    top = max(ring, cog) * scale + 12
    x_cog, x_ring = cog * scale + 10, (cog + chainstay) * scale + 10
    lean = math.asin((ring - cog) / chainstay)
    runs = [
        line(
            x_cog - cog * scale * math.sin(lean), top - side * cog * scale * math.cos(lean),
            x_ring - ring * scale * math.sin(lean), top - side * ring * scale * math.cos(lean),
        )
        for side in (1, -1)
    ]  # fmt: skip
    words = (label(x_cog, top + 4, f"{sprocket:g}"), label(x_ring, top + 4, f"{chainring:g}"))
    below = 2 * top + 8
    measure = (
        line(x_cog, below, x_ring, below, dashed=True),
        label((x_cog + x_ring) / 2, below - 4, f"{chainstay:g} mm"),
    )
    title = f"A chain round a {chainring:g} ring and a {sprocket:g} sprocket, {chainstay:g} mm apart"
    return Canvas(title, 320, below + 8).svg(
        circle(x_cog, top, cog * scale), circle(x_ring, top, ring * scale), *runs, *words, *measure
    )  # fmt: skip


def stack_picture(spindle_length: float, shell_width: float, cup_flange: float) -> str:
    """Return the spindle with shell, both cup flanges and what is left for spacers, all drawn on the left."""
    spare = spindle_length - shell_width - 2 * cup_flange
    scale = 280 / max(spindle_length, shell_width + 2 * cup_flange)
    left = 20 + max(spare, 0) * scale
    flange, shell = cup_flange * scale, shell_width * scale
    marks = [
        box(20, 52, spindle_length * scale, 16),
        box(left, 30, flange, 60, 0.35),
        box(left + flange, 40, shell, 40, 0.1),
        box(left + flange + shell, 30, flange, 60, 0.35),
        label(left + flange + shell / 2, 64, f"shell {shell_width:g}"),
        label(
            left + flange + shell / 2,
            108,
            f"flanges 2 x {cup_flange:g}, spindle {spindle_length:g}, spacers {spare:.2f} mm",
        ),
    ]
    if spare > 0:
        marks.append(box(20, 34, spare * scale, 52, 0.6))
    title = f"Spindle {spindle_length:g} mm over a shell of {shell_width:g} mm: {spare:.2f} mm for spacers"
    return Canvas(title, 320, 116).svg(*marks)


def clamp_picture(preload: float, bolts: float, diameter: float, friction: float, slits: str = "two") -> str:
    """Return a bar between two halves, or in a ring with one slit, with the bolts' squeeze."""
    gaps = (
        (line(60, 70, 84, 70), line(196, 70, 220, 70))
        if slits == "two"
        else (line(196, 66, 220, 66), line(196, 74, 220, 74))
    )
    arrows = (line(140, 8, 140, 28), line(135, 22, 140, 28), line(145, 22, 140, 28), line(140, 132, 140, 112),
              line(135, 118, 140, 112), line(145, 118, 140, 112))  # fmt: skip
    words = (
        label(140, 74, f"{diameter:g} mm"),
        label(206, 28, f"{bolts:g} x {preload:.0f} N", "start"),
        label(230, 118, f"friction {friction:g}", "start"),
    )
    title = f"A clamp on a bar of {diameter:g} mm, {bolts:g} bolts of {preload:.0f} N each"
    return Canvas(title, 320, 140).svg(circle(140, 70, 56), circle(140, 70, 40), *gaps, *arrows, *words)


def spoke_picture(
    erd: float, flange_diameter: float, flange_offset: float, spokes: float, crosses: float, hole: float = 2.6
) -> str:
    """Return rim, flange and one spoke seen from the side, with its offset in words."""
    half, flange = 95.0, 95.0 * flange_diameter / erd * 1.6
    x, y = 160.0, 105.0
    angle = 4 * math.pi * crosses / spokes
    start = (x + flange * math.cos(angle), y - flange * math.sin(angle))
    title = (
        f"One of {spokes:g} spokes, crossed {crosses:g} times, on a flange of {flange_diameter:g} mm and a rim "
        f"of {erd:g} mm"
    )
    return Canvas(title, 320, 230).svg(
        circle(x, y, half), circle(x, y, flange), circle(x, y, 2, filled=True),
        line(*start, x + half, y), line(x, y, *start, dashed=True),
        label(x, 222, f"offset {flange_offset:g} mm, hole {hole:g} mm (flange drawn larger)"),
    )  # fmt: skip


def hanger_picture(difference: float, radius: float) -> str:
    """Return the hanger's plane against the wheel's, the angle drawn ten times larger."""
    angle = 10 * math.atan(difference / (2 * radius))
    angle = max(-1.2, min(1.2, angle))
    reach = 80
    x, y = reach * math.sin(angle), reach * math.cos(angle)
    title = f"A hanger out of plane by {difference:g} mm over a radius of {radius:g} mm, drawn ten times larger"
    return Canvas(title, 320, 200).svg(
        line(160, 15, 160, 175, dashed=True), line(160 - x, 95 - y, 160 + x, 95 + y), circle(160, 95, 5, filled=True),
        label(160, 194, f"{math.degrees(math.atan(difference / (2 * radius))):.2f} degrees"),
    )  # fmt: skip


def gear_picture(rows: list[tuple[str, list[float]]]) -> str:
    """Return the gears of each ring as ticks on one line, from the lowest to the highest development in m."""
    metres = [value for _, values in rows for value in values]
    low, high = min(metres), max(metres)
    span = math.log(high / low) or 1.0

    def place(value: float) -> float:
        return 50 + 250 * math.log(value / low) / span

    marks = []
    for number, (name, values) in enumerate(rows):
        y = 25.0 + 30 * number
        marks += [label(22, y + 4, name), arc_line([(50, y), (300, y)])]
        marks += [line(place(value), y - 8, place(value), y + 8) for value in values]
    height = 30 + 30 * len(rows)
    marks += [label(50, height, f"{low:.2f} m"), label(300, height, f"{high:.2f} m")]
    return Canvas("Development of every gear, on a scale of equal steps", 330, height + 8).svg(*marks)
