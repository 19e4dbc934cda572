"""Gears: ratio, development, every gear of a bike at once, and whether a derailleur can take up the slack."""

import math
from itertools import pairwise

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Table, Verdict, Working
from kb.workings.listing import teeth_list
from kb.workings.number import Number, nominal
from kb.workings.pictures import gear_picture

__all__ = ["WORKINGS", "capacity", "development_m", "gear_inches", "speed_kmh"]


def development_m(chainring: Number, sprocket: Number, circumference_mm: Number) -> Number:
    """Return the metres ridden a turn of the cranks.

    >>> round(development_m(50, 16, 2105.0), 3)
    6.578
    """
    return circumference_mm / 1000 * chainring / sprocket


def gear_inches(development: Number) -> Number:
    """Return the diameter in inches of the wheel that would go as far directly. Source: in = m / (pi 0.0254).

    >>> round(gear_inches(6.67), 1)
    83.6
    """
    return development / (math.pi * 0.0254)


def speed_kmh(development: Number, cadence: Number) -> Number:
    """Return the speed at `cadence` turns a minute.

    >>> round(speed_kmh(6.578125, 90), 2)
    35.52
    """
    return cadence * development * 0.06


def capacity(largest_ring: float, smallest_ring: float, largest_sprocket: float, smallest_sprocket: float) -> float:
    """Return the teeth of slack that the rear derailleur has to take up.

    >>> capacity(50, 34, 34, 11)
    39
    """
    return (largest_ring - smallest_ring) + (largest_sprocket - smallest_sprocket)


def _gear(chainring: Number, sprocket: Number, circumference: Number, cadence: Number) -> Solution:
    metres = development_m(chainring, sprocket, circumference)
    inches, speed = gear_inches(metres), speed_kmh(metres, cadence)
    says = (
        f"One turn of the cranks carries the bike {nominal(metres):.2f} m; at {nominal(cadence):.0f} turns a minute "
        f"that is {nominal(speed):.1f} km/h."
    )
    return Solution({"ratio": chainring / sprocket, "development": metres, "gear_inches": inches, "speed": speed}, says)


def _gear_table(rings: str, sprockets: str, circumference: Number) -> Solution:
    ring_teeth, cogs = teeth_list("rings", rings), sorted(teeth_list("sprockets", sprockets))
    round_mm = nominal(circumference)
    every = sorted((nominal(development_m(ring, cog, round_mm)), ring, cog) for ring in ring_teeth for cog in cogs)
    steps = [(high[0] / low[0] - 1) * 100 for low, high in pairwise(every)]
    cog_steps = [(b / a - 1) * 100 for a, b in pairwise(cogs)]
    alike = sum(1 for step in steps if step < 5)
    rows = tuple(
        (f"{ring} x {cog}", f"{ring / cog:.3f}", f"{metres:.2f}", f"{metres / (math.pi * 0.0254):.1f}")
        for metres, ring, cog in every
    )
    says = (
        f"{len(every)} gears from {every[0][0]:.2f} to {every[-1][0]:.2f} m, {alike} of them within 5 % of the one "
        "before; "
        f"the largest step between neighbouring sprockets is {max(cog_steps, default=0):.0f} %."
    )
    values = {
        "range": every[-1][0] / every[0][0] * 100,
        "largest_step": max(cog_steps, default=0.0),
        "alike": float(alike),
    }
    wide = ("Steps over 20 % are felt as a break in the cadence.",) if max(cog_steps, default=0) > 20 else ()
    return Solution(values, says, wide, table=Table(("gear", "ratio", "m a turn", "inches"), rows))


def _gear_plot(rings: str, sprockets: str, circumference: float) -> str:
    cogs = teeth_list("sprockets", sprockets)
    return gear_picture(
        [
            (str(ring), [nominal(development_m(ring, cog, circumference)) for cog in cogs])
            for ring in teeth_list("rings", rings)
        ]
    )


def _capacity(
    largest_ring: Number, smallest_ring: Number, largest_sprocket: Number, smallest_sprocket: Number
) -> Solution:
    teeth = _needed(largest_ring, smallest_ring, largest_sprocket, smallest_sprocket)
    says = (
        f"The cage has to take up {teeth:.0f} teeth; its marked capacity must be at least that, and its largest "
        f"sprocket {nominal(largest_sprocket):.0f}."
    )
    warnings = ("More than most long cages take (about 41 to 47 teeth).",) if teeth > 41 else ()
    return Solution({"capacity": teeth}, says, warnings)


def _needed(largest_ring: Number, smallest_ring: Number, largest_sprocket: Number, smallest_sprocket: Number) -> float:
    for field, small, large in (
        ("smallest_ring", smallest_ring, largest_ring),
        ("smallest_sprocket", smallest_sprocket, largest_sprocket),
    ):
        if nominal(small) > nominal(large):
            raise BadInput(field, f"{nominal(small):g}", f"no more than the largest, {nominal(large):g} teeth")
    return capacity(
        nominal(largest_ring), nominal(smallest_ring), nominal(largest_sprocket), nominal(smallest_sprocket)
    )


def _derailleur_fit(
    largest_ring: Number,
    smallest_ring: Number,
    largest_sprocket: Number,
    smallest_sprocket: Number,
    rated_capacity: Number,
    rated_sprocket: Number,
) -> Solution:
    needed = _needed(largest_ring, smallest_ring, largest_sprocket, smallest_sprocket)
    spare = nominal(rated_capacity) - needed
    over = nominal(largest_sprocket) - nominal(rated_sprocket)
    if over <= 0 and spare >= 0:
        verdict, says = (
            Verdict.YES,
            (
                f"It takes both: {spare:.0f} teeth of capacity spare, largest sprocket within its "
                f"{nominal(rated_sprocket):.0f}."
            ),
        )
    elif over > 0 and over <= 2 and spare >= 0:
        verdict = Verdict.MEASURE
        says = (
            f"The sprocket is {over:.0f} teeth over the marked limit: with the screw home it may clear, but the "
            "maker does not say so; look for the guide pulley touching."
        )
    elif over > 2:
        verdict, says = (
            Verdict.NO,
            f"The sprocket is {over:.0f} teeth over the limit: the guide pulley would run on it.",
        )
    else:
        verdict = Verdict.NO
        says = (
            f"Capacity is short by {-spare:.0f} teeth: a chain long enough for the largest pair hangs slack on "
            "the smallest, one that does not hang can tear it off."
        )
    return Solution({"fits": verdict, "spare": spare}, says)


_SET = (
    Input("largest_ring", "teeth", "the largest ring", least=16, most=80),
    Input("smallest_ring", "teeth", "the smallest ring (the same with one ring)", least=16, most=80),
    Input("largest_sprocket", "teeth", "the largest sprocket", least=9, most=60),
    Input("smallest_sprocket", "teeth", "the smallest sprocket", least=9, most=60),
)
_ROUND = Input(
    "circumference",
    "mm",
    "of the tyre as it rolls; 28-622 is about this",
    least=800,
    most=2600,
    usual=(1200, 2400),
    default=2105,
)

WORKINGS = (
    Working(
        name="gear",
        title="Ratio, development, gear inches and speed of one gear",
        inputs=(
            Input("chainring", "teeth", "ring in use", least=16, most=80, usual=(20, 65)),
            Input("sprocket", "teeth", "sprocket in use", least=9, most=60),
            _ROUND,
            Input("cadence", "1/min", "turns of the cranks a minute", least=1, most=250, usual=(40, 130), default=90),
        ),
        results=(
            Result("ratio", "1", "ring over sprocket"),
            Result("development", "m", "a turn of the cranks"),
            Result("gear_inches", "in", "wheel that would go as far"),
            Result("speed", "km/h", "at that cadence"),
        ),
        formula="ratio F/R; development = circumference x F/R; inches = development / (pi 0.0254); speed = cadence "
        "x development x 0.06",
        source="Textbook; development and gear inches tied by 6.67 m = 83.6 in of 16 CFR 1512.5",
        solve=_gear,
        assumptions=("Circumference as rolled under load, about 1 % under the one worked out from the ISO size.",),
    ),
    Working(
        name="gear-table",
        title="Every gear of a bike: steps, overlaps, range, with a plot",
        inputs=(
            Input("rings", TEXT, "teeth of the rings, as in 50/34"),
            Input("sprockets", TEXT, "teeth of the sprockets, as in 11-12-13-15-17-19-21-24-27-30-34"),
            _ROUND,
        ),
        results=(
            Result("range", "%", "highest over lowest"),
            Result("largest_step", "%", "between neighbouring sprockets"),
            Result("alike", "count", "gears within 5 % of the one before", whole=True),
        ),
        formula="as for gear, for every pair, in order",
        source="Textbook; 5 % as a step one hardly feels: common practice",
        solve=_gear_table,
        drawing=_gear_plot,
    ),
    Working(
        name="derailleur-capacity",
        title="The teeth of slack a rear derailleur has to take up",
        inputs=_SET,
        results=(Result("capacity", "teeth", "needed", whole=True),),
        formula="(largest ring - smallest ring) + (largest sprocket - smallest sprocket)",
        source="Trade rule, from memory",
        solve=_capacity,
    ),
    Working(
        name="derailleur-fit",
        title="Whether a derailleur takes these rings and sprockets",
        inputs=(
            *_SET,
            Input("rated_capacity", "teeth", "capacity of the derailleur, from its sheet", least=10, most=60),
            Input("rated_sprocket", "teeth", "largest sprocket of the derailleur, from its sheet", least=20, most=60),
        ),
        results=(Result("fits", TEXT, "whether it works"), Result("spare", "teeth", "capacity left over", whole=True)),
        formula="capacity needed against rated; largest sprocket against rated",
        source="Trade rule, from memory",
        solve=_derailleur_fit,
        cautions=("A chain that goes tight on the largest pair can tear the derailleur into the wheel.",),
    ),
)
