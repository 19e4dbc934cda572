"""Suspension: sag, the pressure or spring for it."""

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Working
from kb.workings.clamps import GRAVITY
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS", "coil_rate_n_mm", "sag_pressure_bar", "sag_share"]

_USUAL = {"fork": (15, 30), "shock": (20, 35)}
"""Sag in % that counts as right; the maker's chart goes first. Common practice."""
_STEEL_SHEAR_MPA = 79_300.0
"""Shear modulus of spring steel; handbook, from memory."""


def sag_share(travel_mm: Number, sag_mm: Number) -> Number:
    """Return the sag in % of the travel.

    >>> sag_share(120.0, 30.0)
    25.0
    """
    return sag_mm / travel_mm * 100


def sag_pressure_bar(pressure_bar: Number, sag_percent: Number, wanted_percent: Number) -> Number:
    """Return the pressure for another sag, the same rider on the same air spring.

    Source: a linear spring, stiffness in proportion to absolute pressure; F = (p + p0) k s with F the same.

    >>> round(sag_pressure_bar(5.0, 30.0, 25.0), 2)
    6.2
    """
    return (pressure_bar + 1.01325) * sag_percent / wanted_percent - 1.01325


def coil_rate_n_mm(wire_mm: Number, mean_diameter_mm: Number, coils: Number) -> Number:
    """Return the rate of a steel coil spring. Source: Shigley, k = G d^4 / (8 D^3 n), G = 79.3 GPa.

    >>> round(coil_rate_n_mm(10.0, 50.0, 8.0), 1)
    99.1
    """
    return _STEEL_SHEAR_MPA * wire_mm**4 / (8 * mean_diameter_mm**3 * coils)


def _sag(travel: Number, sag: Number, kind: str) -> Solution:
    if nominal(sag) > nominal(travel):
        raise BadInput("sag", f"{nominal(sag):g} mm", f"no more than the travel, {nominal(travel):g} mm")
    share = sag_share(travel, sag)
    low, high = _USUAL[kind]
    percent = nominal(share)
    if percent < low:
        says = "little: less air or a softer spring; it rides hard and loses grip."
    elif percent > high:
        says = "much: more air or a harder spring; it wallows and bottoms."
    else:
        says = "about right."
    return Solution({"share": share}, f"{percent:.0f} % of the travel, where {low} to {high} % is usual: {says}")


def _sag_pressure(pressure: Number, sag: Number, wanted: Number) -> Solution:
    new = sag_pressure_bar(pressure, sag, wanted)
    if nominal(new) <= 0.05:
        raise BadInput("wanted", f"{nominal(wanted):g} %", "a sag this spring reaches with air in it")
    says = (
        f"Try {nominal(new):.1f} bar ({nominal(new) / 0.0689476:.0f} psi), then measure the sag again: air "
        "springs are only roughly linear."
    )
    far = (
        ("More than a third away from the pressure now: go there in two steps.",)
        if abs(nominal(new / pressure) - 1) > 0.34
        else ()
    )
    return Solution({"pressure": new}, says, far)


def _spring(load: Number, compression: Number, leverage: Number) -> Solution:
    rate = load * GRAVITY * leverage / compression
    per_inch = nominal(rate) / 0.1751268
    says = f"{nominal(rate):.0f} N/mm ({per_inch:.0f} lb/in). Springs come in steps of 25 lb/in; take the nearest."
    return Solution({"rate": rate}, says)


def _coil(wire: Number, mean_diameter: Number, coils: Number) -> Solution:
    index = nominal(mean_diameter) / nominal(wire)
    if index < 2:
        raise BadInput("mean_diameter", f"{nominal(mean_diameter):g} mm", "at least twice the wire")
    rate = coil_rate_n_mm(wire, mean_diameter, coils)
    says = f"{nominal(rate):.1f} N/mm; a tenth of a millimetre of wire changes it by {0.4 / nominal(wire) * 100:.1f} %."
    odd = ("Springs usually have a coil 4 to 12 times as wide as the wire.",) if not 4 <= index <= 12 else ()
    return Solution({"rate": rate}, says, odd)


_SHOCK = ("Stay at or below the pressure printed on the spring; open no part under air.",)

WORKINGS = (
    Working(
        name="sag",
        title="Sag as a share of the travel",
        inputs=(
            Input("travel", "mm", "of the fork, or stroke of the shock", least=5, most=400, usual=(30, 230)),
            Input("sag", "mm", "with the rider aboard", least=0, most=400),
            Input("kind", TEXT, "fork or shock", choices=tuple(_USUAL), default="fork"),
        ),
        results=(Result("share", "%", "of the travel"),),
        formula="sag / travel",
        source="Common practice: forks 15 to 30 %, shocks 20 to 35 %",
        solve=_sag,
        cautions=_SHOCK,
    ),
    Working(
        name="sag-pressure",
        title="The air pressure for a wanted sag",
        inputs=(
            Input("pressure", "bar", "now", least=0.5, most=40, usual=(2, 25)),
            Input("sag", "%", "now", least=1, most=90, usual=(10, 50)),
            Input("wanted", "%", "sag", least=1, most=90, usual=(12, 40)),
        ),
        results=(Result("pressure", "bar", "to try"),),
        formula="(p + 1.013) s / s_wanted - 1.013",
        source="Linear air spring, absolute pressure; a first guess, no source",
        solve=_sag_pressure,
        cautions=_SHOCK,
    ),
    Working(
        name="spring-rate",
        title="The coil spring for a load and a sag",
        inputs=(
            Input("load", "kg", "on this end of the bike", least=1, most=300, usual=(20, 120)),
            Input("compression", "mm", "of the spring at the wanted sag", least=0.5, most=300, usual=(5, 80)),
            Input(
                "leverage",
                "1",
                "wheel travel over shock stroke; 1 for a fork",
                least=0.3,
                most=6,
                usual=(0.8, 3.5),
                default=1,
            ),
        ),
        results=(Result("rate", "N/mm", "of the spring"),),
        formula="k = m g x leverage / compression",
        source="Statics; 1 lb/in = 0.1751 N/mm",
        solve=_spring,
        assumptions=("No preload, constant leverage.",),
    ),
    Working(
        name="coil-rate",
        title="The rate of a coil spring from its wire",
        inputs=(
            Input("wire", "mm", "diameter", least=0.2, most=30, usual=(1, 16)),
            Input("mean_diameter", "mm", "of the coil, middle of the wire", least=1, most=300),
            Input("coils", "1", "that move", least=1, most=100, usual=(2, 40)),
        ),
        results=(Result("rate", "N/mm", "of the spring"),),
        formula="k = G d^4 / (8 D^3 n), G = 79.3 GPa",
        source="Shigley, helical springs; modulus from memory",
        solve=_coil,
        assumptions=("Steel wire.",),
    ),
)
