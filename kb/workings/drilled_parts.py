"""Holes in parts: mass saved, what is left of the section, the stress at the hole's edge, and the margin."""

import math

from kb.errors import BadInput
from kb.workings.base import Input, Result, Solution, Working
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS", "gross_factor", "mass_removed_g", "net_factor", "notch_factor", "tube_modulus_mm3"]

_ROARK_TO = 0.7
"""Share of the width up to which the polynomial is used without a warning."""


def net_factor(share: Number) -> Number:
    """Return the stress concentration of a central hole on the net section, share = hole / width.

    Source: Roark table 17.1, Ktn = 3.00 - 3.13 x + 3.66 x^2 - 1.53 x^3; on the NET stress P / (t (w - d)).

    >>> round(net_factor(0.4), 3)
    2.236
    """
    return 3.00 - 3.13 * share + 3.66 * share**2 - 1.53 * share**3


def gross_factor(share: Number) -> Number:
    """Return the same on the gross section, as against the part before it was drilled.

    >>> round(gross_factor(0.4), 3)
    3.726
    """
    return net_factor(share) / (1 - share)


def mass_removed_g(hole_mm: Number, thickness_mm: Number, holes: Number, density_kg_m3: Number) -> Number:
    """Return the mass of the drilled holes.

    >>> round(mass_removed_g(6.0, 3.0, 10, 2810.0), 2)
    2.38
    """
    return holes * density_kg_m3 * 1e-6 * math.pi * hole_mm**2 * thickness_mm / 4


def notch_factor(stress_concentration: Number, sensitivity: Number) -> Number:
    """Return the fatigue factor Kf = 1 + q (Kt - 1). Source: Peterson; q near 1 for holes over 3 mm radius."""
    return 1 + sensitivity * (stress_concentration - 1)


def tube_modulus_mm3(outer_mm: Number, wall_mm: Number) -> Number:
    """Return the bending modulus of a round tube. Source: Roark, pi (D^4 - d^4) / (32 D).

    >>> round(tube_modulus_mm3(31.8, 2.0))
    1313
    """
    inner = outer_mm - 2 * wall_mm
    return math.pi * (outer_mm**4 - inner**4) / (32 * outer_mm)


def _share(hole: Number, width: Number) -> Number:
    if nominal(hole) >= nominal(width):
        raise BadInput("hole", f"{nominal(hole):g} mm", f"a hole narrower than the part, {nominal(width):g} mm")
    return hole / width


def _wide(share: Number) -> tuple[str, ...]:
    if nominal(share) <= _ROARK_TO:
        return ()
    return (
        (
            f"The hole takes {nominal(share):.0%} of the width; over {_ROARK_TO:.0%} the polynomial is a guess, and so "
            "is the part."
        ),
    )


def _hole_stress(width: Number, hole: Number) -> Solution:
    share = _share(hole, width)
    net, gross = net_factor(share), gross_factor(share)
    says = (
        f"The edge of the hole sees {nominal(net):.2f} times the mean stress of what is left, {nominal(gross):.2f} "
        "times the stress "
        "the part had there before it was drilled."
    )
    return Solution({"net_factor": net, "gross_factor": gross}, says, _wide(share))


def _drilled(width: Number, thickness: Number, hole: Number, holes: Number, density: Number) -> Solution:
    share = _share(hole, width)
    saved = mass_removed_g(hole, thickness, holes, density)
    section = (1 - share) * 100
    rise = gross_factor(share)
    says = (
        f"No: {nominal(saved):.1f} g saved, {nominal(section):.0f} % of the section left and {nominal(rise):.1f} "
        "times the stress at the edge of "
        "every hole. Aluminium has no stress it bears for ever; cracks start there and the part fails without warning."
    )
    return Solution({"mass_saved": saved, "net_section": section, "stress_rise": rise}, says, _wide(share))


def _margin(
    width: Number, thickness: Number, hole: Number, load: Number, fatigue_strength: Number, sensitivity: Number
) -> Solution:
    share = _share(hole, width)
    before = load / (width * thickness)
    peak = before * gross_factor(share)
    fatigue = before / (1 - share) * notch_factor(net_factor(share), sensitivity)
    margin = fatigue_strength / fatigue
    says = (
        f"Undrilled {nominal(before):.1f} MPa, at the hole {nominal(peak):.1f} MPa; for fatigue "
        f"{nominal(fatigue):.1f} MPa against "
        f"{nominal(fatigue_strength):g} MPa: {nominal(margin):.2f} of what it needs"
        + (
            ", where 1.5 to 2 is usual. A clear no."
            if nominal(margin) < 2
            else ". Scratches, corrosion and a fall are not in it."
        )
    )
    return Solution({"before": before, "peak": peak, "fatigue_stress": fatigue, "margin": margin}, says, _wide(share))


def _tube(outer: Number, wall: Number, force: Number, arm: Number) -> Solution:
    if 2 * nominal(wall) > nominal(outer):
        raise BadInput("wall", f"{nominal(wall):g} mm", f"at most half the outside, {nominal(outer) / 2:g} mm")
    modulus = tube_modulus_mm3(outer, wall)
    stress = force * arm / modulus
    says = (
        f"{nominal(force):g} N at {nominal(arm):g} mm bend the tube with {nominal(stress):.0f} MPa where it is "
        "clamped, before any groove or hole."
    )
    return Solution({"modulus": modulus, "stress": stress}, says)


_PLATE_WIDTH = Input("width", "mm", "of the part, square to the load", least=1, most=500, usual=(5, 80))
_THICKNESS = Input("thickness", "mm", "of the part", least=0.2, most=100, usual=(1, 20))
_HOLE = Input("hole", "mm", "diameter, smaller than the width", least=0.1, most=400, usual=(1, 20))
_NO_DRILLING = (
    (
        "Do not drill levers, cranks, bars, stems, rims, rotors or carbon parts: they break without warning and take "
        "the rider down."
    ),
)
_ROARK = "Roark table 17.1, Peterson chart 4.1 (net stress)"

WORKINGS = (
    Working(
        name="hole-stress",
        title="How much a hole raises the stress in a strip",
        inputs=(_PLATE_WIDTH, _HOLE),
        results=(
            Result("net_factor", "1", "on the section that is left"),
            Result("gross_factor", "1", "on the section before drilling"),
        ),
        formula="Ktn = 3.00 - 3.13 x + 3.66 x^2 - 1.53 x^3, x = d/w; Ktg = Ktn / (1 - x)",
        source=_ROARK,
        solve=_hole_stress,
        assumptions=("One round hole in the middle of a flat strip under tension.",),
        cautions=_NO_DRILLING,
    ),
    Working(
        name="drilled-part",
        title="What drilling a part saves, and what it costs",
        inputs=(
            _PLATE_WIDTH,
            _THICKNESS,
            _HOLE,
            Input("holes", "count", "in a row along the load", least=1, most=500, usual=(1, 60)),
            Input(
                "density",
                "kg/m^3",
                "2700 to 2810 aluminium, 7850 steel, 4480 titanium",
                least=500,
                most=20000,
                usual=(1500, 9000),
            ),
        ),
        results=(
            Result("mass_saved", "g", "all holes together"),
            Result("net_section", "%", "of the width left beside a hole"),
            Result("stress_rise", "1", "edge of a hole against the undrilled part"),
        ),
        formula="m = n rho pi d^2 t / 4; net section = 1 - d/w; stress rise Ktg = Ktn / (1 - d/w)",
        source=_ROARK,
        solve=_drilled,
        assumptions=("Holes in one row along the load, each on the middle line; holes beside each other are worse.",),
        cautions=_NO_DRILLING,
    ),
    Working(
        name="drilled-margin",
        title="What margin a drilled part has left against fatigue",
        inputs=(
            _PLATE_WIDTH,
            _THICKNESS,
            _HOLE,
            Input("load", "N", "pull along the part, as often as it is used", least=1, most=100000, usual=(50, 10000)),
            Input(
                "fatigue_strength", "MPa", "6061-T6 97, 7075-T6 159", least=5, most=1500, usual=(50, 700), default=97
            ),
            Input("sensitivity", "1", "notch sensitivity q, near 1 for holes over 6 mm", least=0, most=1, default=0.9),
        ),
        results=(
            Result("before", "MPa", "undrilled"),
            Result("peak", "MPa", "at the edge of the hole"),
            Result("fatigue_stress", "MPa", "with the notch sensitivity"),
            Result("margin", "1", "fatigue strength over that"),
        ),
        formula="before = P/(w t); peak = Ktg x before; Kf = 1 + q (Ktn - 1); fatigue = Kf P/(t (w - d))",
        source=_ROARK + "; Kf: Peterson; strengths: materials data, 5e8 cycles",
        solve=_margin,
        assumptions=("A flat strip under pull; a bent lever is worse at its edges and better in its middle.",),
        cautions=_NO_DRILLING,
    ),
    Working(
        name="tube-bending",
        title="The stress in a bar or post where it is clamped",
        inputs=(
            Input("outer", "mm", "outside diameter", least=5, most=100, usual=(19, 50)),
            Input("wall", "mm", "wall", least=0.2, most=20, usual=(0.6, 5)),
            Input("force", "N", "square to the tube", least=1, most=20000, usual=(50, 3000)),
            Input("arm", "mm", "from the clamp to the force", least=1, most=1000),
        ),
        results=(Result("modulus", "mm^3", "of the section"), Result("stress", "MPa", "at the clamp")),
        formula="Z = pi (D^4 - d^4) / (32 D); stress = F a / Z",
        source="Roark; load case of ISO 4210-5: 600 N at 300 mm",
        solve=_tube,
        cautions=("A bar bent once, scored or crushed is replaced: the sum knows only a sound one.",),
    ),
)
