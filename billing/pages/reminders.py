"""A reminder as a letter."""

from typing import Any

from django.db.models import QuerySet
from rest_framework.response import Response

from billing.models import Reminder
from billing.queries.parties import buyer_of, seller_of
from billing.queries.reminders import reminders
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import ShopProfile
from shop.pages.papers import Paper, paper_pdf
from shop.pages.wording import Wording, wording


class ReminderDocumentViewSet(ShopViewSet):
    """Reminders on paper."""

    model = Reminder
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[Reminder]:
        """Return the reminders, which the office and the owner see."""
        return reminders().select_related(
            "invoice__corrects__quote", "invoice__quote__examination__instrument__site"
        )

    @file(PDFRenderer)
    def pdf(self) -> Response:
        """Return the reminder as a letter, to the client as they are now."""
        reminder = self.found()
        pdf = reminder_pdf(reminder, ShopProfile.objects.get())
        return file_response(pdf, f"reminder-{reminder.pk}.pdf")


def reminder_pdf(reminder: Any, profile: ShopProfile) -> bytes:
    """Return a reminder as PDF, in the language that it was written in."""
    words = wording(reminder.language, profile.country)
    paper = Paper(
        title=reminder.subject,
        sender=seller_of(profile),
        receiver=buyer_of(reminder.invoice, profile),
        facts=_facts(reminder, words),
        opening=[each for each in reminder.body.split("\n\n") if each.strip()],
        dated=reminder.reminded_on,
    )
    return paper_pdf(paper, words, profile)


def _facts(reminder: Any, words: Wording) -> list[tuple[str, str]]:
    invoice, texts = reminder.invoice, words.texts["reminder"]

    def money(amount: Any) -> str:
        return words.money(amount, invoice.currency, invoice.minor_units) if amount else ""

    facts = {
        "reminded_on": words.day(reminder.reminded_on),
        "invoice": texts["invoice_of"].format(
            number=invoice.number, day=words.day(invoice.issued_on)
        ),
        "due_on": words.day(invoice.due_on),
        "reference": invoice.reference,
        "open_total": money(reminder.open_total),
        "interest_amount": money(reminder.interest_amount),
        "fee_amount": money(reminder.fee_amount),
        "total": money(reminder.open_total + reminder.interest_amount + reminder.fee_amount),
    }
    return [(texts[name], value) for name, value in facts.items() if value]
