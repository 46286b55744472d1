"""Expire the quotes whose last day has passed; meant to run once a day."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from billing.actions.quotes import quotes_expire


class Command(BaseCommand):
    """Put the parts of expired quotes back and say which quotes those were."""

    help = "Expire the quotes whose last day has passed and put their parts back on the shelf."

    def handle(self, *args: Any, **options: Any) -> None:  # noqa: ARG002 (Django passes them)
        """Expire and report."""
        quotes = quotes_expire(today=timezone.localdate(), expired_at=timezone.now())
        for quote in quotes:
            self.stdout.write(f"Quote {quote.pk} expired on {quote.valid_until}.")
        self.stdout.write(f"{len(quotes)} quotes expired.")
