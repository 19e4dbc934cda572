"""Shifting in step: cable pull against sprocket pitch, and wheels whose sprockets sit elsewhere."""

from kb.workings.base import TEXT, Input, Result, Solution, Table, Verdict, Working
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS", "barrel_turns", "move_per_click"]

_GOOD_MM, _POOR_MM = 0.5, 1.0
"""Error at a sprocket that a floating guide pulley hides, and one that it does not; common practice, no source."""


def move_per_click(pull_mm: Number, actuation: Number) -> Number:
    """Return how far the guide pulley moves for a click. Source: kinematics, move = pull x actuation.

    >>> round(move_per_click(2.3, 1.7), 2)
    3.91
    """
    return pull_mm * actuation


def barrel_turns(offset_mm: Number, actuation: Number, barrel_pitch_mm: Number) -> Number:
    """Return the turns of the barrel adjuster that move the pulley by `offset_mm`.

    >>> round(barrel_turns(0.34, 1.7, 0.8), 2)
    0.25
    """
    return offset_mm / (actuation * barrel_pitch_mm)


def _cable_index(pull: Number, actuation: Number, sprocket_pitch: Number, sprockets: Number) -> Solution:
    move = move_per_click(pull, actuation)
    error = move - sprocket_pitch
    count = round(nominal(sprockets))
    worst = (error if nominal(error) > 0 else -error) * (count - 1)
    centred = nominal(worst) / 2
    rows = tuple(
        (str(number + 1), f"{nominal(error) * number:+.2f}", f"{nominal(error) * (number - (count - 1) / 2):+.2f}")
        for number in range(count)
    )
    if centred <= _GOOD_MM:
        says = (
            "It indexes: with the cable set in the middle of the cassette no sprocket is missed by more than "
            "half a millimetre."
        )
    elif centred <= _POOR_MM:
        says = "Doubtful: it can be set for the middle, and will be slow or noisy on the outer sprockets."
    else:
        says = "It does not index: set right on one sprocket, it is wrong on others by more than a derailleur forgives."
    says += f" A click moves {nominal(move):.2f} mm where the sprockets stand {nominal(sprocket_pitch):.2f} mm apart."
    verdict = Verdict.YES if centred <= _GOOD_MM else Verdict.MEASURE if centred <= _POOR_MM else Verdict.NO
    table = Table(("sprocket", "error, set on the first, mm", "error, set in the middle, mm"), rows)
    values = {"move_per_click": move, "worst_error": worst, "centred_error": worst / 2, "indexes": verdict}
    return Solution(values, says, table=table)


def _offset(offset: Number, sprocket_pitch: Number, actuation: Number, barrel_pitch: Number) -> Solution:
    turns = barrel_turns(offset, actuation, barrel_pitch)
    share = offset / sprocket_pitch * 100
    says = (
        f"The sprockets sit {abs(nominal(offset)):.2f} mm off, {abs(nominal(share)):.0f} % of a pitch: "
        f"{abs(nominal(turns)):.2f} turns of the barrel adjuster ({abs(nominal(turns)) * 4:.0f} quarter turns) "
        "bring the pulley back."
    )
    warnings = (
        ("More than half a pitch: the lever would sit on the wrong click. Look at the spacers first.",)
        if abs(nominal(share)) > 50
        else ()
    )
    many = (
        ("Over 3 turns: reset the cable at its anchor, the barrel may run out of thread.",)
        if abs(nominal(turns)) > 3
        else ()
    )
    return Solution({"share_of_pitch": share, "barrel_turns": turns}, says, warnings + many)


def _wheel_swap(
    first: Number, second: Number, sprocket_pitch: Number, actuation: Number, barrel_pitch: Number
) -> Solution:
    offset = second - first
    mm = nominal(offset)
    turns = barrel_turns(offset, actuation, barrel_pitch)
    where = "further in" if mm > 0 else "further out"
    shim = round(abs(mm), 1)
    wheel = "second" if mm > 0 else "first"
    if shim < 0.1:
        helps, says = "not needed", f"The wheels agree within {abs(mm):.2f} mm: swap them as they are."
    elif shim <= 1.0:
        helps = "yes"
        says = (
            f"On the second wheel the sprockets sit {abs(mm):.2f} mm {where}. A {shim:.1f} mm shim behind the "
            f"cassette of the {wheel} wheel brings them in line."
        )
    else:
        helps = "no"
        says = (
            f"On the second wheel the sprockets sit {abs(mm):.2f} mm {where}: more than a shim of 1 mm cures. "
            "Set the cable at each swap, and the limit screws with it."
        )
    says += f" Without a shim, turn the barrel {abs(nominal(turns)):.2f} turns at each swap."
    values: dict[str, Number | str] = {
        "offset": offset, "share_of_pitch": offset / sprocket_pitch * 100, "barrel_turns": turns, "shim_helps": helps,
    }  # fmt: skip
    if helps == "yes":
        values["shim"] = shim
    return Solution(values, says)


_PITCH = Input("sprocket_pitch", "mm", "sprocket to sprocket, centre to centre", least=2, most=8, usual=(3.3, 5.6))
_ACTUATION = Input(
    "actuation", "1", "pulley travel over cable travel of the derailleur", least=0.5, most=3, usual=(1.0, 2.0)
)
_BARREL = Input("barrel_pitch", "mm", "cable pulled by a turn of the barrel (M5 x 0.8)", least=0.3, most=2, default=0.8)
_LIMITS = ("Limit screws are set anew after a wheel swap: a chain over the largest sprocket locks the wheel.",)

WORKINGS = (
    Working(
        name="cable-index",
        title="Whether a shifter indexes a cassette, with the error on each sprocket",
        inputs=(
            Input("pull", "mm", "cable a click of the shifter pulls", least=0.5, most=8, usual=(2, 4.5)),
            _ACTUATION,
            _PITCH,
            Input("sprockets", "count", "how many", least=2, most=14),
        ),
        results=(
            Result("move_per_click", "mm", "pulley travel a click"),
            Result("worst_error", "mm", "at the far sprocket, set right on the first"),
            Result("centred_error", "mm", "at the outer sprockets, set right in the middle"),
            Result("indexes", TEXT, "whether it works"),
        ),
        formula="move = pull x actuation; error grows by |move - pitch| a sprocket: worst (n - 1) |move - pitch|",
        source="Kinematics; 0.5 and 1 mm as what a floating pulley hides: common practice, no source",
        solve=_cable_index,
        assumptions=(
            (
                "Every click pulls the same and the ratio is constant; real shifters differ by a few per cent along "
                "the "
                "range."
            ),
        ),
    ),
    Working(
        name="sprocket-offset",
        title="Barrel turns for sprockets that sit off by some millimetres",
        inputs=(
            Input(
                "offset", "mm", "how far the sprockets sit off; minus for outwards", least=-10, most=10, usual=(-3, 3)
            ),
            _PITCH,
            _ACTUATION,
            _BARREL,
        ),
        results=(Result("share_of_pitch", "%", "of a sprocket pitch"), Result("barrel_turns", "turns", "to correct")),
        formula="share = offset / pitch; turns = offset / (actuation x barrel pitch)",
        source="Kinematics; M5 x 0.8 barrel: trade, from memory",
        solve=_offset,
        cautions=_LIMITS,
    ),
    Working(
        name="wheel-swap",
        title="Two wheels on one bike: offset of the sprockets, barrel turns, and whether a shim helps",
        inputs=(
            Input(
                "first",
                "mm",
                "wheel the bike is set for: drive-side locknut face to face of the smallest sprocket",
                least=0,
                most=25,
            ),
            Input("second", "mm", "the other wheel, measured alike", least=0, most=25),
            _PITCH,
            _ACTUATION,
            _BARREL,
        ),
        results=(
            Result("offset", "mm", "second less first; plus means further in"),
            Result("share_of_pitch", "%", "of a sprocket pitch"),
            Result("barrel_turns", "turns", "at each swap, without a shim"),
            Result("shim_helps", TEXT, "yes, no or not needed"),
            Result("shim", "mm", "to put behind one cassette", optional=True),
        ),
        formula="offset = second - first; turns = offset / (actuation x barrel pitch); a shim of 0.1 to 1 mm moves "
        "a cassette outwards",
        source="Kinematics; shims of 0.1 to 1 mm: trade, from memory",
        solve=_wheel_swap,
        cautions=(
            *_LIMITS,
            "With a shim the lockring must still grip by at least three full turns.",
            "Disc bikes: check that the rotors line up too.",
        ),
    ),
)
