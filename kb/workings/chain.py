"""The chain's wear: elongation, what is left of its life, its joint, and whether its width suits the sprockets."""

from kb.workings.base import TEXT, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal, normal_share, u_of

__all__ = ["PITCH_MM", "WORKINGS", "elongation", "life_left"]

PITCH_MM = 12.7
"""Half an inch, all current bicycle chain. Source: ISO 9633."""
_WIDTHS_MM = {5: (7.1, 7.9), 6: (7.1, 7.9), 7: (7.0, 7.4), 8: (7.0, 7.4), 9: (6.5, 6.7), 10: (5.8, 6.2),
              11: (5.4, 5.7), 12: (5.2, 5.4), 13: (4.8, 5.1)}  # fmt: skip
"""Width over the pins by number of sprockets; trade figures, from memory."""


def elongation(length_mm: Number, links: Number) -> Number:
    """Return the elongation in % of `links` pitches that measure `length_mm` from pin to pin.

    Source: w = L / (n p) - 1.

    >>> round(elongation(306.3875, 24), 3)
    0.521
    """
    return (length_mm / (links * PITCH_MM) - 1) * 100


def life_left(distance: Number, elongation_percent: Number, limit_percent: Number) -> Number:
    """Return the distance left until the limit, in the unit of `distance`; negative when the limit is passed.

    Source: wear in proportion to distance, common practice.

    >>> life_left(2000.0, 0.25, 0.5)
    2000.0
    """
    return distance * (limit_percent / elongation_percent - 1)


def _elongation(length: Number, links: Number) -> Solution:
    w = elongation(length, links)
    w_now, u = nominal(w), u_of(w)
    steps = [
        f"{limit:g} % ({who})"
        for limit, who in ((0.5, "11 speeds and more"), (0.75, "up to 10 speeds"), (1.0, "hub gears, single sprocket"))
        if w_now >= limit
    ]
    says = f"The chain has grown by {w_now:.2f} %. " + (
        f"That is over {steps[-1]}." if steps else "That is under every usual limit."
    )
    warnings = []
    near = [limit for limit in (0.5, 0.75, 1.0) if u and abs(w_now - limit) < 2 * u]
    if near:
        over = normal_share(w_now - near[0], u)
        warnings.append(
            f"Within the uncertainty of the {near[0]:g} % limit: over it with {over:.0%} probability. Measure more "
            "links."
        )
    if w_now < -0.3:
        warnings.append("Shorter than a new chain can be: count the links again and measure from pin to pin.")
    if w_now > 3:
        warnings.append("More than a chain lives to show: count the links again.")
    return Solution({"elongation": w}, says, tuple(warnings))


def _life(distance: Number, elongation: Number, limit: Number) -> Solution:
    left = life_left(distance, elongation, limit)
    km = nominal(left)
    says = (
        f"At the same wear the chain has about {km:.0f} km left before {nominal(limit):g} %."
        if km > 0
        else f"The limit of {nominal(limit):g} % is passed: replace the chain, and look at the sprockets."
    )
    early = (
        ("Under 0.1 % the figure is mostly reading error; measure again later.",) if nominal(elongation) < 0.1 else ()
    )
    return Solution({"left": left}, says, early)


def _joint(joint_width: Number, link_width: Number) -> Solution:
    proud = joint_width - link_width
    mm = nominal(proud)
    good = abs(mm) <= 0.2
    says = f"The joint stands {mm:+.2f} mm against its neighbours: " + (
        "within 0.2 mm, so the pin is home."
        if good
        else "over 0.2 mm, so the pin is not home and the plates can come off or bind."
    )
    return Solution({"proud": proud, "fits": Verdict.YES if good else Verdict.NO}, says)


def _chain_fit(width: Number, speeds: Number) -> Solution:
    low, high = _WIDTHS_MM[round(nominal(speeds))]
    mm = nominal(width)
    band = f"{low:g} to {high:g} mm over the pins is usual for {nominal(speeds):g} sprockets"
    if low - 0.1 <= mm <= high + 0.1:
        return Solution({"fits": Verdict.YES}, f"{mm:g} mm suits: {band}.")
    if mm > high:
        return Solution({"fits": Verdict.NO}, f"{mm:g} mm is too wide: {band}. It would rub the next sprocket.")
    return Solution(
        {"fits": Verdict.MEASURE},
        f"{mm:g} mm is narrower than usual ({band}). One step narrower often runs, two may fall between; "
        "read the speeds marked on chain and cassette.",
    )


WORKINGS = (
    Working(
        name="chain-elongation",
        title="How far a chain has worn, from a length over counted links",
        inputs=(
            Input("length", "mm", "from pin to pin, the chain pulled straight", least=20, most=2600),
            Input(
                "links",
                "count",
                "pitches of 12.7 mm between those pins (24 for a foot rule)",
                least=2,
                most=200,
                usual=(10, 130),
            ),
        ),
        results=(Result("elongation", "%", "growth of the pitch"),),
        formula="w = L / (n p) - 1, p = 12.7 mm",
        source="ISO 9633 (pitch); limits 0.5, 0.75 and 1 %: common practice, from memory",
        solve=_elongation,
        assumptions=("Links are counted from pin to pin, each 12.7 mm when new.",),
        cautions=("Many drop-in gauges press the rollers apart too and read high; a ruler over 24 links does not.",),
    ),
    Working(
        name="chain-life",
        title="What is left of a chain's life",
        inputs=(
            Input("distance", "km", "ridden on this chain", least=1, most=100000),
            Input("elongation", "%", "wear now", least=0.01, most=5, usual=(0.1, 1)),
            Input("limit", "%", "wear at which it is replaced", least=0.1, most=2, default=0.5),
        ),
        results=(Result("left", "km", "distance to the limit; negative when passed"),),
        formula="left = distance x (limit / wear - 1)",
        source="Wear in proportion to distance: common practice, no source",
        solve=_life,
        assumptions=("The chain goes on wearing at the mean rate so far: same rider, weather and oiling.",),
    ),
    Working(
        name="chain-joint",
        title="Whether the pin of a joined link is home",
        inputs=(
            Input("joint_width", "mm", "over the pin of the joint", least=4, most=12),
            Input("link_width", "mm", "over the pins of the links beside it", least=4, most=12),
        ),
        results=(Result("proud", "mm", "joint less neighbour"), Result("fits", TEXT, "whether the pin is home")),
        formula="proud = width at the joint - width beside it; limit 0.2 mm either way",
        source="Common workshop practice, from memory (low)",
        solve=_joint,
        cautions=(
            (
                "A joint that binds, or a pin pressed out once, is replaced: a chain that parts under load throws the "
                "rider."
            ),
        ),
    ),
    Working(
        name="chain-fit",
        title="Whether a chain's width suits the number of sprockets",
        inputs=(
            Input("width", "mm", "over the pins, by calliper", least=3, most=12),
            Input("speeds", "count", "sprockets at the back, 5 to 13", least=5, most=13),
        ),
        results=(Result("fits", TEXT, "whether it runs"),),
        formula="width over the pins within 0.1 mm of the usual range for that number of sprockets",
        source="Trade widths, from memory (12 and 13 low)",
        solve=_chain_fit,
    ),
)
