"""Makes articles, checks and whole folders of articles for tests; every value can be changed by keyword."""

from pathlib import Path
from typing import Any

import yaml

from kb.library.models import Library
from kb.library.load import load_library


def article_fields(**changes: Any) -> dict[str, Any]:
    fields: dict[str, Any] = {
        "title": "Chain worn",
        "kind": "fault",
        "prevalence": "common",
        "ride": "ride-gently",
        "parts": ["chain"],
        "symptoms": [
            "chain jumps under load",
            "skips when I push hard",
            "slips on the middle sprockets",
            "chain rides up on the teeth",
            "gear lets go on climbs",
            "old chain and it jumps",
        ],
        "checks": [
            {"check": "chain-length", "shows": {"short": 0.1, "long": 0.9}},
            {"check": "teeth", "shows": {"even": 0.8, "hooked": 0.2}},
        ],
        "fix": {
            "steps": ["Fit a new chain."],
            "tools": ["chain tool"],
            "minutes": 20,
            "skill": "home",
            "parts": ["chain"],
            "torque": [{"bolt": "lockring", "min": 35, "max": 50, "unit": "N*m"}],
        },
        "cautions": ["A chain that jumps can throw you off."],
        "never": [{"says": "Turn the worn chain round.", "because": "It stays worn."}],
        "working": None,
        "see": [],
        "sources": [{"title": "common workshop practice", "kind": "common-practice", "note": "all figures"}],
    }
    return fields | changes


def check_fields(**changes: Any) -> dict[str, Any]:
    fields: dict[str, Any] = {
        "what": "look at the sprocket teeth",
        "outcomes": {"even": "even", "hooked": "hooked"},
        "named": ["sprocket teeth"],
        "ask": "Are the teeth even or hooked?",
        "how": ["Look at them."],
        "tool": "none",
        "minutes": 1,
        "skill": "rider",
        "usual": {"even": 0.9, "hooked": 0.1},
        "said": {
            "even": ["teeth are even", "teeth look fine", "no hooked teeth", "sprockets not worn"],
            "hooked": ["teeth are hooked", "sprockets hooked", "shark fin teeth", "teeth are pointed"],
        },
        "working": None,
        "variants": [],
        "caution": None,
    }
    return fields | changes


def measured_fields(**changes: Any) -> dict[str, Any]:
    return (
        check_fields(
            what="chain elongation",
            unit="%",
            outcomes={"short": [None, 0.5], "long": [0.5, None]},
            named=["chain wear", "chain stretch", "chain"],
            ask="How far has the chain stretched?",
            usual={"short": 0.8, "long": 0.2},
            said={
                "short": ["chain within limits", "chain not worn", "chain not stretched", "chain measures fine"],
                "long": ["chain is stretched", "chain is worn out", "gauge drops right in", "chain past its limit"],
            },
            resolution=0.05,
            plausible=[0, 5],
        )
        | changes
    )


SMALL_LEXICON: dict[str, dict[str, Any]] = {
    "chain": {"kind": "part", "words": ["chain"], "misspelt": ["chian"]},
    "sprocket": {"kind": "part", "words": ["sprocket", "cog"], "broader": ["cassette"]},
    "cassette": {"kind": "part", "words": ["cassette"], "uk": ["block"]},
    "rotor": {"kind": "part", "words": ["rotor", "disc"], "us": ["disk"]},
    "handlebar": {"kind": "part", "words": ["handlebar", "bar"]},
    "stem": {"kind": "part", "words": ["stem"]},
    "valve": {"kind": "part", "words": ["valve", "stem"], "company": {"stem": ["tube", "air", "pump"]}},
    "saddle": {"kind": "part", "words": ["saddle"], "us": ["seat"]},
    "creak": {"kind": "sound", "words": ["creak", "squeak"]},
    "slip": {"kind": "motion", "words": ["slip", "skip", "jump"]},
}


def write_folder(
    folder: Path,
    articles: dict[str, dict[str, Any]],
    checks: dict[str, dict[str, Any]],
    lexicon: dict[str, dict[str, Any]] | None = None,
    complaints: list[dict[str, Any]] | None = None,
    statements: dict[str, dict[str, list[str]]] | None = None,
) -> Path:
    """Write a folder of articles ("system/id" -> fields) as the loader expects it."""
    for name, fields in articles.items():
        path = folder / f"{name}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"---\n{_dump(fields)}---\nIt is worn.\n", encoding="utf-8")
    for name, content in (
        ("checks/all.yaml", checks),
        ("lexicon.yaml", SMALL_LEXICON if lexicon is None else lexicon),
        ("complaints/all.yaml", complaints or []),
        ("statements/all.yaml", statements or {}),
    ):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(_dump(content), encoding="utf-8")
    return folder


def small_articles() -> dict[str, dict[str, Any]]:
    """Five articles made for the purpose."""

    def symptoms(*texts: str) -> list[str]:
        return list(texts)

    return {
        "drivetrain/chain-worn": article_fields(see=["cassette-worn"]),
        "drivetrain/cassette-worn": article_fields(
            title="Sprockets worn to hooks",
            parts=["cassette", "sprocket"],
            symptoms=symptoms(
                "new chain slips on old cogs",
                "skips in the gears I use most since the new chain",
                "hooked cogs at the back",
                "jumps on one sprocket only",
                "new chain jumps on the middle sprockets",
                "cogs look like shark fins",
            ),
            checks=[
                {"check": "chain-length", "shows": {"short": 0.9, "long": 0.1}},
                {"check": "teeth", "shows": {"even": 0.05, "hooked": 0.95}},
            ],
        ),
        "brakes/rotor-bent": article_fields(
            title="Rotor out of true",
            parts=["rotor"],
            symptoms=symptoms(
                "disc rubs once each wheel turn",
                "rotor wobbles in the caliper",
                "zing zing from the brake",
                "rotor got bent in the car",
                "rubbing noise that speeds up with the wheel",
                "disc touches the pad on one spot",
            ),
            ride="ride-on",
            cautions=[],
        ),
        "steering/bar-slip": article_fields(
            title="Handlebar rotates in the stem",
            parts=["handlebar", "stem"],
            symptoms=symptoms(
                "bar turns in the stem over kerbs",
                "handlebar rolls forward when I hit a bump",
                "levers point down after a pothole",
                "bar twists when I pull on it",
                "handlebar will not stay put",
                "grips move round with the bar",
            ),
            ride="do-not-ride",
        ),
        "seating/saddle-creak": article_fields(
            title="Saddle rails creak",
            parts=["saddle"],
            symptoms=symptoms(
                "saddle creaks when I pedal seated",
                "squeak from the seat at each pedal stroke",
                "noise stops when I stand up",
                "creaking under me on climbs",
                "saddle squeaks on bumps",
                "ticking from the rails",
            ),
            ride="ride-on",
        ),
    }


def small_folder(folder: Path) -> Path:
    """Write the small library: five articles, two checks, ten concepts, no labelled complaints."""
    return write_folder(folder, small_articles(), {"chain-length": measured_fields(), "teeth": check_fields()})


def load_small(folder: Path) -> Library:
    return load_library(small_folder(folder))


def _dump(content: Any) -> str:
    return yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=1000)
