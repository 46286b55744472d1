"""The shop app: the business itself."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    """Clients, sites, instruments, visits, parts and stock."""

    name = "shop"
    verbose_name = "Shop"
