"""Clients, their sites and their instruments: everybody in the shop may see them."""

from django.db.models import QuerySet

from shop.models import Client, Instrument, Site


def clients() -> QuerySet[Client]:
    """Return the clients by name."""
    return Client.objects.order_by("name", "id")


def sites() -> QuerySet[Site]:
    """Return the sites."""
    return Site.objects.order_by("id")


def instruments() -> QuerySet[Instrument]:
    """Return the instruments with their woods."""
    return Instrument.objects.select_related("key_wood", "action_wood").order_by("id")
