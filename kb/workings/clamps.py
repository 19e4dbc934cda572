"""Clamps on bars, posts and steerers: fit of the bore, moment held by friction, moment of a drop, and the margin."""

import math

from kb.workings.base import CALIPER_MM, TEXT, Input, Result, Solution, Table, Verdict, Working
from kb.workings.bolts import NUT_FACTOR, preload_n
from kb.workings.number import Number, nominal, normal_share, u_of
from kb.workings.pictures import clamp_picture

__all__ = ["GRAVITY", "WORKINGS", "drop_force_n", "hold_line_nm", "hold_uniform_nm"]

GRAVITY = 9.80665
_MOST_CLEARANCE_MM = {"bar": 0.15, "post": 0.2, "steerer": 0.15}
"""Clearance at which the smaller part counts as undersize; common workshop practice, no source."""
_FRICTIONS = ((0.10, "greased"), (0.15, "usual"), (0.20, "clean and dry, or paste"))
"""Source: textbook design values for clamped light metal; handbook values for clean dry metal are not for design."""


def hold_line_nm(preload_n: Number, bolts: Number, diameter_mm: Number, friction: Number) -> Number:
    """Return the moment a two-piece clamp holds if it bears on two lines only: mu N d, N = all bolts together.

    The lower bound of all pressure patterns.

    >>> round(hold_line_nm(5000.0, 4, 31.8, 0.15), 1)
    95.4
    """
    return friction * preload_n * bolts * diameter_mm / 1000


def hold_uniform_nm(preload_n: Number, bolts: Number, diameter_mm: Number, friction: Number) -> Number:
    """Return the moment if the pressure is even all round, pi/2 mu N d: the upper bound.

    >>> round(hold_uniform_nm(5000.0, 4, 31.8, 0.15), 1)
    149.9
    """
    return hold_line_nm(preload_n, bolts, diameter_mm, friction) * (math.pi / 2)


def drop_force_n(mass_kg: Number, drop_mm: Number, stop_mm: Number) -> Number:
    """Return the mean force that stops a mass within `stop_mm` after a drop.

    Source: energy, m g (h + s) = F s; the way of stopping is fallen too.

    >>> round(drop_force_n(80.0, 500.0, 100.0), 1)
    4707.2
    """
    return mass_kg * GRAVITY * (drop_mm / stop_mm + 1)


def _hold(preload: Number, bolts: Number, diameter: Number, friction: Number, slits: str) -> Solution:
    sides = 2.0 if slits == "one" else 1.0
    low = hold_line_nm(preload, bolts, diameter, friction) * sides
    high = hold_uniform_nm(preload, bolts, diameter, friction) * sides
    says = (
        f"The clamp holds at least {nominal(low):.1f} N·m and at best {nominal(high):.1f} N·m, depending on how "
        "evenly it bears; "
        "count on the lower. A bar and stem are tested with 60 N·m (80 on mountain bikes)."
    )
    return Solution({"moment": low, "moment_at_best": high}, says)


def _drop(mass: Number, drop: Number, stop: Number, reach: Number) -> Solution:
    force = drop_force_n(mass, drop, stop)
    moment = force * reach / 1000
    says = (
        f"Stopping {nominal(mass):g} kg within {nominal(stop):g} mm takes {nominal(force):.0f} N on the mean, "
        f"{nominal(force) / (nominal(mass) * GRAVITY):.1f} times the weight; at {nominal(reach):g} mm that turns "
        f"the clamp with {nominal(moment):.0f} N·m."
    )
    return Solution({"force": force, "moment": moment}, says)


def _clamp_fit(bore: Number, diameter: Number, kind: str) -> Solution:
    clearance = bore - diameter
    limit = _MOST_CLEARANCE_MM[kind]
    mm, u = nominal(clearance), u_of(clearance)
    undersize = normal_share(mm - limit, u) * 100
    if mm < -2 * u and mm < -0.05:
        verdict, says = (
            Verdict.NO,
            f"The part is {-mm:.2f} mm thicker than the bore: it does not go in, and must not be forced.",
        )
    elif undersize < 5:
        verdict, says = Verdict.YES, f"{mm:.2f} mm of clearance: the sizes go together."
    elif undersize > 95:
        verdict = Verdict.NO
        says = (
            f"{mm:.2f} mm of clearance: the part is undersize. The clamp closes on its edges or on itself; more "
            "torque bends the clamp, not the grip."
        )
    else:
        verdict = Verdict.MEASURE
        says = (
            f"{mm:.2f} mm of clearance is too near {limit:g} mm for this reading: measure again, twice at right "
            "angles, before clamping."
        )
    return Solution({"clearance": clearance, "undersize_probability": undersize, "fits": verdict}, says)


def _margin(
    torque: Number,
    bolts: Number,
    bolt_diameter: Number,
    diameter: Number,
    mass: Number,
    drop: Number,
    stop: Number,
    reach: Number,
) -> Solution:
    pull = preload_n(torque, bolt_diameter, NUT_FACTOR)
    moment = drop_force_n(mass, drop, stop) * reach / 1000
    held = {friction: hold_line_nm(pull, bolts, diameter, friction) for friction, _ in _FRICTIONS}
    margin = held[0.15] / moment
    rows = tuple(
        (name, f"{friction:g}", f"{nominal(held[friction]):.0f}", f"{nominal(held[friction] / moment):.2f}")
        for friction, name in _FRICTIONS
    )
    if nominal(held[0.10] / moment) >= 1.5:
        says = "It holds even greased, with half as much again to spare."
    elif nominal(margin) >= 1.5:
        says = "It holds with the usual friction; clean the clamp, a greased one has little to spare."
    else:
        says = (
            "It slips in such a landing unless luck helps. More torque is no cure: the grip grows only in "
            "proportion, while the bolt and the "
            "bar near their limits. Right diameters, clean faces and assembly paste do more."
        )
    table = Table(("faces", "friction", "holds, N·m", "times the moment"), rows)
    return Solution(
        {"moment": moment, "held": held[0.15], "margin": margin},
        f"The drop turns the clamp with {nominal(moment):.0f} N·m. {says}",
        table=table,
    )


_CARBON = "Carbon bars, posts and steerers: never past the printed torque, and no clamp edge that digs in."
_LANDING = (
    Input("mass", "kg", "carried by the part in the landing", least=1, most=300, usual=(20, 150)),
    Input("drop", "mm", "height fallen", least=0, most=10000, usual=(0, 3000)),
    Input("stop", "mm", "way in which it is stopped: tyres, suspension, arms", least=1, most=2000, usual=(20, 600)),
    Input(
        "reach",
        "mm",
        "from the clamp's axis to the hands or the saddle, square to the force",
        least=1,
        most=1000,
        usual=(30, 450),
    ),
)

WORKINGS = (
    Working(
        name="clamp-hold",
        title="The moment a split clamp holds by friction",
        inputs=(
            Input("preload", "N", "pull of each bolt", least=1, most=100000, usual=(500, 20000)),
            Input("bolts", "count", "how many", least=1, most=8),
            Input("diameter", "mm", "of the bar, post or steerer", least=5, most=80, usual=(19, 45)),
            Input(
                "friction", "1", "0.10 greased, 0.15 usual, 0.20 dry or paste", least=0.01, most=1, usual=(0.08, 0.25)
            ),
            Input(
                "slits",
                TEXT,
                "two: a faceplate with bolts on both sides; one: a ring with a single slit",
                choices=("two", "one"),
                also={"2": "two", "1": "one"},
                default="two",
            ),
        ),
        results=(
            Result("moment", "N*m", "held for certain (pressure on two lines)"),
            Result("moment_at_best", "N*m", "held with even pressure all round"),
        ),
        formula="two pieces: mu N d (two lines) to pi/2 mu N d (even pressure), N = bolts x preload; one slit: "
        "twice both, the band pulls on both sides",
        source="Shaft-hub clamp, textbook (K = pi/2 and 1); friction 0.10 to 0.20: textbook",
        solve=_hold,
        assumptions=(
            (
                "The model: dry friction, rigid halves, bore and bar of one size. A bar that is undersize, oval or "
                "painted holds less than the figure."
            ),
        ),
        cautions=(_CARBON, "A bar that slips under the hands throws the rider: test with body weight before riding."),
        drawing=clamp_picture,
    ),
    Working(
        name="drop-moment",
        title="Force and moment of a landing",
        inputs=_LANDING,
        results=(Result("force", "N", "mean while stopping"), Result("moment", "N*m", "about the clamp")),
        formula="F = m g (drop / stop + 1); M = F x reach",
        source="Energy balance, textbook; g = 9.80665",
        solve=_drop,
        assumptions=("Mean force; the peak of a spring-like landing is about twice as high.",),
    ),
    Working(
        name="clamp-fit",
        title="Whether a bar, post or steerer fits its clamp",
        inputs=(
            Input("bore", "mm", "of the clamp or tube", least=10, most=80, usual=(19, 50), tool_u=CALIPER_MM),
            Input("diameter", "mm", "of the part in it", least=10, most=80, usual=(19, 50), tool_u=CALIPER_MM),
            Input("kind", TEXT, "the part", choices=tuple(_MOST_CLEARANCE_MM), default="bar"),
        ),
        results=(
            Result("clearance", "mm", "bore less diameter"),
            Result("undersize_probability", "%", "that the true clearance is over the limit"),
            Result("fits", TEXT, "whether to clamp it"),
        ),
        formula="clearance = bore - diameter; P = Phi((clearance - limit) / u), limit 0.15 mm for bars and "
        "steerers, 0.2 mm for posts",
        source="Limits: common workshop practice; normal distribution of the reading: GUM, JCGM 106",
        solve=_clamp_fit,
        cautions=(
            _CARBON,
            (
                "Do not make up a difference with strips of can or tape. A bar smaller than its stem cannot be clamped "
                "safely: do not ride."
            ),
        ),
    ),
    Working(
        name="clamp-margin",
        title="A clamp against a landing: why more torque is no cure",
        inputs=(
            Input("torque", "N*m", "on each bolt", least=0.5, most=60, usual=(2, 20)),
            Input("bolts", "count", "how many", least=1, most=8),
            Input("bolt_diameter", "mm", "thread", least=3, most=12),
            Input("diameter", "mm", "of the bar", least=10, most=80),
            *_LANDING,
        ),
        results=(
            Result("moment", "N*m", "of the landing"),
            Result("held", "N*m", "for certain, with friction 0.15"),
            Result("margin", "1", "held over moment"),
        ),
        formula="held = mu n (T / (K d_bolt)) d, K = 0.2; M = m g (drop / stop + 1) x reach",
        source="As for clamp-hold, bolt-preload and drop-moment; margin of 1.5: textbook",
        solve=_margin,
        assumptions=("Faceplate with bolts on both sides, two-line contact.",),
        cautions=(_CARBON,),
    ),
)
