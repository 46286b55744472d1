"""Why a check comes where it stands, and what its answers would mean, in sentences."""

from collections.abc import Mapping

from diagnostics.rules.check_order import Answer
from diagnostics.rules.check_round import RoundStep
from shop.rules.words import ENGLISH, Words, decimal, said

Names = Mapping[str, str]
NAMED_CAUSES = 2


def percent_text(share: float, words: Words = ENGLISH) -> str:
    """Return a probability as a whole percentage that is never 0 or 100 by rounding alone."""
    if 0 < share < 0.005:
        return said(words, "under 1 %")
    if 0.995 < share < 1:
        return said(words, "over 99 %")
    return f"{100 * share:.0f} %"


def minutes_text(minutes: float, words: Words = ENGLISH) -> str:
    """Return minutes with one decimal where it says something."""
    places = 0 if f"{minutes:.1f}".endswith(".0") else 1
    return said(words, "{minutes} min", minutes=decimal(words, minutes, places))


def reason(step: RoundStep, words: Words = ENGLISH) -> str:
    """Return why a step stands where it stands: what it tells, what it costs, if it is needed."""
    count = sum(each.trouble.count for each in step.asked)
    bits = sum(each.information_bits * each.trouble.count for each in step.asked) / count
    told = said(words, "Tells {bits} bits about the cause", bits=decimal(words, bits, 2))
    if count > 1:
        told += said(words, " on each of {count} notes", count=count)
    told += said(words, " in {minutes}", minutes=minutes_text(step.minutes, words))
    if step.access_minutes > 0:
        access = minutes_text(step.access_minutes, words)
        told += said(words, ", after {minutes} to get there", minutes=access)
    chance = percent_text(step.chance_needed, words)
    return told + said(words, "; needed with a chance of {chance}.", chance=chance)


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
