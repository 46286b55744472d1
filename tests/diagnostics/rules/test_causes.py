from fractions import Fraction
from itertools import combinations
from random import Random

import pytest

from diagnostics.rules.causes import (
    Evidence,
    Lean,
    decibans,
    log_odds_decibans,
    posterior,
    sign,
)

CODES = "abcdef"


def test_an_imperfect_test_of_a_rare_cause_is_mostly_wrong_when_it_is_positive():
    # 1 % have it; of these 80 % are positive, of the others 9.6 %: 7.8 %. Source: Gigerenzer and
    # Hoffrage, Psychological Review 102 (1995), 684 (the mammography problem, after Eddy 1982).
    positive = sign("positive", 0.096, {"a": 0.80})
    found = posterior(Evidence({"a": 0.01}, signs=(positive,)))
    assert round(found.probabilities["a"], 3) == 0.078
    assert round(found.unknown, 3) == 1 - 0.078


def test_a_factor_of_ten_weighs_ten_decibans_and_of_two_three():
    # Source: Good, Probability and the Weighing of Evidence (1950), chapter 6.
    assert decibans(10) == pytest.approx(10)
    assert round(decibans(2), 1) == 3.0
    assert round(log_odds_decibans(0.5), 9) == 0
    assert log_odds_decibans(1.0) == pytest.approx(-log_odds_decibans(0.0)) == pytest.approx(120)


def a_small_case(seed):
    """Random evidence in hundredths, and the same as exact fractions."""
    random = Random(seed)
    priors = {code: random.randint(1, 30) for code in CODES}
    leans = [
        {code: random.randint(20, 300) for code in random.sample(CODES, 4)}
        for _ in range(random.randint(0, 2))
    ]
    signs = [
        (
            random.randint(1, 20),
            {code: random.randint(5, 95) for code in random.sample(CODES, random.randint(1, 5))},
            random.random() < 0.6,
        )
        for _ in range(random.randint(1, 5))
    ]
    return priors, leans, signs


def in_floats(priors, leans, signs):
    return Evidence(
        priors={code: prior / 100 for code, prior in priors.items()},
        leans=tuple(
            Lean("", {code: factor / 100 for code, factor in lean.items()}) for lean in leans
        ),
        signs=tuple(
            sign(
                "",
                leak / 100,
                {code: share / 100 for code, share in shares.items()},
                is_seen=is_seen,
            )
            for leak, shares, is_seen in signs
        ),
    )


def weight_of(causes, priors, leans, signs):
    """The weight of exactly these causes being there, and of all that was seen."""
    weight = Fraction(1)
    for code in causes:
        weight *= Fraction(priors[code], 100 - priors[code])
        for lean in leans:
            weight *= Fraction(lean.get(code, 100), 100)
    for leak, shares, is_seen in signs:
        unseen = Fraction(100 - leak, 100)
        for code in causes:
            if code in shares:
                unseen *= min(Fraction(1), Fraction(100 - shares[code], 100 - leak))
        weight *= 1 - unseen if is_seen else unseen
    return weight


def explaining(signs):
    """The causes that bring about a sign that was seen."""
    return {
        code
        for leak, shares, is_seen in signs
        for code, share in shares.items()
        if is_seen and share > leak
    }


def enumerated(case, most):
    """The weights of all sets of at most so many causes that explain something."""
    causes = sorted(explaining(case[2]))
    sets = [chosen for size in range(most + 1) for chosen in combinations(causes, size)]
    return {chosen: weight_of(chosen, *case) for chosen in sets}


@pytest.mark.parametrize("seed", range(40))
def test_the_posterior_is_that_of_all_sets_of_two_causes_one_by_one(seed):
    case = a_small_case(seed)
    within = frozenset("ace")
    found = posterior(in_floats(*case), within)
    weights = enumerated(case, most=2)
    total = sum(weights.values())
    for code in explaining(case[2]):
        exact = sum(weight for chosen, weight in weights.items() if code in chosen) / total
        assert found.probabilities[code] == pytest.approx(float(exact), rel=1e-9)
    if any(is_seen for _, _, is_seen in case[2]):
        assert found.unknown == pytest.approx(float(weights[()] / total), rel=1e-9)
    inside = sum(weight for chosen, weight in weights.items() if chosen and within >= set(chosen))
    assert found.within == pytest.approx(float(inside / total), rel=1e-9)
    likeliest = max(weights.values())
    assert found.likeliest_probability == pytest.approx(float(likeliest / total), rel=1e-9)
    assert weights[tuple(sorted(found.likeliest))] == likeliest


@pytest.mark.parametrize("seed", range(40))
def test_a_cause_that_explains_nothing_keeps_its_odds_but_for_what_speaks_against_it(seed):
    case = a_small_case(seed)
    priors, leans, signs = case
    found = posterior(in_floats(*case))
    unseen = [each for each in signs if not each[2]]
    for code in set(CODES) - explaining(signs):
        with_it = weight_of([code], priors, leans, unseen)
        without = weight_of([], priors, leans, unseen)
        exact = with_it / (with_it + without)
        assert found.probabilities[code] == pytest.approx(float(exact), rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_where_causes_are_rare_three_on_a_note_would_change_little(seed):
    priors, leans, signs = a_small_case(seed)
    case = ({code: 1 + prior // 6 for code, prior in priors.items()}, leans, signs[:3])
    found = posterior(in_floats(*case))
    weights = enumerated(case, most=len(CODES))
    total = sum(weights.values())
    for code in explaining(case[2]):
        exact = sum(weight for chosen, weight in weights.items() if code in chosen) / total
        assert found.probabilities[code] == pytest.approx(float(exact), abs=0.06)  # estimate


def test_what_one_cause_explains_speaks_less_for_another():
    slow = sign("slow", 0.01, {"a": 0.7, "b": 0.7})
    shown = sign("swings twice", 0.05, {"a": 0.9})
    before = posterior(Evidence({"a": 0.05, "b": 0.05}, signs=(slow,)))
    after = posterior(Evidence({"a": 0.05, "b": 0.05}, signs=(slow, shown)))
    assert before.probabilities["a"] == pytest.approx(before.probabilities["b"])
    assert after.probabilities["a"] > before.probabilities["a"]
    assert after.probabilities["b"] < before.probabilities["b"]


def test_two_signs_that_no_cause_brings_about_together_make_two_causes_likeliest():
    rings = sign("rings on", 0.005, {"damper": 0.8})
    slow = sign("slow", 0.005, {"flange": 0.7})
    found = posterior(Evidence({"damper": 0.05, "flange": 0.05}, signs=(rings, slow)))
    assert set(found.likeliest) == {"damper", "flange"}


def test_a_cause_never_makes_a_sign_rarer_than_it_is_without_it():
    positive = sign("hammers fall slowly", 0.10, {"key": 0.08})
    assert posterior(Evidence({"key": 0.3}, signs=(positive,))).probabilities["key"] == 0.3


def test_without_a_sign_seen_nothing_is_unknown_and_priors_stand():
    found = posterior(Evidence({"a": 0.2}))
    assert (found.unknown, found.likeliest) == (0.0, ())
    assert found.probabilities["a"] == pytest.approx(0.2)
