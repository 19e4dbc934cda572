"""Bolts: preload from torque, torque for a preload, and how near a bolt is to its proof load."""

import math
import re
from dataclasses import dataclass

from kb.errors import BadInput
from kb.workings.base import TEXT, Input, Result, Solution, Working
from kb.workings.number import Number, nominal

__all__ = ["GRADES", "NUT_FACTOR", "WORKINGS", "Grade", "preload_n", "proof_share", "stress_area_mm2", "torque_nm"]

NUT_FACTOR = 0.2
"""K for a condition not known. Source: Shigley table 8-15, from memory."""


@dataclass(frozen=True, slots=True)
class Grade:
    """The proof stress of a strength grade."""

    name: str
    proof_mpa: float
    is_yield: bool
    """Whether the figure is the 0.2 % limit of a stainless grade rather than a proof stress."""


GRADES = {
    grade.name: grade
    for grade in (
        Grade("4.6", 225, False), Grade("5.8", 380, False), Grade("8.8", 580, False), Grade("10.9", 830, False),
        Grade("12.9", 970, False), Grade("A2-50", 210, True), Grade("A2-70", 450, True), Grade("A2-80", 600, True),
        Grade("A4-70", 450, True), Grade("A4-80", 600, True),
    )
}  # fmt: skip
"""Source: ISO 898-1 (steel), ISO 3506-1 (stainless); 4.6 and 5.8 from memory."""
_PRINTED_AREAS_MM2 = {"M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0}
"""As printed in ISO 898-1."""
_PITCHES_MM = {"3": 0.5, "4": 0.7, "5": 0.8, "6": 1.0, "7": 1.0, "8": 1.25, "10": 1.5, "12": 1.75, "14": 2.0}


def preload_n(torque_nm: Number, diameter_mm: Number, nut_factor: Number = NUT_FACTOR) -> Number:
    """Return the pull in a bolt. Source: T = K F d.

    >>> round(preload_n(5.0, 5.0, 0.2))
    5000
    """
    return torque_nm / (nut_factor * diameter_mm / 1000)


def torque_nm(preload: Number, diameter_mm: Number, nut_factor: Number = NUT_FACTOR) -> Number:
    """Return the torque for a pull. Source: T = K F d; Shigley example 8-3 (in inches: 3750 lbf in)."""
    return nut_factor * preload * diameter_mm / 1000


def stress_area_mm2(size: str) -> float:
    """Return the stress area of a metric size such as "M5" or "M8x1".

    Raises: BadInput. Source: ISO 898-1, As = pi/4 (d - 0.9382 P)^2, the printed value where there is one.

    >>> stress_area_mm2("M5"), round(stress_area_mm2("M8x1"), 1)
    (14.2, 39.2)
    """
    allowed = "a metric size from M3 to M14, such as M5, M6 or M8x1"
    match = re.fullmatch(r"[mM]\s?(\d{1,2})(?:\s?[xX×]\s?(\d(?:[.,]\d{1,2})?))?", size.strip())
    if match is None or match[1] not in _PITCHES_MM:
        raise BadInput("size", size, allowed)
    coarse = _PITCHES_MM[match[1]]
    pitch = float(match[2].replace(",", ".")) if match[2] else coarse
    if not 0.35 <= pitch <= coarse:
        raise BadInput("size", size, allowed)
    printed = _PRINTED_AREAS_MM2.get(f"M{match[1]}")
    if pitch == coarse and printed is not None:
        return printed
    return math.pi / 4 * (int(match[1]) - 0.9382 * pitch) ** 2


def proof_share(preload: Number, size: str, grade: str) -> Number:
    """Return the share of the proof load (of the 0.2 % limit for stainless) in %.

    >>> round(proof_share(5000.0, "M5", "8.8"), 1)
    60.7
    """
    return preload / (stress_area_mm2(size) * GRADES[grade].proof_mpa) * 100


def _preload(torque: Number, diameter: Number, friction: Number) -> Solution:
    pull = preload_n(torque, diameter, friction)
    low, high = (nominal(pull) * share for share in (0.7, 1.3))
    says = (
        f"The bolt pulls with about {nominal(pull):.0f} N. By a torque wrench that is good to 25 or 30 %, so "
        "anything from "
        f"{low:.0f} to {high:.0f} N."
    )
    return Solution({"preload": pull}, says)


def _torque(preload: Number, diameter: Number, friction: Number) -> Solution:
    torque = torque_nm(preload, diameter, friction)
    says = (
        f"About {nominal(torque):.2f} N·m; greased threads (K 0.15) reach the same pull at "
        f"{nominal(torque) * 0.15 / nominal(friction):.2f} N·m."
    )
    return Solution({"torque": torque}, says)


def _share(preload: Number, size: str, grade: str) -> Solution:
    share = proof_share(preload, size, grade)
    percent = nominal(share)
    limit = "0.2 % limit" if GRADES[grade].is_yield else "proof load"
    if percent > 100:
        says = f"{percent:.0f} % of the {limit}: the bolt stretches for good. Less torque, or dry threads as marked."
    elif percent > 90:
        says = f"{percent:.0f} % of the {limit}: no margin for a wrench that reads 30 % out."
    elif percent > 75:
        says = f"{percent:.0f} % of the {limit}: more than a bolt that is undone again should have (75 %)."
    else:
        says = f"{percent:.0f} % of the {limit}: within the 75 % usual for a bolt that is undone again."
    warnings = ("Over 77 %, a torque wrench 30 % out passes the limit.",) if 77 < percent <= 100 else ()
    return Solution({"share": share}, says, warnings)


_DIAMETER = Input("diameter", "mm", "nominal diameter of the thread", least=2, most=25, usual=(3, 20))
_FRICTION = Input("friction", "1", "nut factor K: greased 0.15, dry zinc or not known 0.2, stainless on stainless "
    "0.3 and more",
                  least=0.05, most=0.6, usual=(0.1, 0.4), default=NUT_FACTOR)  # fmt: skip
_TIGHT = (
    "Never past the torque marked on the part, least of all on carbon; greased threads pull harder at the same torque.",
)

WORKINGS = (
    Working(
        name="bolt-preload",
        title="How hard a bolt pulls at a torque",
        inputs=(Input("torque", "N*m", "on the wrench", least=0.05, most=300, usual=(1, 80)), _DIAMETER, _FRICTION),
        results=(Result("preload", "N", "pull in the bolt"),),
        formula="F = T / (K d)",
        source="Shigley, T = K F d and table 8-15 (from memory); scatter: VDI 2230, practice",
        solve=_preload,
        cautions=_TIGHT,
    ),
    Working(
        name="bolt-torque",
        title="The torque for a wanted pull in a bolt",
        inputs=(Input("preload", "N", "wanted pull", least=10, most=200000, usual=(500, 60000)), _DIAMETER, _FRICTION),
        results=(Result("torque", "N*m", "on the wrench"),),
        formula="T = K F d",
        source="Shigley, example 8-3 (from memory)",
        solve=_torque,
        cautions=_TIGHT,
    ),
    Working(
        name="bolt-proof-share",
        title="How near a bolt is to its proof load",
        inputs=(
            Input("preload", "N", "pull in the bolt", least=1, most=300000),
            Input("size", TEXT, "metric size, M3 to M14, as in M5 or M8x1"),
            Input(
                "grade",
                TEXT,
                "marked on the head",
                choices=tuple(GRADES),
                also={"a250": "A2-50", "a270": "A2-70", "a280": "A2-80", "a470": "A4-70", "a480": "A4-80"},
            ),
        ),
        results=(Result("share", "%", "of the proof load; of the 0.2 % limit for stainless"),),
        formula="share = F / (As Sp), As = pi/4 (d - 0.9382 P)^2",
        source="ISO 898-1 (areas, proof stresses), ISO 3506-1 (stainless)",
        solve=_share,
        assumptions=("Pull only; the twist while tightening adds to it, by about a quarter.",),
        cautions=_TIGHT,
    ),
)
