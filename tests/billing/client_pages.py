"""Quotes whose pages clients open and answer, and how a browser asks for them."""

from django.test import Client
from django.utils import timezone

from billing.models import Quote
from billing.queries.quote_links import quote_link
from tests.billing.api.test_quotes import quoted

YES = {"decision": "approved", "name": "Hester Wick"}
NO = {"decision": "declined", "reason": "Too dear."}


def page_of(quote):
    return f"/approval/{quote_link(quote=quote, now=timezone.now()).text}"


def offered(technician, workshop, **body):
    """A quote of the workshop, and the address of its page."""
    workshop.find([60, 61, 62])
    quote = Quote.objects.get(pk=quoted(technician, workshop, **body)["id"])
    return quote, page_of(quote)


def send(address, form, **headers):
    return Client().post(address, form, headers=headers)


def read(address, status=200):
    answer = Client().get(address)
    assert answer.status_code == status
    return answer.content.decode()
