"""Tyres: what fits which rim, pressure for a load, units, leaks and size."""

import math

from kb.errors import BadInput
from kb.units import convert
from kb.workings.base import TEXT, YES_NO, Input, Result, Solution, Verdict, Working
from kb.workings.number import Number, nominal

__all__ = ["HOOKLESS_BAR", "WORKINGS", "leak_bar_per_day", "load_pressure_psi", "tyre_diameter_mm"]

HOOKLESS_BAR = 5.0
"""Source: ISO 5775 / ETRTO 2020-23, tubeless straight side rims."""
_ATMOSPHERE_BAR = 1.01325
_TYRES_MM = {13: (18, 25), 15: (23, 32), 17: (25, 52), 19: (28, 62), 21: (35, 64), 23: (40, 64), 25: (44, 64)}
"""Tyre widths by rim code. Source: ETRTO tables, from memory (low; editions differ)."""
_HOOKLESS_LEAST_MM = {19: 25, 21: 27, 23: 28, 25: 29}
"""Least tyre on a hookless rim by its inner width; from memory (low), 19 and 21 by interpolation."""
_CASING_BAR_MM = 210.0
"""Pressure times width that hooked rims and tyres usually bear; common practice, from memory (low)."""
_MOST_BAR = 9.0


def load_pressure_psi(load_lb: Number, width_mm: Number) -> Number:
    """Return the pressure for 15 % drop of the tyre's height.

    Source: fit to a magazine's chart, psi = 153.6 W / w^1.5785 - 7.17; from memory (low).

    >>> round(load_pressure_psi(100.0, 25.0)), round(load_pressure_psi(100.0, 38.0))
    (88, 42)
    """
    return 153.6 * load_lb / width_mm**1.5785 - 7.17


def leak_bar_per_day(first_bar: Number, last_bar: Number, days: Number, first_c: Number, last_c: Number) -> Number:
    """Return the loss a day, the last reading brought to the first one's temperature.

    Source: gas law, absolute pressure in proportion to absolute temperature; gauges read above 1.01325 bar.

    >>> round(leak_bar_per_day(6.0, 5.4, 2.0, 20.0, 20.0), 3)
    0.3
    """
    same_warmth = (last_bar + _ATMOSPHERE_BAR) * (first_c + 273.15) / (last_c + 273.15) - _ATMOSPHERE_BAR
    return (first_bar - same_warmth) / days


def tyre_diameter_mm(width_mm: Number, bead_seat_mm: Number) -> Number:
    """Return the overall diameter. Source: ISO 5775-1, section height = width, 2.5 mm more below 28 mm.

    >>> tyre_diameter_mm(25, 622), tyre_diameter_mm(32, 622)
    (677.0, 686)
    """
    height = width_mm + 2.5 if nominal(width_mm) < 28 else width_mm
    return bead_seat_mm + 2 * height


def _tyre_rim(tyre_width: Number, rim_width: Number, hookless: str) -> Solution:
    tyre, rim = nominal(tyre_width), nominal(rim_width)
    bare = hookless == "yes"
    code = min(_TYRES_MM, key=lambda width: (abs(width - rim), width))
    low, high = _TYRES_MM[code]
    usual = min(_CASING_BAR_MM / tyre, _MOST_BAR)
    most = HOOKLESS_BAR if bare else usual
    warnings = []
    if bare and usual < HOOKLESS_BAR:
        warnings.append(
            f"5 bar is the limit of the rim; a tyre of {tyre:g} mm usually bears only about {usual:.1f} bar. Its "
            "own mark goes first."
        )
    least = _HOOKLESS_LEAST_MM.get(min(_HOOKLESS_LEAST_MM, key=lambda width: abs(width - rim)), low) if bare else low
    low = least if bare else low
    if tyre <= rim:
        verdict, says = (
            Verdict.NO,
            (
                f"The tyre ({tyre:g} mm) is no wider than the rim inside ({rim:g} mm): it comes off, or the rim hits "
                "the road."
            ),
        )
    elif low <= tyre <= high:
        verdict, says = Verdict.YES, f"{tyre:g} mm lies within {low:g} to {high:g} mm for a {code}C rim."
    elif (not bare and rim + 4 <= tyre < low) or high < tyre <= high + 5:
        verdict = Verdict.MEASURE
        says = (
            f"{tyre:g} mm lies outside {low:g} to {high:g} mm for a {code}C rim, but lists differ by edition: "
            "the rim maker's own decides."
        )
    else:
        verdict, says = Verdict.NO, f"{tyre:g} mm lies outside {low:g} to {high:g} mm for a {code}C rim."
    if bare:
        says += " Only a tyre marked for hookless rims, at no more than 5 bar (72.5 psi)."
    if abs(code - rim) > 2:
        warnings.append(f"No table value for a rim of {rim:g} mm; the nearest, {code} mm, was taken.")
    return Solution(
        {"fits": verdict, "max_pressure": most, "least_tyre": float(low), "widest_tyre": float(high)},
        says,
        tuple(warnings),
    )


def _pressure_for_load(wheel_load: Number, tyre_width: Number, surface: str, hookless: str) -> Solution:
    psi = load_pressure_psi(wheel_load / convert(1.0, "lb", "kg"), tyre_width)
    factor = {"road": 1.0, "rough": 0.9, "gravel": 0.8, "soft": 0.65}[surface]
    bar = psi * (convert(1.0, "psi", "bar") * factor)
    if nominal(bar) < 0.3:
        raise BadInput(
            "wheel_load",
            f"{nominal(wheel_load):g} kg",
            f"a load for which a tyre of {nominal(tyre_width):g} mm needs more than 0.3 bar",
        )
    says = (
        f"About {nominal(bar):.1f} bar ({nominal(bar) / 0.0689476:.0f} psi) for {nominal(wheel_load):g} kg on "
        "this wheel: a place to start from, within 10 % either way by feel."
    )
    warnings = []
    if hookless == "yes" and nominal(bar) > HOOKLESS_BAR:
        warnings.append("Over 5 bar, which a hookless rim does not bear: take a wider tyre.")
    elif nominal(bar) > _CASING_BAR_MM / nominal(tyre_width):
        warnings.append("More than such a tyre usually bears; read its mark, take a wider tyre.")
    return Solution({"pressure": bar}, says, tuple(warnings))


def _pressure(value: Number) -> Solution:
    psi, kpa = value * convert(1.0, "bar", "psi"), value * convert(1.0, "bar", "kPa")
    return Solution(
        {"bar": value, "psi": psi, "kPa": kpa},
        f"{nominal(value):.2f} bar is {nominal(psi):.1f} psi or {nominal(kpa):.0f} kPa.",
    )


def _leak(first: Number, last: Number, days: Number, first_temperature: Number, last_temperature: Number) -> Solution:
    rate = leak_bar_per_day(first, last, days, first_temperature, last_temperature)
    a_day = nominal(rate)
    if a_day < -0.01:
        says = "It gained pressure: a gauge or temperature error, not a tyre that fills itself."
    elif a_day < 0.3:
        says = "No more than tubes and tubeless tyres lose by themselves (latex more than butyl)."
    else:
        says = "A leak: valve, tape, bead or a small hole; look for bubbles under water."
    return Solution(
        {"rate": rate, "share": rate / first * 100},
        f"{a_day:.3f} bar a day, {a_day / nominal(first):.1%} of the pressure. {says}",
    )


def _size(tyre_width: Number, bead_seat: Number) -> Solution:
    diameter = tyre_diameter_mm(tyre_width, bead_seat)
    around = diameter * math.pi
    says = (
        f"About {nominal(diameter):.0f} mm across and {nominal(around):.0f} mm round; rolled under load 0.5 to "
        "1.5 % less."
    )
    return Solution({"diameter": diameter, "circumference": around}, says)


_WIDTH = Input("tyre_width", "mm", "first figure of the marking, as in 37-622", least=15, most=130, usual=(20, 75))
_HOOKLESS = Input("hookless", TEXT, "straight rim walls without a hook", choices=YES_NO, default="no")
_BURST = (
    "The lower of the limits on tyre and rim goes first; a tyre that comes off can deafen, and throws the rider.",
)

WORKINGS = (
    Working(
        name="tyre-rim",
        title="Whether a tyre's width suits a rim, and the most it may be pumped",
        inputs=(
            _WIDTH,
            Input("rim_width", "mm", "inside, between the walls", least=9, most=110, usual=(13, 27)),
            _HOOKLESS,
        ),
        results=(
            Result("fits", TEXT, "yes, no or measure this"),
            Result("max_pressure", "bar", "hookless: 5 bar; else what rims and tyres of this width usually bear"),
            Result("least_tyre", "mm", "for this rim"),
            Result("widest_tyre", "mm", "for this rim"),
        ),
        formula="table of rim codes; hookless 5 bar; else 210 bar mm / width, 9 bar at most",
        source="ETRTO tables, from memory (low; editions differ); 5 bar: ISO 5775 / ETRTO 2020-23; 210 bar mm: "
        "common practice (low)",
        solve=_tyre_rim,
        assumptions=("The bead seat (second figure, such as 622) is the same on both: without that nothing fits.",),
        cautions=_BURST,
    ),
    Working(
        name="tyre-pressure",
        title="The pressure for a load and a width",
        inputs=(
            Input(
                "wheel_load",
                "kg",
                "on this wheel: about 40 % of all in front, 60 % behind",
                least=5,
                most=300,
                usual=(20, 80),
            ),
            Input("tyre_width", "mm", "as mounted", least=15, most=130, usual=(20, 60)),
            Input("surface", TEXT, "what it rolls on", choices=("road", "rough", "gravel", "soft"), default="road"),
            _HOOKLESS,
        ),
        results=(Result("pressure", "bar", "to start from"),),
        formula="psi = 153.6 W(lb) / w(mm)^1.5785 - 7.17, for 15 % drop; rough 0.9, gravel 0.8, soft 0.65 of it",
        source="Fit to a magazine's chart, from memory (low); surface factors: common practice, no source",
        solve=_pressure_for_load,
        cautions=_BURST,
    ),
    Working(
        name="pressure",
        title="Pressure in bar, psi and kPa",
        inputs=(Input("value", "bar", "with its unit", least=0, most=500, usual=(0, 30)),),
        results=(Result("bar", "bar", ""), Result("psi", "psi", ""), Result("kPa", "kPa", "")),
        formula="1 bar = 100 kPa = 14.5038 psi",
        source="SI; 1 psi = 6.89476 kPa",
        solve=_pressure,
        cautions=("A track pump's dial is good to 3 to 5 % of its full scale.",),
    ),
    Working(
        name="leak-rate",
        title="How much a tyre loses a day, corrected for temperature",
        inputs=(
            Input("first", "bar", "first reading", least=0.1, most=30, usual=(0.5, 12)),
            Input("last", "bar", "last reading", least=0, most=30),
            Input("days", "day", "between them", least=0.001, most=1000, usual=(0.04, 60)),
            Input("first_temperature", "degC", "of the tyre", least=-40, most=80, default=20),
            Input("last_temperature", "degC", "of the tyre", least=-40, most=80, default=20),
        ),
        results=(
            Result("rate", "bar/day", "lost; negative is a gain"),
            Result("share", "%", "of the first pressure, a day"),
        ),
        formula="(p1 - ((p2 + 1.013) T1 / T2 - 1.013)) / days",
        source="Gas law; 0.3 bar a day: common practice",
        solve=_leak,
        assumptions=("Each reading lets a little air out; the volume stays the same.",),
    ),
    Working(
        name="tyre-size",
        title="Diameter and circumference from the ISO marking",
        inputs=(
            _WIDTH,
            Input("bead_seat", "mm", "second figure of the marking", least=150, most=700, usual=(203, 635)),
        ),
        results=(Result("diameter", "mm", "overall"), Result("circumference", "mm", "unloaded")),
        formula="D = bead seat + 2 h, h = width (+ 2.5 below 28 mm); circumference pi D",
        source="ISO 5775-1",
        solve=_size,
    ),
)
