"""Wheels: spoke length, tension, dish and runout."""

import math

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Working
from kb.workings.number import Number, nominal, normal_share, sqrt, u_of
from kb.workings.pictures import spoke_picture

__all__ = ["WORKINGS", "spoke_length_mm", "three_point_tension_n"]

_RUNOUT_MM = {
    "rim": (1.0, "ISO 4210-2 for rim brakes, from memory (low); one stricter standard (TBIS 15194) says 0.8"),
    "disc": (2.0, "ISO 4210-2 for other brakes, from memory (low); one stricter standard (TBIS 15194) says 0.8"),
    "racing": (0.7, "ISO 4210-2 for racing bikes, from memory (low); one stricter standard (TBIS 15194) says 0.6"),
    "rotor": (0.4, "common practice for a rotor; 0.2 is good"),
}
_GOOD_MM = {"rim": 0.5, "disc": 0.5, "racing": 0.5, "rotor": 0.2}


def spoke_length_mm(
    erd: Number, flange_diameter: Number, flange_offset: Number, spokes: Number, crosses: Number, hole: Number
) -> Number:
    """Return the length of a spoke, head to the end in the nipple's slot.

    Source: cosine rule, l = sqrt(d^2 + r1^2 + r2^2 - 2 r1 r2 cos a) - r3, a = 360 x / (n/2) deg.

    >>> round(spoke_length_mm(600.0, 58.0, 32.0, 32, 3, 2.6), 2)
    290.6
    """
    flange, rim = flange_diameter / 2, erd / 2
    angle = 2 * math.pi * nominal(crosses) / (nominal(spokes) / 2)
    return sqrt(flange_offset**2 + flange**2 + rim**2 - 2 * flange * rim * math.cos(angle)) - hole / 2


def three_point_tension_n(force_n: Number, span_mm: Number, deflection_mm: Number) -> Number:
    """Return the tension of a wire pushed aside in the middle of a span. Source: statics, T = F L / (4 delta).

    >>> three_point_tension_n(50.0, 120.0, 1.25)
    1200.0
    """
    return force_n * span_mm / (4 * deflection_mm)


def _spoke(
    erd: Number, flange_diameter: Number, flange_offset: Number, spokes: Number, crosses: Number, hole: Number
) -> Solution:
    count, crossings = round(nominal(spokes)), round(nominal(crosses))
    if count % 2:
        raise BadInput("spokes", count, "an even number of spokes in the wheel")
    if crossings * 720 / count > 180:
        raise BadInput("crosses", crossings, f"at most {count // 4} crossings with {count} spokes")
    if nominal(flange_diameter) >= nominal(erd):
        raise BadInput("flange_diameter", f"{nominal(flange_diameter):g} mm", "a flange smaller than the rim")
    length = spoke_length_mm(erd, flange_diameter, flange_offset, spokes, crosses, hole)
    angle = crossings * 720 / count
    says = (
        f"{nominal(length):.1f} mm. Order the next whole length at or just under it; each side of a dished wheel "
        "has its own."
    )
    steep = (
        (f"{angle:.0f} degrees at the flange: over about 95 the spoke runs over its neighbour's head.",)
        if angle > 95
        else ()
    )
    return Solution({"length": length}, says, steep)


def _spread(highest: Number, lowest: Number) -> Solution:
    if nominal(lowest) > nominal(highest):
        raise BadInput("lowest", f"{nominal(lowest):g} N", f"no more than the highest, {nominal(highest):g} N")
    spread = (highest - lowest) / ((highest + lowest) / 2) * 100
    good = "even enough" if nominal(spread) < 20 else "uneven: the slack spokes work loose and the tight ones tire"
    warnings = ("Over 1300 N: most rims bear less, read the rim's limit.",) if nominal(highest) > 1300 else ()
    return Solution(
        {"spread": spread},
        f"{nominal(spread):.0f} % of the mean between the tightest and the slackest on this side: {good}.",
        warnings,
    )


def _tension(force: Number, span: Number, deflection: Number) -> Solution:
    tension = three_point_tension_n(force, span, deflection)
    return Solution(
        {"tension": tension},
        f"About {nominal(tension):.0f} N ({nominal(tension) / 9.80665:.0f} kgf); thick spokes read high.",
    )


def _dish(left: Number, right: Number) -> Solution:
    offset = (left - right) / 2
    mm = nominal(offset)
    if abs(mm) < 0.005:
        return Solution({"offset": offset}, "The rim stands in the middle between the locknuts.")
    side = "right" if mm > 0 else "left"
    advice = (
        "within the usual 1 mm"
        if abs(mm) <= 1
        else "over the usual 1 mm: tighten the spokes of the other side, in small equal turns"
    )
    return Solution({"offset": offset}, f"The rim stands {abs(mm):.2f} mm towards the {side}: {advice}.")


def _runout(runout: Number, brake: str) -> Solution:
    limit, source = _RUNOUT_MM[brake]
    mm, u = nominal(runout), u_of(runout)
    near = u > 0 and abs(mm - limit) < 2 * u
    decision = "undecided" if near else "conform" if mm <= limit else "not conform"
    words = {"conform": "within", "not conform": "over", "undecided": "too near to tell from"}[decision]
    says = f"{mm:g} mm is {words} the limit of {limit:g} mm ({source})."
    if decision == "conform" and mm > _GOOD_MM[brake]:
        says += f" A good build keeps {_GOOD_MM[brake]:g} mm; true it when there is time."
    sure = normal_share(limit - mm, u) * 100
    return Solution({"decision": decision, "limit": limit, "probability_conform": sure}, says)


def _ratio(
    left_offset: Number, right_offset: Number, erd: Number, flange_diameter: Number, spokes: Number, crosses: Number
) -> Solution:
    lengths = [
        spoke_length_mm(erd, flange_diameter, offset, spokes, crosses, 0.0) for offset in (left_offset, right_offset)
    ]
    ratio = (right_offset / lengths[1]) / (left_offset / lengths[0])
    says = f"For a rim in the middle the left spokes carry {nominal(ratio):.0%} of the tension of the right ones."
    low = (
        ("Under 50 %: the slack side works loose; thread compound or thinner spokes help there.",)
        if nominal(ratio) < 0.5
        else ()
    )
    return Solution({"ratio": ratio}, says, low)


_TRUE = ("A wheel with loose or broken spokes can fold: no riding before it is true and evenly tight.",)
_ERD = Input("erd", "mm", "effective rim diameter, where the nipple's slot ends", least=100, most=700, usual=(280, 640))
_FLANGE = Input("flange_diameter", "mm", "circle of the spoke holes", least=15, most=400, usual=(25, 120))
_SPOKES = Input("spokes", "count", "in the wheel", least=8, most=144, usual=(16, 48))
_CROSSES = Input("crosses", "count", "spokes each one crosses; 0 is radial", least=0, most=6)

WORKINGS = (
    Working(
        name="spoke-length",
        title="How long the spokes have to be",
        inputs=(
            _ERD,
            _FLANGE,
            Input(
                "flange_offset", "mm", "flange from the middle between the locknuts", least=0, most=120, usual=(10, 50)
            ),
            _SPOKES,
            _CROSSES,
            Input("hole", "mm", "in the flange", least=0.5, most=6, usual=(2.2, 3), default=2.6),
        ),
        results=(Result("length", "mm", "inside of the bend to the end of the thread"),),
        formula="l = sqrt(d^2 + r1^2 + r2^2 - 2 r1 r2 cos a) - r3, a = 360 x / (n/2) degrees",
        source="Cosine rule in three dimensions; encyclopaedia article on spokes, from memory",
        solve=_spoke,
        assumptions=("Rim holes on the middle line, spokes straight, no stretch (0.4 mm at 1000 N).",),
        cautions=_TRUE,
        drawing=spoke_picture,
    ),
    Working(
        name="spoke-tension-spread",
        title="How even the tension is on one side",
        inputs=(
            Input("highest", "N", "on this side", least=1, most=5000, usual=(300, 1600)),
            Input("lowest", "N", "on this side", least=0, most=5000),
        ),
        results=(Result("spread", "%", "difference as a share of the mean"),),
        formula="(highest - lowest) / mean of the two",
        source="Common practice: within 20 % on a side",
        solve=_spread,
        cautions=_TRUE,
    ),
    Working(
        name="spoke-tension",
        title="The tension of a spoke from a three-point gauge",
        inputs=(
            Input("force", "N", "pushing aside", least=1, most=500, usual=(10, 150)),
            Input("span", "mm", "between the two posts", least=20, most=400, usual=(60, 200)),
            Input("deflection", "mm", "in the middle", least=0.05, most=20, usual=(0.5, 4)),
        ),
        results=(Result("tension", "N", "of the spoke"),),
        formula="T = F L / (4 delta)",
        source="Statics; the bending of the wire is left out, so it reads high",
        solve=_tension,
    ),
    Working(
        name="tension-ratio",
        title="Tension left against right in a dished wheel",
        inputs=(
            Input("left_offset", "mm", "left flange from the middle", least=3, most=120, usual=(10, 50)),
            Input("right_offset", "mm", "right flange from the middle", least=3, most=120, usual=(10, 50)),
            _ERD,
            _FLANGE,
            _SPOKES,
            _CROSSES,
        ),
        results=(Result("ratio", "1", "left over right"),),
        formula="T_L / T_R = (d_R / l_R) / (d_L / l_L)",
        source="Statics: the sideways pulls balance",
        solve=_ratio,
    ),
    Working(
        name="dish",
        title="How far the rim is off the middle",
        inputs=(
            Input("left", "mm", "left locknut face to the rim, along the axle", least=-50, most=150),
            Input("right", "mm", "right locknut face to the rim, along the axle", least=-50, most=150),
        ),
        results=(Result("offset", "mm", "plus: towards the right"),),
        formula="(left - right) / 2; a gauge shows twice the offset when the wheel is turned over",
        source="Geometry; 1 mm: common practice",
        solve=_dish,
        cautions=_TRUE,
    ),
    Working(
        name="runout-limit",
        title="Whether a rim or rotor runs true enough",
        inputs=(
            Input("runout", "mm", "full indicator reading over one turn", least=0, most=50, usual=(0, 10)),
            Input(
                "brake",
                TEXT,
                "rim: rim brake; disc: rim of a wheel with disc or hub brake; racing; rotor: the disc itself",
                choices=tuple(_RUNOUT_MM),
                also={
                    "rim brake": "rim",
                    "disc brake": "disc",
                    "disk": "disc",
                    "hub": "disc",
                    "drum": "disc",
                    "coaster": "disc",
                    "disc rotor": "rotor",
                },
            ),
        ),
        results=(
            Result("decision", TEXT, "conform, not conform or undecided"),
            Result("limit", "mm", "taken"),
            Result("probability_conform", "%", "with the uncertainty given"),
        ),
        formula="conform if runout <= limit; undecided within two standard uncertainties of it",
        source="ISO 4210-2 4.10.1 (from memory, low); TBIS 15194:2019 table 22; rotors: common practice",
        solve=_runout,
        cautions=_TRUE,
    ),
)
