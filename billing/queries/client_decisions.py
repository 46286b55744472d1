"""What clients answered by the links of their quotes."""

from django.db.models import QuerySet

from billing.models import ClientDecision


def client_decisions() -> QuerySet[ClientDecision]:
    """Return all decisions, the latest first."""
    return ClientDecision.objects.order_by("-decided_at", "-id")
