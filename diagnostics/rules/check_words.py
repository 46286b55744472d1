"""Why a check comes where it stands, and what its answers would mean, in sentences."""

from collections.abc import Mapping

from diagnostics.rules.check_order import Answer
from diagnostics.rules.check_round import RoundStep

Names = Mapping[str, str]
NAMED_CAUSES = 2


def percent_text(share: float) -> str:
    """Return a probability as a whole percentage that is never 0 or 100 by rounding alone."""
    if 0 < share < 0.005:
        return "under 1 %"
    if 0.995 < share < 1:
        return "over 99 %"
    return f"{100 * share:.0f} %"


def minutes_text(minutes: float) -> str:
    """Return minutes with one decimal where it says something."""
    return f"{minutes:.1f}".removesuffix(".0") + " min"


def reason(step: RoundStep) -> str:
    """Return why a step stands where it stands: what it tells, what it costs, if it is needed."""
    count = sum(each.trouble.count for each in step.asked)
    bits = sum(each.information_bits * each.trouble.count for each in step.asked) / count
    told = f"Tells {bits:.2f} bits about the cause"
    if count > 1:
        told += f" on each of {count} notes"
    cost = f"in {minutes_text(step.minutes)}"
    if step.access_minutes > 0:
        cost += f", after {minutes_text(step.access_minutes)} to get there"
    return f"{told} {cost}; needed with a chance of {percent_text(step.chance_needed)}."


def meaning(answer: Answer, names: Names) -> str:
    """Return what an answer would mean: the cause if it is sure then, else which lead."""
    if answer.cause is not None:
        share = percent_text(answer.belief[answer.cause])
        return f"{names[answer.cause]} ({share}): sure enough, nothing more to ask."
    leading = leading_causes(answer.belief, NAMED_CAUSES)
    lead = ", ".join(f"{names[cause]} ({percent_text(share)})" for cause, share in leading)
    return f"Most likely then: {lead}. Go on."


def leading_causes(belief: Mapping[str, float], count: int) -> list[tuple[str, float]]:
    """Return the most probable causes with their probabilities, the greatest first."""
    return sorted(belief.items(), key=lambda item: (-item[1], item[0]))[:count]
