"""How many links: the exact open drive on pitch circles, the trade's inch rule, wrap and slack."""

import math

from kb.errors import BadInput
from kb.workings.base import Input, Result, Solution, Table, Working
from kb.workings.chain import PITCH_MM
from kb.workings.listing import teeth_list
from kb.workings.number import Number, asin, nominal, sqrt
from kb.workings.pictures import chain_picture

__all__ = ["WORKINGS", "inch_rule", "joinable", "open_length", "pitch_diameter", "wrap_angle"]

_LEAST_RESERVE = 1.0
"""Links over the bare geometry under which one more pair is taken."""


def pitch_diameter(teeth: Number) -> Number:
    """Return the diameter of the pitch circle in mm. Source: D = p / sin(180 deg / N), ISO 606 annex A.

    >>> round(pitch_diameter(11), 2), round(pitch_diameter(50), 2)
    (45.08, 202.26)
    """
    return PITCH_MM / math.sin(math.pi / nominal(teeth))


def wrap_angle(chainstay_mm: Number, other_teeth: Number, teeth: Number) -> Number:
    """Return the angle in rad of the wheel with `teeth` that an open chain lies on; over pi on the larger one."""
    return math.pi - 2 * asin((pitch_diameter(other_teeth) - pitch_diameter(teeth)) / 2 / chainstay_mm)


def open_length(chainstay_mm: Number, chainring: Number, sprocket: Number) -> Number:
    """Return the length of an open chain in links, by tangents and arcs of the pitch circles.

    Exact for a belt on those circles; the polygon of links is shorter by some hundredths.

    >>> round(open_length(405.0, 50, 34), 3)
    106.023
    """
    ring, wheel = pitch_diameter(chainring) / 2, pitch_diameter(sprocket) / 2
    straight = 2 * sqrt(chainstay_mm**2 - (ring - wheel) ** 2)
    arcs = ring * wrap_angle(chainstay_mm, sprocket, chainring) + wheel * wrap_angle(chainstay_mm, chainring, sprocket)
    return (straight + arcs) / PITCH_MM


def inch_rule(chainstay_mm: Number, chainring: Number, sprocket: Number) -> Number:
    """Return the length by the trade's rule in links: L = 2 C + F/4 + R/4 + 1 inches, two links an inch.

    >>> round(inch_rule(405.0, 50, 34), 2)
    107.78
    """
    return 2 * (2 * chainstay_mm / 25.4 + chainring / 4 + sprocket / 4 + 1)


def joinable(rule: float, exact: float) -> int:
    """Return the even number of links to cut: the rule rounded up, and a pair more if under one link is spare.

    >>> joinable(107.78, 106.023)
    108
    """
    links = 2 * math.ceil(round(rule, 6) / 2)
    return links if links - exact >= _LEAST_RESERVE else links + 2


def _chain_length(chainstay: Number, chainring: Number, sprocket: Number) -> Solution:
    _clear("chainstay", chainstay, chainring, sprocket)
    exact = open_length(chainstay, chainring, sprocket)
    rule = inch_rule(chainstay, chainring, sprocket)
    links = joinable(nominal(rule), nominal(exact))
    spare = links - nominal(exact)
    says = (
        f"Bare geometry needs {nominal(exact):.2f} links; the inch rule gives {nominal(rule) / 2:.2f} in. Cut "
        f"{links} links "
        f"({links / 2:g} in): {spare:.1f} links ({spare * PITCH_MM:.0f} mm) in reserve for the cage on the largest "
        "pair."
    )
    return Solution({"exact": exact, "links": float(links), "inch_rule": rule / 2, "reserve": links - exact}, says)


def _clear(field: str, chainstay: Number, chainring: Number, sprocket: Number) -> None:
    least = (pitch_diameter(chainring) + pitch_diameter(sprocket)) / 2
    if nominal(chainstay) <= nominal(least):
        raise BadInput(
            field, f"{nominal(chainstay):g} mm", f"more than {nominal(least):.0f} mm, or ring and sprocket overlap"
        )


def _wrap(chainstay: Number, chainring: Number, sprocket: Number) -> Solution:
    _clear("chainstay", chainstay, chainring, sprocket)
    angle = wrap_angle(chainstay, chainring, sprocket)
    engaged = sprocket * angle / (2 * math.pi)
    ring = chainring * (2 * math.pi - angle) / (2 * math.pi)
    says = (
        f"An open chain lies on {nominal(angle) * 180 / math.pi:.0f} degrees of the sprocket: "
        f"{nominal(engaged):.1f} of "
        f"{nominal(sprocket):.0f} teeth carry; on the ring {nominal(ring):.1f} of {nominal(chainring):.0f}."
    )
    few = ("Under 6 teeth carry: such a sprocket wears fast and skips first.",) if nominal(engaged) < 6 else ()
    return Solution({"teeth_engaged": engaged, "ring_engaged": ring}, says, few)


def _diameter(teeth: Number) -> Solution:
    diameter = pitch_diameter(teeth)
    return Solution(
        {"pitch_diameter": diameter},
        f"The chain's pins run on a circle of {nominal(diameter):.2f} mm; the tips stand a few mm over it.",
    )


def _slack(chainstay: Number, rings: str, sprockets: str, links: Number) -> Solution:
    pairs = [(ring, cog) for ring in teeth_list("rings", rings) for cog in teeth_list("sprockets", sprockets)]
    for ring, cog in pairs:
        _clear("chainstay", chainstay, ring, cog)
    slack = {pair: nominal(links - open_length(chainstay, *pair)) for pair in pairs}
    least, most = min(slack.values()), max(slack.values())
    rows = tuple(
        (
            f"{ring} x {cog}",
            f"{slack[ring, cog]:+.1f}",
            f"{cog * nominal(wrap_angle(chainstay, ring, cog)) / (2 * math.pi):.1f}",
        )
        for ring, cog in pairs
    )
    tight = min(slack, key=lambda pair: slack[pair])
    warnings = []
    if least < _LEAST_RESERVE:
        warnings.append(
            f"Too short on {tight[0]} x {tight[1]}: shifted there, it can tear off the derailleur. Do not ride so."
        )
    says = (
        f"The cage must take up {least:.1f} to {most:.1f} links of slack: a range of {most - least:.1f} links, "
        f"about {2 * (most - least):.0f} teeth of capacity."
    )
    return Solution(
        {"least": least, "most": most},
        says,
        tuple(warnings),
        table=Table(("pair", "slack, links", "sprocket teeth engaged"), rows),
    )


_STAY = Input(
    "chainstay", "mm", "centre of the crank axle to centre of the rear axle", least=200, most=1500, usual=(370, 560)
)
_RING = Input("chainring", "teeth", "the largest ring", least=16, most=80, usual=(20, 65))
_COG = Input("sprocket", "teeth", "the largest sprocket", least=9, most=60, usual=(11, 52))

WORKINGS = (
    Working(
        name="chain-length",
        title="How many links the chain needs, for the largest ring and sprocket",
        inputs=(_STAY, _RING, _COG),
        results=(
            Result("exact", "links", "open drive on pitch circles, nothing spare"),
            Result("links", "links", "even number to cut, with the usual reserve", whole=True),
            Result("inch_rule", "in", "2 C + F/4 + R/4 + 1"),
            Result("reserve", "links", "links over the bare geometry"),
        ),
        formula="exact: (2 sqrt(C^2 - (R - r)^2) + R (pi + 2 b) + r (pi - 2 b)) / p, sin b = (R - r) / C; "
        "links: 2 C + F/4 + R/4 + 1 inches, in half-inch links, rounded up to even; a pair more if under one link "
        "is spare",
        source="Tangents of two circles (Shigley eq. for L/p differs by under 0.1 link); inch rule: common "
        "practice, from memory",
        solve=_chain_length,
        assumptions=(
            (
                "Rule for links: the trade's inch rule, whose 1 inch (two links) is the reserve, rounded up to an even "
                "number."
            ),
            (
                "Routed over the largest pair, not through the derailleur. Full suspension: measure the chainstay "
                "where "
                "it is longest."
            ),
        ),
        cautions=(
            (
                "A chain too short can tear off the derailleur and lock the wheel: try the largest pair by hand before "
                "riding."
            ),
        ),
        drawing=chain_picture,
    ),
    Working(
        name="chain-wrap",
        title="How many sprocket teeth carry the chain",
        inputs=(
            _STAY,
            Input("chainring", "teeth", "ring in use", least=16, most=80),
            Input("sprocket", "teeth", "sprocket in use", least=9, most=60),
        ),
        results=(Result("teeth_engaged", "teeth", "on the sprocket"), Result("ring_engaged", "teeth", "on the ring")),
        formula="n (pi - 2 b) / (2 pi), sin b = (R - r) / C",
        source="Geometry of an open drive; pitch circles by ISO 606 annex A",
        solve=_wrap,
        assumptions=("Straight to the sprocket, as without derailleur; its guide pulley adds some wrap.",),
    ),
    Working(
        name="sprocket-diameter",
        title="The pitch diameter of a sprocket or ring",
        inputs=(Input("teeth", "teeth", "teeth", least=5, most=130, usual=(9, 70)),),
        results=(Result("pitch_diameter", "mm", "circle through the pins"),),
        formula="D = p / sin(180 deg / N), p = 12.7 mm",
        source="ISO 606 annex A; engineer's handbook, roller chains",
        solve=_diameter,
    ),
    Working(
        name="chain-slack",
        title="Wrap and slack on every pair, for a chain of given length",
        inputs=(
            _STAY,
            Input("rings", "text", "teeth of the rings, as in 50/34"),
            Input("sprockets", "text", "teeth of the sprockets, as in 11-13-15-17-19-21-23-25"),
            Input("links", "links", "links of the chain, joint included", least=60, most=250),
        ),
        results=(
            Result("least", "links", "slack on the tightest pair"),
            Result("most", "links", "slack on the slackest pair"),
        ),
        formula="slack = links - exact length of the pair; two teeth of capacity a link",
        source="Geometry of an open drive",
        solve=_slack,
    ),
)
