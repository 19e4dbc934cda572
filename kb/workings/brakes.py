"""Braking: distance, load transfer, heat, boiling, lever travel and what is left of a rim's wall."""

from dataclasses import dataclass

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Working
from kb.workings.clamps import GRAVITY
from kb.workings.number import Number, atan, nominal, sin

__all__ = ["FLUIDS", "WORKINGS", "Fluid", "descent_power_w", "potential_energy_j", "stopping_distance_m"]


@dataclass(frozen=True, slots=True)
class Fluid:
    """Least boiling points of a brake fluid, fresh and with 3.7 % of water."""

    name: str
    dry_c: float
    wet_c: float


FLUIDS = {
    fluid.name: fluid
    for fluid in (Fluid("dot3", 205, 140), Fluid("dot4", 230, 155), Fluid("dot5", 260, 180), Fluid("dot5.1", 260, 180))
}
"""Source: FMVSS 116 (49 CFR 571.116)."""


def stopping_distance_m(speed_kmh: Number, deceleration: Number) -> Number:
    """Return the distance from brakes on to standstill. Source: v^2 / (2 a).

    >>> round(stopping_distance_m(25.0, 3.44), 1)
    7.0
    """
    return (speed_kmh / 3.6) ** 2 / (2 * deceleration)


def potential_energy_j(mass_kg: Number, height_m: Number) -> Number:
    """Return the energy of a descent. Source: m g h.

    >>> round(potential_energy_j(100.0, 300.0) / 1000, 1)
    294.2
    """
    return mass_kg * GRAVITY * height_m


def descent_power_w(mass_kg: Number, speed_kmh: Number, gradient_percent: Number) -> Number:
    """Return the power to hold a speed downhill. Source: m g sin(atan grade) v.

    >>> round(descent_power_w(100.0, 30.0, 10.0))
    813
    """
    return mass_kg * GRAVITY * sin(atan(gradient_percent / 100)) * speed_kmh / 3.6


def _stopping(speed: Number, deceleration: Number) -> Solution:
    distance = stopping_distance_m(speed, deceleration)
    g = nominal(deceleration) / GRAVITY
    says = (
        f"{nominal(distance):.1f} m from brakes on to standstill, at {g:.2f} g; a second of reaction adds "
        f"{nominal(speed) / 3.6:.1f} m."
    )
    warnings = []
    if g > 0.6:
        warnings.append("Over about 0.6 g a rider on an upright bike goes over the bars, or the tyre slides.")
    if g < 0.16:
        warnings.append("Weaker than the rules ask of a rear brake alone in the dry (about 0.16 g).")
    return Solution({"distance": distance}, says, tuple(warnings))


def _transfer(mass: Number, deceleration: Number, height: Number, wheelbase: Number, front_share: Number) -> Solution:
    moved = mass * deceleration * height / wheelbase
    front = mass * GRAVITY * front_share / 100 + moved
    rear = mass * GRAVITY - front
    limit = (1 - front_share / 100) * wheelbase / height
    says = (
        f"{nominal(moved):.0f} N move to the front wheel: it carries {nominal(front) / nominal(mass * GRAVITY):.0%} "
        "then. "
        f"The rear wheel lifts at {nominal(limit):.2f} g."
    )
    lifts = ("The rear wheel is off the ground at this deceleration.",) if nominal(rear) <= 0 else ()
    return Solution({"front_load": front, "rear_load": rear, "lift_at": limit}, says, lifts)


def _rotor_heat(mass: Number, height: Number, share: Number, rotor_mass: Number, specific_heat: Number) -> Solution:
    energy = potential_energy_j(mass, height) * share / 100
    rise = energy / (rotor_mass / 1000 * specific_heat)
    kelvin = nominal(rise)
    says = (
        f"{nominal(energy) / 1000:.1f} kJ go into this rotor; if it kept all of it, it would be {kelvin:.0f} K hotter."
    )
    warnings = []
    if kelvin > 300:
        warnings.append(
            f"{kelvin:.0f} K is an upper bound without cooling, which no real rotor reaches: it says only that "
            "cooling decides. "
            "Brake in turns, let both brakes share, stop before they fade."
        )
    if nominal(share) > 99.9 and kelvin > 100:
        warnings.append("One brake takes all here; with both in use give a share of 50 to 60 % for the front.")
    return Solution({"energy": energy, "rise": rise}, says, tuple(warnings))


def _boil(
    mass: Number,
    speed: Number,
    gradient: Number,
    share: Number,
    rotor_mass: Number,
    specific_heat: Number,
    ambient: Number,
    fluid: str,
) -> Solution:
    power = descent_power_w(mass, speed, gradient) * share / 100
    store = rotor_mass / 1000 * specific_heat
    kind = FLUIDS[fluid]
    dry, wet = (store * (boiling - ambient) / power for boiling in (kind.dry_c, kind.wet_c))
    says = (
        f"{nominal(power):.0f} W heat the rotor; without cooling it reaches the fluid's dry boiling point "
        f"({kind.dry_c:g} °C) "
        f"in {nominal(dry):.0f} s and the wet one ({kind.wet_c:g} °C) in {nominal(wet):.0f} s. The fluid lags "
        "behind the "
        "rotor and air cools it: a lower bound, and a warning to brake in turns."
    )
    return Solution({"power": power, "dry": dry, "wet": wet}, says)


def _lever(pad_gap: Number, ratio: Number, reach: Number, free: Number) -> Solution:
    travel = pad_gap * ratio + free
    if nominal(travel) > 3 * nominal(reach):
        raise BadInput("pad_gap", f"{nominal(pad_gap):g} mm", "a gap for which the lever's travel stays near its reach")
    left = reach - travel
    says = (
        f"The lever moves {nominal(travel):.1f} mm before the pads touch and stands {nominal(left):.1f} mm off the bar."
    )
    short = (
        ("Under 20 mm are left: the lever may reach the bar before the brake bites. Do not ride.",)
        if nominal(left) < 20
        else ()
    )
    return Solution({"travel": travel, "left": left}, says, short)


def _rim_wall(new_wall: Number, wall: Number, distance: Number, limit: Number) -> Solution:
    if nominal(wall) > nominal(new_wall):
        raise BadInput("wall", f"{nominal(wall):g} mm", f"no more than the new wall, {nominal(new_wall):g} mm")
    worn = new_wall - wall
    if nominal(wall) <= nominal(limit):
        return Solution(
            {"left": 0.0},
            "The wall is at its limit: do not ride, it can burst under the tyre's pressure.",
            ("Replace the rim now.",),
        )
    if nominal(worn) < 0.05:
        raise BadInput(
            "wall", f"{nominal(wall):g} mm", "at least 0.05 mm less than new; so little wear carries no forecast"
        )
    left = distance * (wall - limit) / worn
    says = (
        f"{nominal(worn):.2f} mm are gone; at the same rate about {nominal(left):.0f} km are left to "
        f"{nominal(limit):g} mm. Measure again half way."
    )
    return Solution({"left": left}, says)


_MASS = Input("mass", "kg", "rider, bike and load", least=5, most=500, usual=(30, 200))
_SHARE = Input(
    "share",
    "%",
    "of the braking that this rotor does; both brakes in use: front 50 to 70",
    least=0.1,
    most=100,
    default=100,
)
_ROTOR = Input("rotor_mass", "g", "of the disc, without its carrier", least=20, most=2000, usual=(70, 300))
_HEAT = Input(
    "specific_heat", "J/(kg*K)", "stainless steel 460 to 500", least=100, most=2000, usual=(400, 1000), default=490
)
_HOT = ("A hot rotor burns skin, and glazed pads or boiled fluid mean no brake: stop and let it cool before that.",)

WORKINGS = (
    Working(
        name="stopping-distance",
        title="The distance a bike needs to stop",
        inputs=(
            Input("speed", "km/h", "when the brakes bite", least=0.5, most=150, usual=(5, 80)),
            Input("deceleration", "m/s^2", "mean; 0.5 g is 4.9", least=0.05, most=15, usual=(0.8, 6.5)),
        ),
        results=(Result("distance", "m", "brakes on to standstill"),),
        formula="s = v^2 / (2 a)",
        source="Textbook; 16 CFR 1512.5 asks 4.57 m from 24 km/h, 0.50 g",
        solve=_stopping,
        assumptions=("Level, dry road, even deceleration, no reaction time.",),
    ),
    Working(
        name="load-transfer",
        title="How the load moves to the front wheel in braking",
        inputs=(
            _MASS,
            Input("deceleration", "m/s^2", "mean", least=0, most=15, usual=(0, 7)),
            Input("height", "mm", "centre of gravity above the road", least=200, most=2000, usual=(700, 1400)),
            Input("wheelbase", "mm", "axle to axle", least=400, most=3000, usual=(900, 2000)),
            Input("front_share", "%", "of the weight on the front wheel at rest", least=0, most=100, default=40),
        ),
        results=(
            Result("front_load", "N", "on the front wheel"),
            Result("rear_load", "N", "on the rear wheel; negative means it lifts"),
            Result("lift_at", "1", "deceleration in g at which the rear wheel lifts"),
        ),
        formula="front = m g s + m a h / L; lifts at a/g = (1 - s) L / h",
        source="Statics",
        solve=_transfer,
        assumptions=("Rider rigid on the bike, level road, suspension not diving.",),
    ),
    Working(
        name="rotor-heat",
        title="How hot a descent makes a rotor",
        inputs=(
            _MASS,
            Input("height", "m", "descended on the brakes", least=0.1, most=5000, usual=(1, 2000)),
            _SHARE,
            _ROTOR,
            _HEAT,
        ),
        results=(Result("energy", "J", "into this rotor"), Result("rise", "K", "of its temperature, without cooling")),
        formula="E = m g h x share; rise = E / (m_rotor c)",
        source="Textbook, Q = m c dT; g = 9.80665",
        solve=_rotor_heat,
        assumptions=("No cooling and no drag: the upper bound, near the truth only for a stop of some seconds.",),
        cautions=_HOT,
    ),
    Working(
        name="boil-time",
        title="The time to the boiling point of the brake fluid",
        inputs=(
            _MASS,
            Input("speed", "km/h", "held by braking", least=1, most=120, usual=(5, 60)),
            Input("gradient", "%", "of the road", least=0.5, most=60, usual=(2, 30)),
            _SHARE,
            _ROTOR,
            _HEAT,
            Input("ambient", "degC", "at the start", least=-30, most=60, default=20),
            Input(
                "fluid",
                TEXT,
                "as marked on the lever",
                choices=tuple(FLUIDS),
                also={"dot 3": "dot3", "dot 4": "dot4", "dot 5": "dot5", "dot 5.1": "dot5.1"},
                default="dot4",
            ),
        ),
        results=(
            Result("power", "W", "into this rotor"),
            Result("dry", "s", "to the dry boiling point"),
            Result("wet", "s", "to the wet boiling point"),
        ),
        formula="P = m g sin(atan grade) v x share; t = m_rotor c (T_boil - T) / P",
        source="Textbook; boiling points: FMVSS 116 (49 CFR 571.116)",
        solve=_boil,
        assumptions=("No cooling, and the fluid as hot as the rotor: a lower bound of the time.",),
        cautions=_HOT,
    ),
    Working(
        name="lever-travel",
        title="How far the lever moves before the pads touch",
        inputs=(
            Input("pad_gap", "mm", "one side", least=0.01, most=20, usual=(0.1, 3)),
            Input("ratio", "1", "lever travel at the finger over pad travel", least=1, most=200, usual=(4, 60)),
            Input("reach", "mm", "lever to bar at rest", least=20, most=120, usual=(40, 89)),
            Input("free", "mm", "dead travel of the lever before anything moves", least=0, most=60, default=0),
        ),
        results=(Result("travel", "mm", "at the finger"), Result("left", "mm", "to the bar when the pads touch")),
        formula="travel = gap x ratio + free; left = reach - travel",
        source="Kinematics; reach at most 89 mm: 16 CFR 1512.5; 20 mm left: common practice",
        solve=_lever,
        cautions=("A lever that reaches the bar is no brake: do not ride.",),
    ),
    Working(
        name="rim-wall-life",
        title="What is left of a rim worn by brake blocks",
        inputs=(
            Input("new_wall", "mm", "wall when new", least=0.5, most=5, usual=(1, 2.5)),
            Input("wall", "mm", "wall now, at its thinnest", least=0.05, most=5),
            Input("distance", "km", "ridden so far", least=1, most=200000),
            Input("limit", "mm", "wall at which it is replaced", least=0.3, most=3, default=0.9),
        ),
        results=(Result("left", "km", "to the limit"),),
        formula="left = distance x (wall - limit) / (new wall - wall)",
        source="Wear in proportion to distance; limit about 0.9 mm: common practice, from memory (low)",
        solve=_rim_wall,
        cautions=("A rim at its limit can burst: no riding. The wear mark on the rim goes first.",),
    ),
)
