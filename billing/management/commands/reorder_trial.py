"""Trying the reorder rule on drawn demand of the shop's own parts."""

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial
from random import Random
from typing import Any

from django.core.management.base import CommandError

from shop.management.tables import TablesCommand
from shop.models import SERVICE_LEVELS, WHOLE_UNITS, Part, ShopProfile
from shop.rules.lead_time import lead_time
from shop.rules.order_quantity import OrderCosts, PriceFrom
from shop.rules.reorder import Policy, Terms
from shop.rules.reorder_trial import (
    DAYS_A_YEAR,
    Outcome,
    TrialPart,
    added_up,
    asked_for,
    by_forecast,
    run,
)

PROGRESS_EVERY = 20


def years(text: str) -> int:
    """Return a number of years that leaves some after the first."""
    if not text.isdecimal() or not 2 <= int(text) <= 50:
        raise ArgumentTypeError(f"{text} is not 2 to 50 years.")
    return int(text)


def service_level(text: str) -> Decimal:
    """Return a service level in percent."""
    least, most = SERVICE_LEVELS
    if not text.replace(".", "", 1).isdecimal() or not least <= Decimal(text) <= most:
        raise ArgumentTypeError(f"{text} is not a service level of {least} to {most} %.")
    return Decimal(text)


class Command(TablesCommand):
    """Run the parts of the catalogue through years of drawn demand, by one rule after another."""

    help = (
        "Try the reorder rule on drawn demand of the shop's parts, week by week: in how many lead"
        " times stock lasted, beside what was asked of it, what lay on the shelf and what was"
        " ordered; and the same for the rule to order when a bin is half empty. The first year"
        " is run by the bin and is not counted. It reads the parts and stores nothing."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare how much is drawn, and what is asked for."""
        parser.add_argument("--seed", type=int, default=1, help="of the random numbers (1)")
        parser.add_argument("--years", type=years, default=5, help="with the first (5)")
        parser.add_argument(
            "--service-level",
            type=service_level,
            nargs="+",
            default=[Decimal(90), Decimal(95), Decimal(98)],
            help="in percent, one or more (90 95 98)",
        )

    def handle(
        self,
        *args: Any,  # noqa: ARG002
        seed: int,
        years: int,
        service_level: Sequence[Decimal],
        **options: Any,  # noqa: ARG002
    ) -> None:
        """Run all rules and print what came of them."""
        parts = [_part(part) for part in Part.objects.filter(is_active=True).order_by("code")]
        if not parts:
            raise CommandError("There are no parts: run python manage.py load_catalogue first.")
        self.stdout.write(f"{len(parts)} parts, {years} years, seed {seed}; of each rule, a year:")
        self.stdout.write(
            f"  {'rule':<18} {'lead times lasted':>17} {'requests met':>13} {'stock value':>12}"
            f" {'orders':>7} {'lines':>6} {'cost':>7}"
        )
        shops = _policy(ShopProfile.objects.get())
        for level in [None, *service_level]:
            policy = replace(shops, service_level_percent=level) if level else None
            name = f"forecast, {level:g} %" if level else "bin half empty"
            outcome = self._outcome(parts, policy, shops.review_days, seed, years)
            self._tell(name, outcome, shops.costs)

    def _outcome(
        self, parts: list[TrialPart], policy: Policy | None, review_days: int, seed: int, years: int
    ) -> Outcome:
        """Return what comes of a policy, or of the bins; demand is the same for all of them."""
        outcomes = []
        for done, part in enumerate(parts, start=1):
            random = Random(f"{seed} {part.code}")  # noqa: S311 (no secret)
            asked = asked_for(part, years * DAYS_A_YEAR, random)
            rule = partial(by_forecast, part, policy) if policy else None
            outcomes.append(run(part, asked, rule, review_days, random))
            if done % PROGRESS_EVERY == 0:
                self.stderr.write(f"{done} of {len(parts)} parts")
        return added_up(outcomes)

    def _tell(self, name: str, found: Outcome, costs: OrderCosts) -> None:
        """Print a line; its cost is that of ordering the lines and of keeping the stock."""
        lasted = found.lasted / max(found.lead_times, 1)
        met = found.met / max(found.requests, 1)
        counted_years = Decimal(found.days) / DAYS_A_YEAR
        value, lines = found.value_days / found.days, found.lines / counted_years
        cost = lines * costs.per_order + value * costs.holding_percent / 100
        self.stdout.write(
            f"  {name:<18} {lasted:>17.1%} {met:>13.1%} {value:>12.0f}"
            f" {len(found.order_days) / counted_years:>7.0f} {lines:>6.0f} {cost:>7.0f}"
        )


def _policy(profile: ShopProfile) -> Policy:
    return Policy(
        service_level_percent=profile.service_level_percent,
        review_days=profile.stock_review_days,
        costs=OrderCosts(profile.order_cost, profile.holding_cost_percent),
        approval_chance=Decimal(1),
    )


def _part(part: Part) -> TrialPart:
    prices = [PriceFrom(1, part.cost * part.pack_quantity)]
    terms = Terms(lead_time(part.lead_time_days), part.pack_quantity, prices)
    return TrialPart(part.code, terms, part.cost, part.unit in WHOLE_UNITS)
