"""Whom the shop works for, and where their instruments stand."""

from typing import ClassVar

import pghistory
from django.db import models

from shop.models.languages import Language


class ClientKind(models.TextChoices):
    """Whether a client is one person or an organisation."""

    PERSON = "person", "Person"
    ORGANISATION = "organisation", "Organisation"


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Client(models.Model):
    """A person or organisation that orders work and is invoiced for it.

    The address is where invoices go; `country` is an ISO 3166-1 alpha-2 code. Documents are written
    in `language`, or in the shop's where none is given.
    """

    kind = models.CharField(max_length=20, choices=ClientKind)
    name = models.CharField(max_length=200)
    contact_name = models.CharField(max_length=200, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=50, blank=True)
    street = models.CharField(max_length=200, blank=True)
    city = models.CharField(max_length=100, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, blank=True)
    tax_number = models.CharField(max_length=50, blank=True)
    language = models.CharField(max_length=2, choices=Language, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_client_kind_known",
                condition=models.Q(kind__in=ClientKind.values),
                violation_error_code="kind-unknown",
                violation_error_message="A client is a person or an organisation.",
            ),
            models.CheckConstraint(
                name="shop_client_has_name",
                condition=~models.Q(name=""),
                violation_error_code="name-missing",
                violation_error_message="A client needs a name.",
            ),
            models.CheckConstraint(
                name="shop_client_country_code",
                condition=models.Q(country="") | models.Q(country__regex="^[A-Z]{2}$"),
                violation_error_code="country-unknown",
                violation_error_message="A country is two capital letters (ISO 3166-1).",
            ),
            models.CheckConstraint(
                name="shop_client_language_known",
                condition=models.Q(language__in=["", *Language.values]),
                violation_error_code="language-unknown",
                violation_error_message="Documents are written in English or German.",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["name", "id"], name="shop_client_by_name")]

    def __str__(self) -> str:
        return self.name


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Site(models.Model):
    """A place of a client's where instruments stand.

    `country` is an ISO 3166-1 alpha-2 code; with `region` it says which rate of tax holds there.
    `travel_minutes` is the way there and back.
    """

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="sites")
    name = models.CharField(max_length=200)
    street = models.CharField(max_length=200, blank=True)
    city = models.CharField(max_length=100, blank=True)
    postcode = models.CharField(max_length=20, blank=True)
    country = models.CharField(max_length=2, blank=True)
    region = models.CharField(max_length=100, blank=True)
    access_notes = models.TextField(blank=True)
    travel_minutes = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_site_has_name",
                condition=~models.Q(name=""),
                violation_error_code="name-missing",
                violation_error_message="A site needs a name.",
            ),
            models.CheckConstraint(
                name="shop_site_country_code",
                condition=models.Q(country="") | models.Q(country__regex="^[A-Z]{2}$"),
                violation_error_code="country-unknown",
                violation_error_message="The country is two capital letters (ISO 3166-1).",
            ),
            models.CheckConstraint(
                name="shop_site_travel_within_a_day",
                condition=models.Q(travel_minutes__lte=1440),
                violation_error_code="travel-absurd",
                violation_error_message="Travel is at most 1440 minutes.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.client_id})"
