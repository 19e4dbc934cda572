"""Fit questions of the frame and fork: seatpost, steerer, headset, and the depth a post is in."""

from dataclasses import dataclass

from kb.errors import BadInput
from kb.workings.base import CALIPER_MM, TEXT, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal, normal_share, u_of

__all__ = ["CODES", "WORKINGS", "HeadCode"]

_SHIMMED_POSTS_MM = (
    (25.4, 27.2),
    (27.2, 28.6),
    (27.2, 30.0),
    (27.2, 30.9),
    (27.2, 31.6),
    (30.9, 31.6),
    (30.9, 34.9),
    (31.6, 34.9),
)
"""Post and bore for which made shims are usual; trade, from memory."""
_SHIMMED_STEERERS_MM = ((25.4, 28.6), (28.6, 31.75))


@dataclass(frozen=True, slots=True)
class HeadCode:
    """One half of a headset by its code: how it sits, the bore, the steerers that go there."""

    code: str
    steerers_mm: tuple[float, ...]
    races_mm: tuple[float, ...]


CODES = {
    item.code: item
    for item in (
        HeadCode("EC34", (28.6,), (30.0,)),
        HeadCode("EC44", (28.6, 38.1), (30.0, 39.8)),
        HeadCode("EC49", (28.6, 38.1), (30.0, 39.8)),
        HeadCode("ZS44", (28.6,), (30.0,)),
        HeadCode("ZS49", (28.6,), (30.0,)),
        HeadCode("ZS56", (28.6, 38.1), (30.0, 39.8)),
        HeadCode("IS41", (28.6,), (30.0,)),
        HeadCode("IS42", (28.6,), (30.0,)),
        HeadCode("IS47", (31.75,), (33.0,)),
        HeadCode("IS49", (38.1,), (39.8,)),
        HeadCode("IS52", (28.6, 38.1), (30.0, 39.8)),
    )
}
"""Trade code, number = nominal bore; 28.6 in the 49, 52 and 56 by a made reducer race. From memory."""


def _near(pairs: tuple[tuple[float, float], ...], small: float, large: float) -> tuple[float, float] | None:
    return next((pair for pair in pairs if abs(pair[0] - small) < 0.11 and abs(pair[1] - large) < 0.11), None)


def _seatpost(bore: Number, post: Number) -> Solution:
    clearance = bore - post
    mm, u = nominal(clearance), u_of(clearance)
    values: dict[str, Number | str] = {"clearance": clearance, "with": "nothing more"}
    shim = _near(_SHIMMED_POSTS_MM, nominal(post), nominal(bore))
    undersize = normal_share(mm - 0.2, u)
    if shim is not None and mm > 0.5:
        values |= {
            "fits": Verdict.WITH,
            "with": f"a made shim {shim[0]:g} to {shim[1]:g} mm, as long as the insertion asked for",
        }
        says = (
            f"With a made shim from {shim[0]:g} to {shim[1]:g} mm (wall {(shim[1] - shim[0]) / 2:.2f} mm), its "
            "slit in line with the frame's."
        )
    elif mm < -0.05 and normal_share(-mm - 0.05, u) > 0.6:
        values["fits"] = Verdict.NO
        says = f"The post is {-mm:.2f} mm too thick. Never grind or force it."
    elif undersize > 0.95:
        values["fits"] = Verdict.NO
        says = f"{mm:.2f} mm of clearance and no usual shim for it: get the post of the frame's size (steps of 0.2 mm)."
    elif undersize > 0.05:
        values["fits"] = Verdict.MEASURE
        says = (
            f"{mm:.2f} mm of clearance is near a size step of 0.2 mm: measure post and bore again, twice at "
            "right angles, or read the marks."
        )
    else:
        values["fits"] = Verdict.YES
        says = f"{mm:.2f} mm of clearance: the sizes go together. With the collar open the post slides without rocking."
    return Solution(values, says)


def _insertion(post_length: Number, exposed: Number, minimum: Number) -> Solution:
    if nominal(exposed) > nominal(post_length):
        raise BadInput("exposed", f"{nominal(exposed):g} mm", f"no more than the length, {nominal(post_length):g} mm")
    depth = post_length - exposed
    mm, least = nominal(depth), nominal(minimum)
    enough = "yes" if mm >= least - 1e-9 else "no"
    says = (
        f"{mm:.0f} mm are in the frame, {mm - least:.0f} mm more than the least."
        if enough == "yes"
        else f"Only {mm:.0f} mm are in the frame, {least - mm:.0f} mm too few: frame and post can break. Lower it "
        "or get a longer post."
    )
    u = u_of(depth - minimum)
    near = (
        (f"Within the uncertainty of the reading ({2 * u:.1f} mm) of the least: put it in deeper.",)
        if u and abs(mm - least) < 2 * u
        else ()
    )
    return Solution({"insertion": depth, "enough": enough}, says, near)


def _steerer(steerer: Number, bore: Number, kind: str) -> Solution:
    if kind == "quill":
        gap = steerer - bore
        mm = nominal(gap)
        if 0.0 <= mm <= 0.15:
            return Solution(
                {"fits": Verdict.YES, "with": "nothing more"},
                f"{mm:.2f} mm of play for the quill: right. The mark must be out of sight.",
            )
        words = "too loose" if mm > 0 else "too thick"
        return Solution(
            {"fits": Verdict.NO, "with": "nothing"},
            f"The quill is {words} by {abs(mm):.2f} mm: 22.0 and 22.2 are two sizes.",
        )
    clearance = bore - steerer
    mm = nominal(clearance)
    shim = _near(_SHIMMED_STEERERS_MM, nominal(steerer), nominal(bore))
    if shim is not None:
        wall = (shim[1] - shim[0]) / 2
        return Solution(
            {"fits": Verdict.WITH, "with": f"a made slit shim of {wall:.1f} mm wall"},
            f"With a made slit shim {shim[0]:g} to {shim[1]:g} mm, its slit in line with the stem's.",
        )
    if -0.05 <= mm <= 0.15:
        return Solution(
            {"fits": Verdict.YES, "with": "nothing more"}, f"{mm:.2f} mm of clearance: the stem goes on this steerer."
        )
    if 0.15 < mm <= 0.25:
        return Solution(
            {"fits": Verdict.MEASURE, "with": "another reading"},
            f"{mm:.2f} mm is more than a good pair has: measure again, at right angles.",
        )
    says = (
        f"{mm:.2f} mm of clearance and no usual shim for it."
        if mm > 0
        else f"The steerer is {-mm:.2f} mm too thick for the stem."
    )
    return Solution({"fits": Verdict.NO, "with": "nothing"}, says)


def _headset(code: str, steerer: Number, race: Number | None) -> Solution:
    half = CODES[code]
    mm = nominal(steerer)
    match = next((size for size in half.steerers_mm if abs(size - mm) < 0.2), None)
    sizes = " or ".join(f"{size:g}" for size in half.steerers_mm)
    if match is None:
        return Solution(
            {"fits": Verdict.NO, "with": "nothing"}, f"{code} takes a steerer of {sizes} mm there, not {mm:g} mm."
        )
    if race is not None and not any(abs(nominal(race) - size) < 0.15 for size in half.races_mm):
        seats = " or ".join(f"{size:g}" for size in half.races_mm)
        return Solution(
            {"fits": Verdict.NO, "with": "nothing"},
            f"The crown race seat for that is {seats} mm, not {nominal(race):g} mm: 0.6 mm is the gap between two "
            "standards, not play.",
        )
    if match != half.steerers_mm[-1]:
        return Solution(
            {"fits": Verdict.WITH, "with": "a made reducer race, 30.0 mm inside"},
            f"{code} is made for {half.steerers_mm[-1]:g} mm; {mm:g} mm goes with a made reducer race (or a cup "
            "made so).",
        )
    says = f"{code} takes {mm:g} mm."
    if code.startswith("IS"):
        return Solution(
            {"fits": Verdict.MEASURE, "with": "the bearing's angles read (36 or 45 degrees)"},
            says + " The bearing sits in the frame itself: read its angles before buying, 36/45 and 45/45 do not mix.",
        )
    return Solution({"fits": Verdict.YES, "with": "nothing more"}, says)


_POST_END = "Never ride a post above its mark; the frame may ask for more than the mark."
_STEERING = (
    "Steering that comes loose throws the rider: try to twist the bar with the wheel between the knees before riding.",
)
_FITS = (Result("fits", TEXT, "yes, yes with, no or measure this"), Result("with", TEXT, "what it needs"))

WORKINGS = (
    Working(
        name="seatpost-fit",
        title="Whether a seatpost fits a frame",
        inputs=(
            Input(
                "bore",
                "mm",
                "of the seat tube, or the size the frame asks for",
                least=18,
                most=45,
                usual=(25, 35),
                tool_u=CALIPER_MM,
            ),
            Input("post", "mm", "outside of the post", least=18, most=45, usual=(25, 35), tool_u=CALIPER_MM),
        ),
        results=(Result("clearance", "mm", "bore less post"), *_FITS),
        formula="clearance = bore - post; under 0.2 mm fits; a made shim for the usual pairs",
        source="Trade sizes in steps of 0.2 mm, from memory",
        solve=_seatpost,
        cautions=(_POST_END, "No strips of can, no tape: the tube cracks or the post drops."),
    ),
    Working(
        name="post-insertion",
        title="Whether enough of a post is in the frame",
        inputs=(
            Input("post_length", "mm", "overall", least=50, most=900, usual=(150, 600)),
            Input("exposed", "mm", "out of the frame", least=0, most=900),
            Input(
                "minimum",
                "mm",
                "least insertion: to the mark, or 2 diameters, or what the frame asks",
                least=10,
                most=400,
                usual=(40, 200),
            ),
        ),
        results=(Result("insertion", "mm", "in the frame"), Result("enough", TEXT, "yes or no")),
        formula="insertion = length - exposed >= minimum",
        source="16 CFR 1512.15, ISO 4210-2 4.16.2: at least two diameters (54.4 mm for 27.2)",
        solve=_insertion,
        cautions=(_POST_END,),
    ),
    Working(
        name="steerer-fit",
        title="Whether a stem fits a steerer",
        inputs=(
            Input("steerer", "mm", "outside for a clamp stem, inside for a quill", least=18, most=45),
            Input("bore", "mm", "of the clamp stem, or outside of the quill", least=18, most=45),
            Input("kind", TEXT, "clamp stem or quill", choices=("clamp", "quill"), default="clamp"),
        ),
        results=_FITS,
        formula="clamp: bore - steerer within 0.15 mm, or a made shim; quill: inside - quill within 0.15 mm",
        source="Trade sizes, encyclopaedia article on headsets; shims: trade, from memory",
        solve=_steerer,
        cautions=_STEERING,
    ),
    Working(
        name="headset-fit",
        title="Whether a fork goes with a head tube and headset",
        inputs=(
            Input("code", TEXT, "of this half of the headset", choices=tuple(CODES)),
            Input("steerer", "mm", "outside, at this half", least=20, most=45),
            Input("race", "mm", "crown race seat of the fork, for the lower half", least=24, most=45, optional=True),
        ),
        results=_FITS,
        formula="steerer and race seat against the sizes of the code",
        source="Trade code, number = nominal bore; seats 30.0, 33.0, 39.8: from memory",
        solve=_headset,
        cautions=_STEERING,
    ),
)
