"""Fit questions of the wheels: axle, freehub body, valve, and the tyre's room in the frame."""

from kb.workings.base import TEXT, YES_NO, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS"]

_CAP_PAIRS = (((135, 10), (142, 12)), ((100, 9), (100, 12)), ((100, 9), (100, 15)), ((100, 12), (100, 15)))
"""Hubs that end caps turn into each other: over-locknut, axle; trade, from memory."""
_VALVES_MM = {"presta": 6.0, "schrader": 8.0, "dunlop": 8.0}
_BODIES = ("8-10", "11", "step-down", "fine-spline", "screw-on")


def _axle(hub: Number, hub_axle: Number, frame: Number, frame_axle: Number, steel: str) -> Solution:
    wide = nominal(hub) - nominal(frame)
    ends = ((round(nominal(hub)), round(nominal(hub_axle))), (round(nominal(frame)), round(nominal(frame_axle))))
    if any(set(ends) == set(pair) for pair in _CAP_PAIRS) and ends[0] != ends[1]:
        return _answer(
            Verdict.WITH, "end caps made for this hub", "The same hub with other end caps, where its maker has them."
        )
    if abs(nominal(hub_axle) - nominal(frame_axle)) > 0.6:
        return _answer(
            Verdict.NO,
            "nothing",
            f"A hub for a {nominal(hub_axle):g} mm axle on a frame for {nominal(frame_axle):g} mm: loose, or it "
            "does not go in, without end caps made for both.",
        )
    if -1.0 <= wide <= 0.5:
        return _answer(Verdict.YES, "nothing more", f"{wide:+.1f} mm: goes in, the axle closes the rest.")
    through = nominal(frame_axle) >= 11.5
    if 3.5 <= wide <= 5.5 and steel == "yes" and not through:
        return _answer(
            Verdict.WITH,
            "the frame set and aligned by a workshop",
            f"{wide:.1f} mm wider than the frame: only steel can be set, by a workshop that checks the line.",
        )
    if -6 <= wide < -1.0 and not through:
        return _answer(
            Verdict.WITH,
            f"made spacers of {-wide / 2:.1f} mm a side and an axle long enough",
            "The sprockets then sit further in: set derailleur and brake anew, and check the dish.",
        )
    says = f"{abs(wide):.1f} mm too {'wide' if wide > 0 else 'narrow'}: never spread or squeeze a frame by the axle."
    return _answer(Verdict.NO, "nothing", says)


def _answer(verdict: Verdict, needed: str, says: str) -> Solution:
    return Solution({"fits": verdict, "with": needed}, says)


def _freehub(body: str, speeds: Number, smallest: Number) -> Solution:
    count, least = round(nominal(speeds)), round(nominal(smallest))
    if body == "screw-on":
        return _answer(
            Verdict.NO, "a screw-on freewheel, 1.375 in x 24", "A hub threaded for a freewheel takes no cassette."
        )
    if body in ("step-down", "fine-spline"):
        if least <= 10 and count >= 10:
            return _answer(
                Verdict.WITH,
                "a cassette made for this very body",
                "Both kinds of body take 10-tooth sprockets, but only their own cassettes.",
            )
        return _answer(
            Verdict.MEASURE,
            "a cassette listed for this body",
            "Cassettes from 11 teeth up are mostly made for the nine-spline body; look whether one is listed for "
            "yours.",
        )
    if least <= 10:
        return _answer(
            Verdict.NO,
            "nothing",
            f"A {least}-tooth sprocket is smaller than the nine-spline body: it needs its own body.",
        )
    long_body = body == "11"
    if count <= 7:
        return _answer(
            Verdict.WITH,
            f"a 4.5 mm spacer{' and a 1.85 mm one' if long_body else ''}",
            "Short cassette: the spacers go on first.",
        )
    if count <= 10:
        if long_body:
            return _answer(
                Verdict.WITH,
                "a 1.85 mm spacer",
                "The long body is 1.85 mm too long for it; some 10-speed sets take 1 mm more.",
            )
        return _answer(
            Verdict.YES,
            "nothing more",
            "8, 9 and 10 speeds share this length; some 10-speed sets come with a 1 mm spacer.",
        )
    if long_body and count == 11:
        return _answer(
            Verdict.YES, "nothing more", "Made for it; wide-range sets for the short body take the 1.85 mm spacer."
        )
    return _answer(
        Verdict.MEASURE,
        "a cassette marked for this body",
        "Road sets for 11 are 1.85 mm too wide for the short body; wide-range 11 and 12 from 11 teeth up go on if "
        "so marked.",
    )


def _valve(hole: Number, valve: str, rim_depth: Number | None, valve_length: Number | None) -> Solution:
    room = nominal(hole) - _VALVES_MM[valve]
    needed, says, verdict = "nothing more", f"{room:.1f} mm of room in the hole: right.", Verdict.YES
    if room < 0.1:
        return _answer(
            Verdict.NO,
            "nothing",
            f"The {valve} valve is {_VALVES_MM[valve]:g} mm, the hole {nominal(hole):g} mm. Do not drill the rim: "
            "take the valve the hole asks for.",
        )
    if room > 1.0:
        verdict, needed, says = (
            Verdict.WITH,
            "a reducer bush in the hole",
            "The hole is for the wide valve: a bush keeps the thin one from working in it.",
        )
    values: dict[str, Number | str] = {}
    if rim_depth is not None:
        least = rim_depth + 15
        values["least_length"] = least
        says += f" The valve should be {nominal(least):.0f} mm or longer."
        if valve_length is not None and nominal(valve_length) < nominal(least):
            verdict = Verdict.WITH
            extender = f"a longer valve or an extender of {nominal(least - valve_length):.0f} mm or more"
            needed = extender if needed == "nothing more" else f"{needed}, and {extender}"
    return Solution({"fits": verdict, "with": needed, **values}, says)


def _room(tyre_width: Number, gap: Number, least: Number) -> Solution:
    each = (gap - tyre_width) / 2
    mm, wanted = nominal(each), nominal(least)
    if mm >= wanted:
        verdict, says = Verdict.YES, f"{mm:.1f} mm on each side, {wanted:g} mm asked for."
    elif mm >= 1.6:
        verdict, says = (
            Verdict.MEASURE,
            (
                f"{mm:.1f} mm on each side: under {wanted:g} mm. Mount it, pump it, wait a day and measure the "
                "narrowest place."
            ),
        )
    else:
        verdict, says = (
            Verdict.NO,
            f"{mm:.1f} mm on each side: under 1.6 mm, a stone or a wheel a little out of true locks it.",
        )
    return Solution({"clearance": each, "fits": verdict, "widest": gap - least * 2}, says)


_AXLE = "9 front, 10 rear for quick release; 12, 15, 20 through-axle"
_FITS = (Result("fits", TEXT, "yes, yes with, no or measure this"), Result("with", TEXT, "what it needs"))

WORKINGS = (
    Working(
        name="axle-fit",
        title="Whether a wheel goes into a frame or fork",
        inputs=(
            Input("hub", "mm", "over the locknuts or end caps", least=60, most=220, usual=(90, 200)),
            Input("hub_axle", "mm", _AXLE, least=5, most=30),
            Input("frame", "mm", "between the dropouts, nothing clamped", least=60, most=220, usual=(90, 200)),
            Input("frame_axle", "mm", _AXLE, least=5, most=30),
            Input("steel", TEXT, "whether the frame is of steel", choices=YES_NO, default="no"),
        ),
        results=_FITS,
        formula="same axle; hub within -1 to +0.5 mm of the frame; known pairs by end caps or made spacers",
        source="Trade widths, from memory; 142 = 135 + 2 x 3.5",
        solve=_axle,
        cautions=(
            (
                "A wheel that comes out throws the rider: home in both ends, clamped, both brakes tried. M12 axles "
                "differ in pitch."
            ),
        ),
    ),
    Working(
        name="freehub-fit",
        title="Whether a cassette goes on a freehub body",
        inputs=(
            Input(
                "body",
                TEXT,
                "8-10 or 11 (nine splines, short or long), step-down (threaded, 10 teeth), fine-spline (23), screw-on",
                choices=_BODIES,
                also={"short": "8-10", "8": "8-10", "9": "8-10", "10": "8-10", "long": "11", "freewheel": "screw-on"},
            ),
            Input("speeds", "count", "of the cassette", least=5, most=14),
            Input("smallest", "teeth", "smallest sprocket", least=9, most=20, default=11),
        ),
        results=_FITS,
        formula="splines the same; length of body >= length of cassette; a spacer fills a body too long",
        source="Trade lengths: 1.85 mm between the bodies, 4.5 mm for 7 speeds; from memory",
        solve=_freehub,
        cautions=("A cassette that can be rocked after tightening lacks a spacer: do not ride so.",),
    ),
    Working(
        name="valve-fit",
        title="Whether a valve fits a rim",
        inputs=(
            Input("hole", "mm", "in the rim", least=4, most=14, usual=(6, 9)),
            Input(
                "valve",
                TEXT,
                "kind",
                choices=tuple(_VALVES_MM),
                also={"thin": "presta", "french": "presta", "car": "schrader"},
            ),
            Input("rim_depth", "mm", "hole to the outside of the rim", least=5, most=120, optional=True),
            Input("valve_length", "mm", "of the stem", least=20, most=140, optional=True),
        ),
        results=(*_FITS, Result("least_length", "mm", "of the stem", optional=True)),
        formula="hole - body: 0.1 to 1 mm; length >= depth + 15 mm",
        source="ISO 4570 (bodies 6 and 8 mm); holes 6.2-6.5 and 8.3-8.5: from memory; + 15 mm: common practice",
        solve=_valve,
    ),
    Working(
        name="tyre-frame",
        title="Whether a tyre has room in the frame",
        inputs=(
            Input("tyre_width", "mm", "as mounted and pumped", least=15, most=130),
            Input("gap", "mm", "frame at its narrowest beside the tyre", least=15, most=200),
            Input(
                "least",
                "mm",
                "wanted on each side: 4, or 6 by ISO except on racing bikes",
                least=1.6,
                most=20,
                default=4,
            ),
        ),
        results=(
            Result("clearance", "mm", "on each side"),
            Result("fits", TEXT, "yes, no or measure this"),
            Result("widest", "mm", "tyre that keeps the room"),
        ),
        formula="(gap - width) / 2",
        source="16 CFR 1512.11: 1.6 mm at least; EN/ISO 6 mm (4 racing): from memory",
        solve=_room,
        assumptions=("A tyre grows about 0.4 mm for each mm of rim width, and a little in the first days.",),
    ),
)
