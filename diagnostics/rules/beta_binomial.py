"""How often out of so many, when the chance is common to all of them and itself uncertain."""

from math import exp, lgamma

from diagnostics.rules.formulas import Formula

BETA_BINOMIAL = Formula(
    "beta-binomial counts",
    'Skellam, "A probability distribution derived from the binomial distribution by regarding the'
    ' probability of success as variable", Journal of the Royal Statistical Society B 10 (1948).',
)


def beta_binomial_chances(trials: int, weight: float, total: float) -> list[float]:
    """Return the chance of 0, 1, ... `trials` of them.

    The common chance is beta distributed: `weight` cases for it, out of `total`.
    Source: as `BETA_BINOMIAL`.
    """
    if weight >= total:
        return [0.0] * trials + [1.0]
    against = total - weight
    return [
        exp(
            log_choices(count, weight)
            + log_choices(trials - count, against)
            - log_choices(trials, total)
        )
        for count in range(trials + 1)
    ]


def log_choices(count: int, weight: float) -> float:
    """Return log(weight (weight + 1) ... (weight + count - 1) / count!)."""
    return lgamma(weight + count) - lgamma(weight) - lgamma(count + 1)
