"""Readings and the gain of checks: published figures, and every case of random small models counted out.

Sources: play tennis and weather: Quinlan 1986, "Induction of decision trees", as used by Mitchell and by Witten & Frank
(read second-hand; gains recomputed); disease tests: Eddy 1982 and Gigerenzer (from memory, recomputed), textbook
problems (read), OpenMarkov tutorial (read); oil wildcatter: Raiffa's tables (read), gain recomputed; 12 balls and the
submarine: MacKay, Information Theory, Inference, and Learning Algorithms, ex. 4.1 and ch. 4 (from memory, recomputed);
entropies: Cover & Thomas, Elements of Information Theory, ch. 1 and 2 (from memory, exact).
"""

import math
from collections.abc import Mapping, Sequence
from itertools import permutations, product
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from kb.diagnosis.beliefs import Likelihoods, entropy_bits, make_likelihoods, update
from kb.diagnosis.next_check import gains_bits
from kb.diagnosis.readings import Reading, likelihood_of, make_reading, outcome_shares
from kb.errors import ImpossibleReading
from kb.library.load import articles_folder, load_library
from kb.library.models import (
    Article,
    Band,
    CauseId,
    Check,
    CheckId,
    CheckShows,
    Kind,
    Library,
    Prevalence,
    Ride,
    Skill,
)

Table = Mapping[str, Sequence[float]]
"""Outcome -> P(outcome | cause) for each cause in order."""


def _article(number: int, checks: Mapping[str, Table]) -> Article:
    shows = tuple(
        CheckShows(CheckId(id), {outcome: row[number] for outcome, row in table.items()})
        for id, table in checks.items()
    )
    return Article(
        id=CauseId(f"cause-{number:02}"), system="made", title="", kind=Kind.FAULT, prevalence=Prevalence.COMMON,
        ride=Ride.RIDE_ON, parts=(), symptoms=(), checks=shows, fix=None, cautions=(), never=(), working=None, see=(),
        sources=(), body="",
    )  # fmt: skip


def _check(id: str, outcomes: Sequence[str], bands: Mapping[str, Band] | None = None, u: float | None = None) -> Check:
    return Check(
        id=CheckId(id), what="", outcomes=tuple(outcomes), phrases=dict.fromkeys(outcomes, ""), ask="", how=(), tool="",
        minutes=1, skill=Skill.RIDER, usual=dict.fromkeys(outcomes, 1 / len(outcomes)),
        said=dict.fromkeys(outcomes, ()), named=(), unit="mm" if bands else None, bands=bands, resolution=u,
    )  # fmt: skip


def _model(causes: int, checks: Mapping[str, Table]) -> tuple[Library, Likelihoods]:
    articles = [_article(number, checks) for number in range(causes)]
    library = Library(
        articles={article.id: article for article in articles},
        checks={CheckId(id): _check(id, tuple(table)) for id, table in checks.items()},
        lexicon={},
        complaints=(),
    )
    return library, make_likelihoods(library)


def _prior(*shares: float) -> NDArray[np.float64]:
    """Return the shares of the causes with nothing for "none of ours"."""
    return np.array([*shares, 0.0])


def _read(
    prior: NDArray[np.float64], likelihoods: Likelihoods, library: Library, **outcomes: str
) -> NDArray[np.float64]:
    for id, outcome in outcomes.items():
        check = library.checks[CheckId(id)]
        shares = outcome_shares(check, make_reading(check, outcome))
        prior = update(prior, likelihood_of(shares, likelihoods.of(check.id)))
    return prior


# Published posteriors

PLAY = _prior(9 / 14, 5 / 14)
WEATHER: dict[str, Table] = {
    "outlook": {"sunny": (2 / 9, 3 / 5), "overcast": (4 / 9, 0), "rain": (3 / 9, 2 / 5)},
    "temperature": {"hot": (2 / 9, 2 / 5), "mild": (4 / 9, 2 / 5), "cool": (3 / 9, 1 / 5)},
    "humidity": {"high": (3 / 9, 4 / 5), "normal": (6 / 9, 1 / 5)},
    "windy": {"strong": (3 / 9, 3 / 5), "weak": (6 / 9, 2 / 5)},
}
"""14 days, of which 9 were played on."""


def test_tennis_on_a_sunny_cool_humid_windy_day_is_as_unlikely_as_published() -> None:
    library, likelihoods = _model(2, WEATHER)
    after = _read(PLAY, likelihoods, library, outlook="sunny", temperature="cool", humidity="high", windy="strong")
    np.testing.assert_allclose(after, [0.205, 0.795, 0], atol=5e-4, rtol=0)
    assert after[0] / after[1] == pytest.approx(0.0053 / 0.0206, rel=0.01)
    np.testing.assert_allclose(after, [0.20458, 0.79542, 0], atol=5.1e-6, rtol=0)


@pytest.mark.parametrize(
    ("prevalence", "hit", "false_alarm", "printed", "within"),
    [
        (0.01, 0.80, 0.096, 0.078, 5e-4),
        (0.01, 0.80, 0.096, 0.0776, 5e-5),
        (0.01, 0.90, 0.09, 0.0917, 5e-5),
        (0.008, 0.90, 0.07, 0.09, 5e-3),
        (0.008, 0.90, 0.07, 0.0939, 5e-5),
        (0.005, 0.95, 0.01, 0.32, 5e-3),
        (0.005, 0.95, 0.01, 0.3231, 5e-5),
        (0.08, 0.75, 0.04, 0.6198, 5e-5),
    ],
)
def test_a_positive_test_makes_the_disease_as_likely_as_published(
    prevalence: float, hit: float, false_alarm: float, printed: float, within: float
) -> None:
    library, likelihoods = _model(2, {"test": {"positive": (hit, false_alarm), "negative": (1 - hit, 1 - false_alarm)}})
    after = _read(_prior(prevalence, 1 - prevalence), likelihoods, library, test="positive")
    assert after[0] == pytest.approx(printed, abs=within)


def test_a_negative_test_clears_as_surely_as_published() -> None:
    library, likelihoods = _model(2, {"test": {"positive": (0.75, 0.04), "negative": (0.25, 0.96)}})
    after = _read(_prior(0.08, 0.92), likelihoods, library, test="negative")
    assert after[1] == pytest.approx(0.9779, abs=5e-5)


# Published gains and entropies


def test_gains_of_the_weather_attributes_are_quinlans() -> None:
    """Printed .246 .029 .151 .048 (allow 0.001: the first is cut, not rounded); in full .24675 .02922 .15184 .04813."""
    gains = gains_bits(PLAY, _model(2, WEATHER)[1])
    np.testing.assert_allclose(gains, [0.246, 0.029, 0.151, 0.048], atol=1e-3, rtol=0)
    np.testing.assert_allclose(gains, [0.24675, 0.02922, 0.15184, 0.04813], atol=5.1e-6, rtol=0)


def test_the_seismic_test_for_oil_tells_as_much_as_recomputed() -> None:
    table: Table = {"closed": (0.1, 0.3, 0.5), "open": (0.3, 0.4, 0.4), "diffuse": (0.6, 0.3, 0.1)}
    gains = gains_bits(_prior(0.5, 0.3, 0.2), _model(3, {"seismic": table})[1])
    assert gains[0] == pytest.approx(0.1604, abs=5e-5)


def _weighing(in_each_pan: int) -> Table:
    """Return what the scales show for each of 24 faults: ball 0 heavy, ball 0 light, ball 1 heavy ...

    The first balls lie in the left pan, the next in the right one.
    """
    rows: dict[str, list[float]] = {"left": [], "right": [], "level": []}
    for ball, heavy in product(range(12), (True, False)):
        on_left, on_right = ball < in_each_pan, in_each_pan <= ball < 2 * in_each_pan
        shown = "level" if not (on_left or on_right) else "left" if on_left == heavy else "right"
        for outcome, row in rows.items():
            row.append(float(outcome == shown))
    return rows


def test_the_first_weighing_of_twelve_balls_is_four_against_four() -> None:
    checks = {f"weigh-{number}": _weighing(number) for number in range(1, 7)}
    gains = gains_bits(_prior(*[1 / 24] * 24), _model(24, checks)[1])
    np.testing.assert_allclose(gains, [0.817, 1.252, 1.5, 1.585, 1.483, 1.0], atol=5.1e-4, rtol=0)
    assert int(np.argmax(gains)) == 3


def test_misses_and_the_hit_of_the_submarine_tell_as_much_as_published() -> None:
    """64 squares: first miss 0.0227 bits, second 0.0231, 32 misses 1.0 together, the hit at the 33rd 5.0."""
    beliefs = np.full(64, 1 / 64)
    entropies = [entropy_bits(beliefs)]
    for square in range(32):
        miss = np.ones(64)
        miss[square] = 0.0
        beliefs = update(beliefs, miss)
        entropies.append(entropy_bits(beliefs))
    told = -np.diff(entropies)
    np.testing.assert_allclose(told[:2], [0.0227, 0.0231], atol=5e-5, rtol=0)
    assert told.sum() == pytest.approx(1.0, abs=1e-9)
    hit = np.zeros(64)
    hit[32] = 1.0
    assert entropies[-1] - entropy_bits(update(beliefs, hit)) == pytest.approx(5.0, abs=1e-9)


@pytest.mark.parametrize(
    ("shares", "bits", "within"),
    [
        ((9 / 14, 5 / 14), 0.940, 5e-4),  # Quinlan 1986
        ((1 / 32,) * 32, 5.0, 1e-12),  # Cover & Thomas 1.1.1
        ((1 / 2, 1 / 4, 1 / 8, 1 / 16, 1 / 64, 1 / 64, 1 / 64, 1 / 64), 2.0, 1e-12),  # 1.1.2, the horse race
        ((1 / 2, 1 / 4, 1 / 8, 1 / 8), 1.75, 1e-12),  # 2.1.1
        ((1.0, 0.0), 0.0, 1e-12),
    ],
)
def test_entropies_are_as_published(shares: tuple[float, ...], bits: float, within: float) -> None:
    assert entropy_bits(np.array(shares)) == pytest.approx(bits, abs=within)


def test_the_information_between_two_variables_is_as_published() -> None:
    """Cover & Thomas, example 2.2.1: H(X) 7/4, H(Y) 2, I(X; Y) 3/8 bits."""
    joint = np.array([[4, 2, 1, 1], [2, 4, 1, 1], [2, 2, 2, 2], [8, 0, 0, 0]]) / 32
    columns = joint.sum(axis=0)
    table = {f"y{number}": tuple(joint[number] / columns) for number in range(4)}
    gains = gains_bits(_prior(*columns), _model(4, {"y": table})[1])
    assert entropy_bits(columns) == pytest.approx(7 / 4, abs=1e-12)
    assert entropy_bits(joint.sum(axis=1)) == pytest.approx(2, abs=1e-12)
    assert gains[0] == pytest.approx(3 / 8, abs=1e-12)


# Published shares of a normal distribution


@pytest.mark.parametrize(
    ("low", "high", "value", "u", "share", "within"),
    [
        (-1.0, 1.0, 0.0, 1.0, 0.6827, 5e-5),  # within one standard deviation
        (-1.96, 1.96, 0.0, 1.0, 0.9500, 5e-5),
        (None, 0.5, 0.6, 0.05, 0.02275, 5e-6),  # two standard deviations past a limit
        (None, -5.40, -5.47, 0.05, 0.9192, 5e-5),  # JCGM 106:2012, breakdown voltage of a Zener diode (from memory)
    ],
)
def test_a_measured_value_is_shared_between_bands_as_published(
    low: float | None, high: float, value: float, u: float, share: float, within: float
) -> None:
    bands = {"in": Band(low, high), "above": Band(high, None)}
    if low is not None:
        bands = {"below": Band(None, low), **bands}
    check = _check("length", tuple(bands), bands, u)
    shares = outcome_shares(check, make_reading(check, value))
    assert shares[list(bands).index("in")] == pytest.approx(share, abs=within)
    assert shares.sum() == pytest.approx(1.0, abs=1e-12)


# Every case counted out


def _random_checks(random: np.random.Generator, causes: int) -> dict[str, Table]:
    checks = {}
    for number in range(int(random.integers(1, 6))):
        table = random.dirichlet(np.full(int(random.integers(2, 5)), 0.7), size=causes)
        checks[f"check-{number}"] = {f"o{place}": tuple(table[:, place]) for place in range(table.shape[1])}
    return checks


def _joint(shares: Sequence[float], checks: Mapping[str, Table]) -> dict[tuple[int, ...], float]:
    """Return the probability of every combination of cause and outcome of every check."""
    rows = [list(table.values()) for table in checks.values()]
    cells = {}
    for cause, share in enumerate(shares):
        for outcomes in product(*(range(len(row)) for row in rows)):
            cells[cause, *outcomes] = share * math.prod(row[o][cause] for row, o in zip(rows, outcomes, strict=True))
    return cells


def _random_reading(random: np.random.Generator, check: Check) -> Reading:
    """Return a sure reading or, half the time, a hedged one, whose share is spread over all outcomes."""
    outcome = check.outcomes[int(random.integers(len(check.outcomes)))]
    return Reading(check.id, outcome, hedged=bool(random.integers(2)))


@pytest.mark.parametrize("seed", range(200))
def test_the_posterior_is_that_of_counting_out_every_case(seed: int) -> None:
    """Each cell of the joint distribution is weighed by what the readings make of its outcomes, and causes summed."""
    random = np.random.default_rng(seed)
    causes = int(random.integers(2, 8))
    checks = _random_checks(random, causes)
    library, likelihoods = _model(causes, checks)
    shares = random.dirichlet(np.ones(causes))
    ids = list(library.checks)
    read = {id: _random_reading(random, library.checks[id]) for id in ids if random.random() < 0.8}
    weight = {id: outcome_shares(library.checks[id], reading) for id, reading in read.items()}

    counted = np.zeros(causes)
    for (cause, *outcomes), p_cell in _joint(shares, checks).items():
        counted[cause] += p_cell * math.prod(weight[id][o] for id, o in zip(ids, outcomes, strict=True) if id in read)

    for order in (list(read), list(reversed(read))):
        after = _prior(*shares)
        for id in order:
            after = update(after, likelihood_of(weight[id], likelihoods.of(id)))
        np.testing.assert_allclose(after[:-1], counted / counted.sum(), atol=1e-9, rtol=0)
        assert after[-1] == 0


@pytest.mark.parametrize("seed", range(200))
def test_the_gain_is_the_mutual_information_of_counting_out_every_case(seed: int) -> None:
    """Definition: sum over cause and outcome of p(c, o) log2(p(c, o) / (p(c) p(o)))."""
    random = np.random.default_rng(1000 + seed)
    causes = int(random.integers(2, 8))
    checks = _random_checks(random, causes)
    shares = random.dirichlet(np.ones(causes))
    cells = _joint(shares, checks)
    gains = gains_bits(_prior(*shares), _model(causes, checks)[1])
    for place, table in enumerate(checks.values()):
        pairs = np.zeros((causes, len(table)))
        for (cause, *outcomes), p_cell in cells.items():
            pairs[cause, outcomes[place]] += p_cell
        apart = pairs.sum(axis=1, keepdims=True) * pairs.sum(axis=0, keepdims=True)
        held = pairs > 0
        counted = float((pairs[held] * np.log2(pairs[held] / apart[held])).sum())
        assert gains[place] == pytest.approx(counted, abs=1e-9)
        assert 0 <= gains[place] <= entropy_bits(shares) + 1e-9


def test_every_order_of_readings_gives_the_published_posterior() -> None:
    library, likelihoods = _model(2, WEATHER)
    day = {"outlook": "sunny", "temperature": "cool", "humidity": "high", "windy": "strong"}
    for order in permutations(day):
        after = _read(PLAY, likelihoods, library, **{id: day[id] for id in order})
        assert after[0] == pytest.approx(0.20458, abs=5.1e-6)


def test_a_reading_that_no_cause_allows_is_refused() -> None:
    with pytest.raises(ImpossibleReading):
        update(np.array([0.0, 0.5, 0.5]), np.array([1.0, 0.0, 0.0]))


@pytest.fixture(scope="module")
def shipped() -> Library:
    return load_library(Path(articles_folder()))


@pytest.mark.slow
def test_the_posterior_over_the_shipped_articles_is_that_of_counting_out_every_case(shipped: Library) -> None:
    """Every article as the true fault: its first four checks read at their likeliest outcome, one of them hedged."""
    likelihoods = make_likelihoods(shipped)
    causes = len(shipped.articles)
    prior = np.full(causes + 1, 1 / (causes + 1))
    for article in shipped.articles.values():
        items = article.checks[:4]
        readings = [
            Reading(item.check, max(item.shows, key=lambda name: (item.shows[name], name)), hedged=place == 0)
            for place, item in enumerate(items)
        ]
        weights = [outcome_shares(shipped.checks[reading.check], reading) for reading in readings]
        after = prior
        for reading, weight in zip(readings, weights, strict=True):
            after = update(after, likelihood_of(weight, likelihoods.of(reading.check)))
        counted = [
            _counted(shipped, [reading.check for reading in readings], weights, other)
            for other in (*shipped.articles.values(), None)
        ]
        np.testing.assert_allclose(after, np.array(counted) / sum(counted), atol=1e-9, rtol=0)


def _counted(
    library: Library, ids: Sequence[CheckId], weights: Sequence[NDArray[np.float64]], article: Article | None
) -> float:
    """Return P(readings | cause) by going through all combinations of outcomes; None is "none of ours"."""
    tables = []
    for id in ids:
        shows = (article.shows(id) if article is not None else None) or library.checks[id].usual
        total = sum(shows.values())
        tables.append([shows[name] / total for name in library.checks[id].outcomes])
    return sum(
        math.prod(table[o] * weight[o] for table, weight, o in zip(tables, weights, outcomes, strict=True))
        for outcomes in product(*(range(len(table)) for table in tables))
    )
