"""Fit questions of the cranks and brakes: chainring, pedal, rotor and brake mount."""

import math

from kb.workings.base import TEXT, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS", "bolt_circle_mm"]

_CIRCLES_MM = {5: (144.0, 135.0, 130.0, 110.0, 94.0, 74.0, 58.0), 4: (110.0, 104.0, 96.0, 64.0), 6: (), 3: ()}
_PEDALS_MM = {"three-piece": 14.288, "one-piece": 12.7, "french": 14.0}
_PEDAL_NAMES = {"three-piece": "9/16 in x 20", "one-piece": "1/2 in x 20", "french": "14 x 1.25 mm"}
_MOUNTS = ("is", "post", "flat")


def bolt_circle_mm(chord_mm: Number, bolts: Number) -> Number:
    """Return the diameter of the bolt circle from the distance of neighbouring bolts. Source: chord = D sin(pi / n).

    >>> round(bolt_circle_mm(64.66, 5), 1), round(bolt_circle_mm(73.54, 4), 1)
    (110.0, 104.0)
    """
    return chord_mm / math.sin(math.pi / nominal(bolts))


def _circle(chord: Number, bolts: Number) -> Solution:
    diameter = bolt_circle_mm(chord, bolts)
    known = _CIRCLES_MM.get(round(nominal(bolts)), ())
    near = min(known, key=lambda size: abs(size - nominal(diameter)), default=None)
    if near is not None and abs(near - nominal(diameter)) < 1.0:
        return Solution(
            {"bolt_circle": diameter, "known": f"{near:g}"}, f"{nominal(diameter):.1f} mm: the {near:g} mm circle."
        )
    says = (
        f"{nominal(diameter):.1f} mm: none of the usual circles. Measure a second pair; unequal distances mean "
        "an uneven spider of one maker."
    )
    return Solution({"bolt_circle": diameter, "known": "none"}, says)


def _ring(
    ring_circle: Number, ring_bolts: Number, crank_circle: Number, crank_bolts: Number, teeth: Number | None
) -> Solution:
    apart = nominal(ring_circle) - nominal(crank_circle)
    if nominal(ring_bolts) != nominal(crank_bolts):
        return _answer(
            Verdict.NO, "nothing", f"{nominal(ring_bolts):.0f} bolts do not meet {nominal(crank_bolts):.0f} arms."
        )
    if abs(apart) > 0.5:
        return _answer(
            Verdict.NO, "nothing", f"The circles differ by {abs(apart):.1f} mm; bolts bear no more than some tenths."
        )
    least = math.ceil((nominal(crank_circle) + 19) / 12.7 * math.pi - 1e-9)
    if teeth is not None and nominal(teeth) < least - 1:
        return _answer(
            Verdict.NO,
            "nothing",
            f"With {nominal(teeth):.0f} teeth the chain would lie on the arms: about {least} is the least on this "
            "circle.",
        )
    return _answer(
        Verdict.YES,
        "nothing more",
        "The bolts meet. Check chainline, the bolts' length and, with four uneven arms, the maker's pattern.",
    )


def _answer(verdict: Verdict, needed: str, says: str) -> Solution:
    return Solution({"fits": verdict, "with": needed}, says)


def _pedal(thread: Number, crank: str, pedal_side: str, crank_side: str) -> Solution:
    kind = min(_PEDALS_MM, key=lambda name: abs(_PEDALS_MM[name] - nominal(thread)))
    if abs(_PEDALS_MM[kind] - nominal(thread)) > 0.2:
        return _answer(
            Verdict.MEASURE,
            "another reading",
            f"{nominal(thread):g} mm is none of 14.29, 14.0 and 12.7 mm: measure over the crests.",
        )
    if pedal_side != crank_side:
        return _answer(
            Verdict.NO, "nothing", "The left pedal is left-hand, the right one right-hand: they never change sides."
        )
    if kind == crank:
        return _answer(
            Verdict.YES,
            "nothing more",
            f"Both {_PEDAL_NAMES[kind]}, {pedal_side} side {pedal_side}-hand. Grease it and start it by hand.",
        )
    return _answer(
        Verdict.NO,
        "nothing",
        f"The pedal is {_PEDAL_NAMES[kind]}, the crank {_PEDAL_NAMES[crank]}: it binds or pulls out.",
    )


def _rotor(hub: str, rotor: str, diameter: Number, native: Number, most: Number | None) -> Solution:
    size, base = nominal(diameter), nominal(native)
    if hub == "6-bolt" and rotor == "splined":
        return _answer(Verdict.NO, "nothing", "A splined rotor does not go on a hub with six bolts.")
    if most is not None and size > nominal(most):
        return _answer(
            Verdict.NO,
            "nothing",
            f"{size:g} mm is over the {nominal(most):g} mm that fork or frame allows: the mount can break.",
        )
    if size < base - 0.5:
        return _answer(
            Verdict.NO, "nothing", f"Smaller than the mount's own {base:g} mm: the caliper cannot come nearer."
        )
    needs = []
    if hub == "splined" and rotor == "6-bolt":
        needs.append("a made adapter from splines to six bolts")
    if size > base + 0.5:
        needs.append(f"a brake adapter for {size:g} mm (lift {(size - base) / 2:.1f} mm)")
    if needs and most is None and size > base + 0.5:
        says = (
            "Only if fork or frame allows that size: read its largest; where none is given, the one fitted is "
            "the limit."
        )
    else:
        says = "Check the marked least thickness, and that the pads sit fully on the track."
    return _answer(Verdict.WITH if needs else Verdict.YES, " and ".join(needs) or "nothing more", says)


def _mount(frame: str, caliper: str, native: Number, rotor: Number) -> Solution:
    lift = (rotor - native) / 2
    mm = nominal(lift)
    if mm < -0.25:
        return Solution(
            {"fits": Verdict.NO, "with": "nothing", "lift": lift},
            f"The rotor is smaller than the mount's own {nominal(native):g} mm.",
        )
    if caliper == "flat" and frame != "flat":
        return Solution(
            {"fits": Verdict.NO, "with": "nothing", "lift": lift},
            "A flat-mount caliper has no adapter to other mounts worth having.",
        )
    if caliper == "is" and frame != "is":
        return Solution(
            {"fits": Verdict.NO, "with": "nothing", "lift": lift}, "An old caliper for ears does not go on posts."
        )
    if frame == "flat" and caliper == "post" and mm > 10.25:
        return Solution(
            {"fits": Verdict.NO, "with": "nothing", "lift": lift}, "Flat mounts carry rotors to 160, at times 180 mm."
        )
    if frame == caliper and abs(mm) <= 0.25 and frame != "is":
        return Solution(
            {"fits": Verdict.YES, "with": "nothing more", "lift": lift},
            "Straight on, with washers no thicker than the maker's.",
        )
    needed = f"an adapter {frame} to {caliper} for a {nominal(rotor):g} mm rotor"
    return Solution(
        {"fits": Verdict.WITH, "with": needed, "lift": lift},
        f"It lifts the caliper by {mm:.1f} mm from where the bare mount puts it. Check the largest rotor of fork or "
        "frame.",
    )


def _sides(name: str) -> Input:
    return Input(
        name,
        TEXT,
        "rider's view",
        choices=("right", "left"),
        also={"r": "right", "l": "left", "drive": "right"},
        default="right",
    )


_FITS = (Result("fits", TEXT, "yes, yes with, no or measure this"), Result("with", TEXT, "what it needs"))
_BRAKE = ("After any brake work: pads fully on the track, all bolts tight, both brakes tried at walking pace.",)
_PATTERNS = {"six bolt": "6-bolt", "6 bolt": "6-bolt", "spline": "splined", "lockring": "splined"}

WORKINGS = (
    Working(
        name="bolt-circle",
        title="The bolt circle of a chainring from the distance of two bolts",
        inputs=(
            Input("chord", "mm", "centre to centre of neighbouring bolts", least=15, most=150, usual=(30, 90)),
            Input("bolts", "count", "arms", least=3, most=6),
        ),
        results=(Result("bolt_circle", "mm", "diameter"), Result("known", TEXT, "usual circle, or none")),
        formula="D = chord / sin(180 deg / n)",
        source="Geometry; usual circles: trade, from memory",
        solve=_circle,
    ),
    Working(
        name="chainring-fit",
        title="Whether a chainring goes on a crank",
        inputs=(
            Input("ring_circle", "mm", "bolt circle of the ring", least=30, most=200),
            Input("ring_bolts", "count", "holes", least=3, most=6),
            Input("crank_circle", "mm", "bolt circle of the crank", least=30, most=200),
            Input("crank_bolts", "count", "arms", least=3, most=6),
            Input("teeth", "teeth", "of the ring", least=16, most=80, optional=True),
        ),
        results=_FITS,
        formula="same circle within 0.5 mm, same number; least teeth about pi (circle + 19 mm) / 12.7",
        source="Trade; room of 19 mm for bolt, arm and chain fitted to the usual smallest rings (33 on 110, 38 on "
        "130), from memory",
        solve=_ring,
    ),
    Working(
        name="pedal-fit",
        title="Whether a pedal goes into a crank",
        inputs=(
            Input("thread", "mm", "outside of the pedal's thread", least=8, most=20),
            Input("crank", TEXT, "kind", choices=tuple(_PEDALS_MM), default="three-piece"),
            _sides("pedal_side"),
            _sides("crank_side"),
        ),
        results=_FITS,
        formula="9/16 x 20 (14.29 mm), 1/2 x 20 (12.7 mm) or 14 x 1.25; the same on both, side for side",
        source="ISO 6695 / BSC, from memory",
        solve=_pedal,
        cautions=(
            (
                "A pedal that binds after two turns is crossed or of another thread: stop. One that pulls out throws "
                "the rider."
            ),
        ),
    ),
    Working(
        name="rotor-fit",
        title="Whether a rotor goes on a hub and under a caliper",
        inputs=(
            Input("hub", TEXT, "6-bolt or splined", choices=("6-bolt", "splined"), also=_PATTERNS),
            Input("rotor", TEXT, "6-bolt or splined", choices=("6-bolt", "splined"), also=_PATTERNS),
            Input("diameter", "mm", "of the rotor", least=100, most=260, usual=(140, 223)),
            Input("native", "mm", "rotor the bare mount is made for", least=100, most=260, default=160),
            Input("most", "mm", "largest that fork or frame allows", least=100, most=260, optional=True),
        ),
        results=_FITS,
        formula="same pattern, or splines with an adapter; native <= diameter <= largest; lift = (diameter - "
        "native) / 2",
        source="Trade, from memory",
        solve=_rotor,
        cautions=_BRAKE,
    ),
    Working(
        name="brake-mount",
        title="Whether a caliper goes on a mount, and with which adapter",
        inputs=(
            Input(
                "frame",
                TEXT,
                "mount of fork or frame",
                choices=_MOUNTS,
                also={"pm": "post", "fm": "flat", "post mount": "post", "flat mount": "flat"},
            ),
            Input(
                "caliper",
                TEXT,
                "mount of the caliper",
                choices=_MOUNTS,
                also={"pm": "post", "fm": "flat", "post mount": "post", "flat mount": "flat"},
            ),
            Input("native", "mm", "rotor the bare mount is made for", least=100, most=260),
            Input("rotor", "mm", "rotor wanted", least=100, most=260),
        ),
        results=(*_FITS, Result("lift", "mm", "of the caliper")),
        formula="lift = (rotor - native) / 2; IS 51 mm apart, post 74.2, flat 34 (70 on the front adapter)",
        source="Trade, from memory",
        solve=_mount,
        cautions=_BRAKE,
    ),
)
