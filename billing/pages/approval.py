"""The page that a client's link opens: the quote, and a form to approve or decline it."""

import base64
import hashlib
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe
from rest_framework import serializers

from billing.actions.client_decisions import Answer, CameFrom, client_decision_record
from billing.models import Decision, Quote
from billing.pages.quote_told import QuoteTold, answer_told
from billing.pages.quotes import quote_pdf
from billing.queries.quote_links import (
    LinkState,
    QuoteLink,
    offered_beside,
    quote_link_read,
    quote_opened,
)
from diagnostics.rules.pictures.signs import STYLE
from shop.errors import Refused
from shop.http.addresses import client_address
from shop.http.files import PDFRenderer
from shop.http.pictures import SEALED
from shop.http.serializers import StrictSerializer, TextField
from shop.http.transactions import in_transaction
from shop.models import Logo, ShopProfile
from shop.pages.wording import Wording, wording
from shop.rules.addresses import town_line

# The one style that stands in the page is that of the drawn keyboard, known by its digest.
STYLE_DIGEST = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
HEADERS = {
    "Content-Security-Policy": (
        f"default-src 'none'; style-src 'self' 'sha256-{STYLE_DIGEST}'; img-src 'self';"
        " form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "Cache-Control": "no-store",
    "X-Robots-Tag": "noindex",
}
SEE_OTHER, BAD_REQUEST, NOT_FOUND, CONFLICT, GONE = 303, 400, 404, 409, 410


class AnswerForm(StrictSerializer):
    """What the page's two forms send: a name with a yes, perhaps a reason with a no."""

    decision = serializers.ChoiceField(choices=Decision.choices)
    name = TextField(max_length=200, default="", allow_blank=True)
    reason = TextField(max_length=1000, default="", allow_blank=True, multiline=True)
    options = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=32767), default=[]
    )

    def validate(self, values: dict[str, Any]) -> dict[str, Any]:
        """Return the values.

        Raises:
            ValidationError: a yes without a name.
        """
        if values["decision"] == Decision.APPROVED and not values["name"]:
            raise serializers.ValidationError({"name": "A name is wanted."})
        return values | {"options": frozenset(values["options"])}


# Django's token against forged forms rests on a cookie, and there is none here: no cookie and no
# session gives a right to anything on this page, so a foreign page cannot borrow one. The right is
# the signed link alone, which a foreign page does not know; who knows it may answer anyway.
@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
def approval_page(request: HttpRequest, link: str) -> HttpResponse:
    """Return the quote that the link opens, or after a form was sent the way to what it did."""
    signed, profile = quote_link_read(link), ShopProfile.objects.get()
    state, quote = quote_opened(signed, now=timezone.now())
    if not (signed and quote and state.is_shown):
        return _closed(state, quote, profile)
    if request.method == "POST":
        return _answered(request, signed, quote, profile)
    return _shown(signed, quote, profile)


@require_safe
def approval_pdf(request: HttpRequest, link: str) -> HttpResponse:  # noqa: ARG001
    """Return the quote that the link opens as PDF."""
    profile = ShopProfile.objects.get()
    state, quote = quote_opened(quote_link_read(link), now=timezone.now())
    if not (quote and state.is_shown):
        return _closed(state, quote, profile)
    headers = {**HEADERS, "Content-Disposition": f'inline; filename="quote-{quote.pk}.pdf"'}
    pdf = quote_pdf(quote, profile)
    return HttpResponse(pdf, content_type=PDFRenderer.media_type, headers=headers)


@require_safe
def approval_logo(request: HttpRequest, link: str) -> HttpResponse:  # noqa: ARG001
    """Return the shop's logo, which the page of the link shows.

    Raises:
        Http404: there is none, or the link shows no page.
    """
    state, _ = quote_opened(quote_link_read(link), now=timezone.now())
    logo = Logo.objects.first()
    if not (logo and state.is_shown):
        raise Http404
    headers = {**HEADERS, "Content-Security-Policy": SEALED}
    return HttpResponse(bytes(logo.content), content_type=logo.media_type, headers=headers)


def _answered(
    request: HttpRequest, link: QuoteLink, quote: Quote, profile: ShopProfile
) -> HttpResponse:
    ticked = request.POST.getlist("options")
    # A browser sends a line's end as two characters, and counts it as one towards what is allowed
    # (HTML, "The textarea element").
    sent = {name: str(text).replace("\r\n", "\n") for name, text in request.POST.items()}
    form = AnswerForm(data=sent | {"options": ticked})
    if not form.is_valid():
        again = {"errors": form.errors, "sent": request.POST, "ticked": ticked}
        return _shown(link, quote, profile, BAD_REQUEST, **again)
    came_from = CameFrom(client_address(request), request.headers.get("User-Agent", ""))
    try:
        in_transaction(
            lambda: client_decision_record(
                link=link,
                answer=Answer(**form.validated_data),
                came_from=came_from,
                decided_at=timezone.now(),
                decided_on=timezone.localdate(),
            )
        )
    except Refused:
        state, quote_now = quote_opened(link, now=timezone.now())
        if not (quote_now and state.is_shown):
            return _closed(state, quote_now, profile)
        return _shown(link, quote_now, profile, CONFLICT, is_refused=True)
    # Reloading what comes then sends no form; sending this one again changes nothing.
    return HttpResponse(status=SEE_OTHER, headers={**HEADERS, "Location": request.path})


def _shown(
    link: QuoteLink, quote: Quote, profile: ShopProfile, status: int = 200, **more: Any
) -> HttpResponse:
    words = _words(quote, profile)
    told = QuoteTold(quote, words)
    at = {"link": link.text}
    values = told.values() | {
        "pdf": reverse("approval-pdf", kwargs=at),
        "logo": reverse("approval-logo", kwargs=at) if Logo.objects.exists() else "",
        "others": [
            (told.other(other), reverse("approval-page", kwargs={"link": to.text}))
            for other, to in offered_beside(quote, now=timezone.now())
        ],
    }
    return _rendered("billing/approval.html", values | more, words, profile, status)


def _closed(state: LinkState, quote: Quote | None, profile: ShopProfile) -> HttpResponse:
    words = _words(quote, profile)
    values = {
        "title": words.texts["approval_closed"][state.value],
        "answer": quote and answer_told(quote, words),
    }
    status = NOT_FOUND if state == LinkState.UNKNOWN else GONE
    return _rendered("billing/approval_closed.html", values, words, profile, status)


def _words(quote: Quote | None, profile: ShopProfile) -> Wording:
    language = quote.client.language if quote else ""
    return wording(language or profile.language, profile.country)


def _rendered(
    template: str, values: dict[str, Any], words: Wording, profile: ShopProfile, status: int
) -> HttpResponse:
    context = values | {
        "profile": profile,
        "town": town_line(profile.city, profile.postcode, profile.country),
        "language": words.language,
        "texts": words.texts["approval"],
    }
    page = HttpResponse(render_to_string(template, context), status=status, headers=HEADERS)
    # Django logs the address of what is refused, and a link is as good as a key to its quote.
    page._has_been_logged = True  # type: ignore[attr-defined]  # noqa: SLF001
    return page
