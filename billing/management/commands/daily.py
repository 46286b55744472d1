"""What the shop's machine does once a day."""

from typing import Any

from django.utils import timezone

from billing.actions.quotes import quotes_expire
from shop.http.idempotency import answers_forget, kept_since
from shop.management.tables import TablesCommand


class Command(TablesCommand):
    """Expire quotes past their last day, and forget old answers to idempotency keys."""

    help = (
        "Run this once a day. It expires the quotes whose last day has passed and puts their parts"
        " back on the shelf, and forgets the answers kept for Idempotency-Keys that are too old."
    )

    def handle(self, *args: Any, **options: Any) -> None:  # noqa: ARG002 (Django passes them)
        """Do it and say what was done."""
        now = timezone.now()
        quotes = quotes_expire(today=timezone.localdate(), expired_at=now)
        for quote in quotes:
            self.stdout.write(f"Quote {quote.pk} was valid until {quote.valid_until}; expired.")
        forgotten = answers_forget(before=kept_since(now))
        self.stdout.write(f"{len(quotes)} quotes expired, {forgotten} old answers forgotten.")
