"""Angles: the chain against its sprockets, the hanger against the wheel."""

import math

from kb.workings.base import Input, Result, Solution, Table, Working
from kb.workings.number import Number, atan, nominal
from kb.workings.pictures import hanger_picture

__all__ = ["WORKINGS", "hanger_angle_deg", "line_angle_deg"]

_ALUMINIUM_MPA = 69_000.0
"""Young's modulus of 6061-T6; materials data."""


def line_angle_deg(offset_mm: Number, length_mm: Number) -> Number:
    """Return the angle of a chain that runs `offset_mm` aside over `length_mm`.

    >>> round(line_angle_deg(10.0, 410.0), 3)
    1.397
    """
    return atan(offset_mm / length_mm) * (180 / math.pi)


def hanger_angle_deg(difference_mm: Number, radius_mm: Number) -> Number:
    """Return the tilt of a hanger from two gap readings half a turn apart at `radius_mm`.

    >>> round(hanger_angle_deg(4.0, 311.0), 2)
    0.37
    """
    return atan(difference_mm / (2 * radius_mm)) * (180 / math.pi)


def _chainline(offset: Number, chainstay: Number) -> Solution:
    angle = line_angle_deg(offset, chainstay)
    size = abs(nominal(angle))
    if size < 1:
        says = "The chain runs straight enough to be quiet."
    elif size < 2.5:
        says = "A usual angle for a derailleur bike; too much for a single sprocket or hub gear."
    else:
        says = "A steep angle: noise, wear, and with one ring it may drop the chain when pedalled backwards."
    return Solution({"angle": angle}, f"The chain runs {size:.2f} degrees aside. {says}")


def _chainline_table(
    chainline: Number,
    ring_spacing: Number,
    rings: Number,
    cassette_line: Number,
    sprocket_pitch: Number,
    sprockets: Number,
    chainstay: Number,
) -> Solution:
    ring_count, count = round(nominal(rings)), round(nominal(sprockets))
    rows, worst = [], 0.0
    for ring in range(ring_count):
        ring_at = nominal(chainline) + (ring - (ring_count - 1) / 2) * nominal(ring_spacing)
        angles = []
        for cog in range(count):
            cog_at = nominal(cassette_line) + ((count - 1) / 2 - cog) * nominal(sprocket_pitch)
            angles.append(nominal(line_angle_deg(ring_at - cog_at, nominal(chainstay))))
        worst = max(worst, *(abs(angle) for angle in angles))
        rows += [(f"ring {ring + 1}", f"sprocket {cog + 1}", f"{angle:+.2f}") for cog, angle in enumerate(angles)]
    says = (
        f"The steepest pair runs {worst:.1f} degrees aside. Rings count from the frame outwards, sprockets from "
        "the smallest inwards."
    )
    table = Table(("ring", "sprocket", "angle, degrees"), tuple(rows))
    return Solution({"worst": worst}, says, table=table)


def _hanger(difference: Number, radius: Number) -> Solution:
    angle = hanger_angle_deg(difference, radius)
    gap = abs(nominal(difference))
    at_rim = gap * 311 / nominal(radius)
    if at_rim <= 2:
        says = "straight"
    elif at_rim <= 4:
        says = "at the edge of what narrow cassettes bear; straighten it for 10 speeds and more"
    else:
        says = "bent: straighten it or fit a new hanger"
    return Solution(
        {"angle": angle},
        f"The hanger leans by {abs(nominal(angle)):.2f} degrees, {at_rim:.1f} mm across a 622 rim: {says}.",
    )


def _drift(
    force: Number, eccentricity: Number, width: Number, thickness: Number, length: Number, arm: Number
) -> Solution:
    inertia = width * thickness**3 / 12
    angle = force * eccentricity * length / (_ALUMINIUM_MPA * inertia)
    drift = angle * arm
    says = (
        f"Under {nominal(force):.0f} N of skewer force the hanger tilts {math.degrees(nominal(angle)):.2f} degrees "
        "and the guide pulley moves "
        f"{nominal(drift):.2f} mm: an estimate of size, no measurement. Clamp the skewer alike each time."
    )
    return Solution({"drift": drift, "angle": angle * (180 / math.pi)}, says)


WORKINGS = (
    Working(
        name="chainline-angle",
        title="How far aside the chain runs",
        inputs=(
            Input(
                "offset",
                "mm",
                "ring against sprocket, sideways; minus for the other side",
                least=-60,
                most=60,
                usual=(-35, 35),
            ),
            Input("chainstay", "mm", "crank axle to rear axle", least=200, most=1500, usual=(370, 560)),
        ),
        results=(Result("angle", "deg", "against the plane of the wheel"),),
        formula="atan(offset / chainstay)",
        source="Geometry; 1 and 2.5 degrees: common practice, no source",
        solve=_chainline,
    ),
    Working(
        name="chainline-table",
        title="The angle of the chain for every pair",
        inputs=(
            Input("chainline", "mm", "middle of the frame to the middle of the rings", least=30, most=80),
            Input("ring_spacing", "mm", "ring to ring", least=4, most=12, default=7.5),
            Input("rings", "count", "how many", least=1, most=3),
            Input("cassette_line", "mm", "middle of the frame to the middle of the cassette", least=30, most=80),
            Input("sprocket_pitch", "mm", "sprocket to sprocket", least=2, most=8),
            Input("sprockets", "count", "how many", least=1, most=14),
            Input("chainstay", "mm", "crank axle to rear axle", least=200, most=1500),
        ),
        results=(Result("worst", "deg", "the steepest pair"),),
        formula="atan((ring - sprocket) / chainstay) for each pair",
        source="Geometry",
        solve=_chainline_table,
    ),
    Working(
        name="hanger-angle",
        title="The tilt of a derailleur hanger from two gap readings",
        inputs=(
            Input(
                "difference",
                "mm",
                "between the gaps at two points half a turn apart",
                least=-80,
                most=80,
                usual=(-20, 20),
            ),
            Input(
                "radius", "mm", "from the hanger bolt to where the gap was taken", least=20, most=400, usual=(100, 340)
            ),
        ),
        results=(Result("angle", "deg", "against the wheel's plane"),),
        formula="atan(difference / (2 radius))",
        source="Geometry; within 2 to 4 mm at the rim: common practice, from memory",
        solve=_hanger,
        cautions=(
            (
                "Bend it back once, slowly; a cracked or twice bent hanger is replaced. Never bend it with the "
                "derailleur on."
            ),
        ),
        drawing=hanger_picture,
    ),
    Working(
        name="hanger-drift",
        title="How far skewer force may move a hanger and the guide pulley (an estimate)",
        inputs=(
            Input("force", "N", "clamp force of the skewer", least=100, most=20000, usual=(2000, 9000)),
            Input(
                "eccentricity",
                "mm",
                "from the line of the force to the hanger's middle plane",
                least=0.1,
                most=20,
                default=2,
            ),
            Input("width", "mm", "of the hanger's neck", least=5, most=40, default=16),
            Input("thickness", "mm", "of the hanger's neck", least=2, most=20, default=7),
            Input("length", "mm", "from dropout to derailleur bolt", least=10, most=60, default=28),
            Input("arm", "mm", "from derailleur bolt to guide pulley", least=20, most=120, default=55),
        ),
        results=(Result("drift", "mm", "at the guide pulley"), Result("angle", "deg", "tilt of the hanger")),
        formula="angle = F e L / (E b t^3 / 12), E = 69 GPa; drift = angle x arm",
        source="Beam under an end moment; modulus of 6061-T6 from materials data; shape taken as a plain strip",
        solve=_drift,
        assumptions=(
            (
                "The hanger is taken as a plain aluminium strip bent by the force times its eccentricity, its seat in "
                "the frame as solid."
            ),
            "A loose hanger moves far more than this: tighten its bolt first.",
        ),
    ),
)
