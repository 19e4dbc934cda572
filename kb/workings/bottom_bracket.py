"""Shells, spindles and what goes between: spacers, press fits, and which crank goes into which shell."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.workings.base import TEXT, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal, normal_share, u_of
from kb.workings.pictures import stack_picture

__all__ = ["SHELLS", "WORKINGS", "Shell", "spacers_mm"]


@dataclass(frozen=True, slots=True)
class Shell:
    """One kind of bottom bracket shell."""

    name: str
    is_threaded: bool
    bore_mm: float
    """Core of the thread, or bore for the cup or bearing."""
    widths_mm: tuple[float, ...]
    hands: str
    """Hands of the threads; empty for press shells."""
    takes: Mapping[str, str]
    """Spindle -> with what; a spindle not named does not fit."""


_OUTBOARD_30 = "outboard cups for a 30 mm spindle, and a spindle long enough for shell and both cups"
_ADAPTED = "bearings or reducer cups made for that spindle and this shell"
_LEFT_DRIVE, _BOTH_RIGHT = "drive side left-hand, other side right-hand", "both sides right-hand"


def _threaded(cups: str) -> dict[str, str]:
    made = f"{cups} cups made for that spindle"
    return {"19": made, "22": made, "24": f"{cups} cups for 24 mm", "28.99": made, "30": f"{cups} {_OUTBOARD_30}",
            "square": f"a {cups} cartridge with the right taper (ISO or JIS) and axle length"}  # fmt: skip


_WIDE = {
    "30": "",
    "28.99": _ADAPTED,
    "24": _ADAPTED,
    "22": _ADAPTED,
    "19": _ADAPTED,
    "square": "a threaded insert sleeve, fitted for good by a workshop",
}
SHELLS = {
    shell.name: shell
    for shell in (
        Shell("bsa", True, 33.65, (68, 73, 83, 100), _LEFT_DRIVE, _threaded("BSA")),
        Shell("italian", True, 34.85, (70,), _BOTH_RIGHT, _threaded("Italian (36 mm x 24)")),
        Shell(
            "french",
            True,
            33.92,
            (68,),
            _BOTH_RIGHT,
            {"24": "French (35 x 1) cups, hard to find", "square": "a French (35 x 1) cartridge"},
        ),
        Shell(
            "swiss",
            True,
            33.92,
            (68,),
            _LEFT_DRIVE,
            {"24": "Swiss (35 x 1) cups, hard to find", "square": "a Swiss cartridge"},
        ),
        Shell("t47", True, 45.92, (68, 73, 77, 83, 85.5, 86.5), _LEFT_DRIVE, _threaded("T47 (inboard or outboard)")),
        Shell("bb30", False, 41.96, (68, 73, 83), "", _WIDE),
        Shell("pf30", False, 46, (68, 73), "", _WIDE),
        Shell("386", False, 46, (86.5,), "", {**_WIDE, "30": "the long 30 mm spindle made for 86.5 mm"}),
        Shell("bb86", False, 41, (86.5,), "", {"24": "", "22": "cups listed for it", "19": "cups listed for it"}),
        Shell("bb92", False, 41, (91.5, 92), "", {"24": "", "22": "cups listed for it", "19": "cups listed for it"}),
        Shell("mid", False, 41.2, (), "", {"19": "", "22": "", "24": "bearings of 24 mm bore for this shell"}),
        Shell("spanish", False, 37, (), "", {"19": "", "22": "", "24": "24 x 37 x 7 bearings"}),
        Shell(
            "one-piece",
            False,
            51.3,
            (68,),
            "",
            {"one-piece": "", "square": "an adapter shell to BSA", "24": "an adapter shell to BSA, and BSA cups"},
        ),
    )
}
"""Trade sizes, from memory; cores of threads recomputed from d - 1.082532 P."""
_SPINDLES = ("19", "22", "24", "28.99", "30", "square", "one-piece")
_ALSO_SHELLS = {
    "english": "bsa", "iso": "bsa", "1.37": "bsa", "1.370": "bsa", "1.37x24": "bsa", "1.370x24": "bsa",
    "ita": "italian", "36x24": "italian", "36 x 24": "italian", "m47": "t47", "bb386": "386", "pressfit 30": "pf30",
    "pf86": "bb86", "pf92": "bb92", "bb89": "bb92", "american": "one-piece", "opc": "one-piece",
}  # fmt: skip
_ALSO_SPINDLES = {
    "24 mm": "24", "24mm": "24", "30 mm": "30", "30mm": "30", "29": "28.99", "29 mm": "28.99", "28.99 mm": "28.99",
    "19 mm": "19", "22 mm": "22", "24/22": "24", "square taper": "square", "taper": "square", "one piece": "one-piece",
}  # fmt: skip


def spacers_mm(spindle_length: Number, shell_width: Number, cup_flange: Number) -> Number:
    """Return what is left for spacers and preload between the crank shoulders; negative if that is too short.

    >>> spacers_mm(97.5, 73, 11), spacers_mm(97.5, 68, 11)
    (2.5, 7.5)
    """
    return spindle_length - shell_width - 2 * cup_flange


def _spacers(spindle_length: Number, shell_width: Number, cup_flange: Number) -> Solution:
    spare = spacers_mm(spindle_length, shell_width, cup_flange)
    mm = nominal(spare)
    if mm < 0:
        says = f"The spindle is {-mm:.2f} mm too short: it does not reach across this shell with these cups."
        return Solution({"spacers": spare}, says, ("Negative: this crank does not go into this shell.",))
    rings = int((mm + 0.05) / 2.5)
    gap = mm - 2.5 * rings
    drive = rings - rings // 2
    says = (
        f"{mm:.2f} mm are left: {rings} rings of 2.5 mm, {drive} on the drive side and {rings - drive} on the "
        "other, unless the crank's sheet "
        f"says otherwise; {max(gap, 0):.2f} mm remain for thin washers, the wave washer or the preload ring."
    )
    warnings = ("More than 20 mm of spacers: is that the spindle for this shell?",) if mm > 20 else ()
    return Solution({"spacers": spare, "rings": float(rings), "gap": max(gap, 0.0)}, says, warnings)


def _press(bore: Number, cup: Number) -> Solution:
    grip = cup - bore
    mm, u = nominal(grip), u_of(grip)
    loose = normal_share(-mm, u) * 100
    if mm <= 0:
        says = "The cup is no larger than the bore: it does not grip, creaks, and needs a shell or cup of another size."
    elif mm < 0.01:
        says = "The grip is under a hundredth: expect creaking; retaining compound made for it is what is left."
    elif mm <= 0.08:
        says = "A usual press fit: goes in square with a press, stays quiet."
    else:
        says = "Too tight: the bearing is squeezed and runs rough, or the shell cracks. Measure again and do not press."
    sure = (
        ()
        if loose < 5 or loose > 95
        else (f"By this reading it is loose with {loose:.0f} % probability: measure to 0.01 mm, in two directions.",)
    )
    tight = ("Over 0.08 mm of interference: do not press it in.",) if mm > 0.08 else ()
    return Solution({"interference": grip, "loose_probability": loose}, f"{mm:+.3f} mm. {says}", sure + tight)


def _crank_fit(
    shell: str, spindle: str, spindle_length: Number | None, shell_width: Number | None, cup_flange: Number
) -> Solution:
    kind = SHELLS[shell]
    if spindle not in kind.takes:
        return Solution({"fits": Verdict.NO, "with": "nothing"}, _never(kind, spindle))
    needed = kind.takes[spindle]
    hands = f" Threads: {kind.hands}." if kind.is_threaded else ""
    says = f"Yes, with {needed}." if needed else "Yes: the shell is made for it."
    values: dict[str, Number | str] = {
        "fits": Verdict.WITH if needed else Verdict.YES,
        "with": needed or "nothing more",
    }
    warnings: tuple[str, ...] = ()
    if (
        shell_width is not None
        and kind.widths_mm
        and min(abs(nominal(shell_width) - width) for width in kind.widths_mm) > 1
    ):
        widths = ", ".join(f"{width:g}" for width in kind.widths_mm)
        warnings = (
            (
                f"A shell of this kind is {widths} mm wide, not {nominal(shell_width):g}: measure it, or it is another "
                "kind."
            ),
        )
    if spindle_length is None or shell_width is None:
        length = (
            " Whether the spindle is long enough needs its length between the shoulders and the width of the shell."
        )
        return Solution(values, says + hands + (length if kind.is_threaded else ""), warnings)
    spare = spacers_mm(spindle_length, shell_width, cup_flange)
    values["spacers"] = spare
    if nominal(spare) < 0:
        values["fits"] = Verdict.NO
        says = (
            f"No: the diameter goes, but the spindle is {-nominal(spare):.1f} mm too short for this shell and "
            "these cups."
        )
    else:
        says += f" {nominal(spare):.1f} mm are left for spacers and preload."
    return Solution(values, says + hands, warnings)


def _never(kind: Shell, spindle: str) -> str:
    if spindle in ("28.99", "30") and not kind.is_threaded:
        return f"No: the usual bearing for that spindle is 42 mm outside and the bore is {kind.bore_mm:g} mm."
    return (
        f"No: there is no usual cup or bearing for a {spindle} spindle in a {kind.name} shell. Look for a crank "
        "for this shell."
    )


_SPINDLE_LENGTH = "between the shoulders the crank arms come to rest on"
_FLANGE = "part of one cup (or bearing) that stands outside the shell"

WORKINGS = (
    Working(
        name="shell-spacers",
        title="Spacers between crank, cups and shell",
        inputs=(
            Input("spindle_length", "mm", _SPINDLE_LENGTH, least=50, most=200, usual=(80, 160)),
            Input("shell_width", "mm", "bare shell", least=40, most=130, usual=(66, 122)),
            Input("cup_flange", "mm", _FLANGE, least=0, most=25, usual=(0, 15)),
        ),
        results=(
            Result("spacers", "mm", "in total; negative when the spindle is too short"),
            Result("rings", "count", "whole rings of 2.5 mm", whole=True, optional=True),
            Result("gap", "mm", "remaining for preload", optional=True),
        ),
        formula="spacers = spindle - shell - 2 x flange",
        source="Geometry; rings of 2.5 mm and more of them on the drive side: trade, from memory",
        solve=_spacers,
        cautions=(
            (
                "Too many spacers load the bearings and stop the cranks; too few leave play. Turn the cranks by hand "
                "before riding."
            ),
        ),
        drawing=stack_picture,
    ),
    Working(
        name="press-fit",
        title="The grip of a pressed cup or bearing",
        inputs=(
            Input("bore", "mm", "of the shell, by inside gauge", least=10, most=80, usual=(30, 60), tool_u=0.005),
            Input("cup", "mm", "outside of cup or bearing", least=10, most=80, usual=(30, 60), tool_u=0.005),
        ),
        results=(
            Result("interference", "mm", "cup less bore; negative is a gap"),
            Result("loose_probability", "%", "that there is none"),
        ),
        formula="interference = cup - bore; P = Phi(-interference / u)",
        source="ISO 286 (fits); 0.01 to 0.08 mm as usual: trade, from memory (low)",
        solve=_press,
        cautions=("Press square and cold, by a press; a hammer cracks bearings, and carbon shells.",),
    ),
    Working(
        name="crank-fit",
        title="Which crank spindle goes into which shell",
        inputs=(
            Input("shell", TEXT, "kind of shell", choices=tuple(SHELLS), also=_ALSO_SHELLS),
            Input("spindle", TEXT, "diameter in mm, or square, or one-piece", choices=_SPINDLES, also=_ALSO_SPINDLES),
            Input("spindle_length", "mm", _SPINDLE_LENGTH, least=50, most=200, optional=True),
            Input("shell_width", "mm", "bare shell", least=40, most=130, optional=True),
            Input("cup_flange", "mm", _FLANGE, least=0, most=25, default=11),
        ),
        results=(
            Result("fits", TEXT, "yes, yes with, no or measure this"),
            Result("with", TEXT, "what it needs"),
            Result("spacers", "mm", "left over; negative when too short", optional=True),
        ),
        formula="bearing of the spindle inside the bore, or cups of the shell's thread outside it; spindle >= shell "
        "+ 2 x flange",
        source="Trade sizes of shells, cups and bearings, from memory; ISO 15 (bearings)",
        solve=_crank_fit,
        cautions=("A cup that binds after two turns has the wrong thread or hand: stop before the shell is spoilt.",),
    ),
)
