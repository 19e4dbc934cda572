"""Carrying: what a fork-mount carrier does to the fork ends, against what they see in riding."""

from kb.workings.base import Input, Result, Solution, Working
from kb.workings.clamps import GRAVITY
from kb.workings.number import Number, nominal

__all__ = ["WORKINGS", "side_wind_n"]

_AIR_KG_M3 = 1.2
_DRAG = 1.2


def side_wind_n(speed_kmh: Number, area_m2: Number) -> Number:
    """Return the force of a wind square to the bike. Source: 1/2 rho Cd A v^2, rho 1.2, Cd 1.2.

    >>> round(side_wind_n(36.0, 0.5), 1)
    36.0
    """
    return 0.5 * _AIR_KG_M3 * _DRAG * area_m2 * (speed_kmh / 3.6) ** 2


def _carrier(
    mass: Number,
    deceleration: Number,
    height: Number,
    wheelbase: Number,
    wind: Number,
    area: Number,
    hub_width: Number,
    rider: Number,
) -> Solution:
    braking = mass * deceleration
    pitch = braking * height / 1000 / (wheelbase / 1000)
    side = side_wind_n(wind, area)
    rolling = side * height / 1000
    end = rolling / (hub_width / 1000)
    riding = rider * GRAVITY * 0.5
    share = end / riding * 100
    says = (
        f"Braking pushes the fork ends with {nominal(braking):.0f} N and the bike's pitch presses on them with "
        f"{nominal(pitch):.0f} N; "
        f"the side wind ({nominal(side):.0f} N) tips the bike and pulls one end up and the other down with "
        f"{nominal(end):.0f} N, "
        f"{nominal(share):.0f} % of the {nominal(riding):.0f} N each end bears in hard braking on the road, but "
        "square to the direction it is built for."
    )
    warnings = []
    if nominal(share) > 100:
        warnings.append(
            "The wind loads one fork end more than hard braking does: strap the rear wheel and frame, slow down, or "
            "carry it by the wheels."
        )
    return Solution(
        {
            "braking_force": braking,
            "pitch_load": pitch,
            "side_force": side,
            "side_moment": rolling,
            "end_load": end,
            "share": share,
        },
        says,
        tuple(warnings),
    )


WORKINGS = (
    Working(
        name="carrier-load",
        title="What a fork-mount carrier does to the fork ends",
        inputs=(
            Input("mass", "kg", "of the bike", least=2, most=60, usual=(6, 30)),
            Input("deceleration", "m/s^2", "of the car", least=0, most=15, default=8),
            Input(
                "height", "mm", "of the bike's centre of gravity above the fork ends", least=0, most=1500, default=350
            ),
            Input("wheelbase", "mm", "fork ends to the strap at the rear wheel", least=500, most=2500, default=1000),
            Input("wind", "km/h", "across the bike", least=0, most=250, usual=(0, 150), default=60),
            Input("area", "m^2", "of the bike from the side", least=0.05, most=3, default=0.4),
            Input("hub_width", "mm", "between the fork ends", least=60, most=200, default=100),
            Input("rider", "kg", "rider and bike, for the comparison", least=20, most=300, default=85),
        ),
        results=(
            Result("braking_force", "N", "on both ends, along the car"),
            Result("pitch_load", "N", "on both ends, from the bike's wish to turn over"),
            Result("side_force", "N", "of the wind"),
            Result("side_moment", "N*m", "about the fork ends"),
            Result("end_load", "N", "on one end, from that moment"),
            Result("share", "%", "of what an end bears in braking on the road"),
        ),
        formula="F = m a; pitch = m a h / L; wind 1/2 rho Cd A v^2; end = wind x h / hub width; riding: all the "
        "weight on two ends",
        source="Statics; rho 1.2, Cd 1.2: textbook; area 0.4 m^2: estimate, no source",
        solve=_carrier,
        assumptions=(
            "The worst case: the rear strap holds nothing sideways. Gusts and bad roads come on top.",
            "In riding all the weight stands on the front wheel for a moment, half on each end.",
        ),
        cautions=(
            (
                "Carbon fork ends are not made for side loads: read the fork's leaflet before a fork-mount carrier is "
                "used."
            ),
        ),
    ),
)
