"""Quotes as the client gets them."""

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework.response import Response

from billing.models import OPEN_STATUSES, Quote, QuoteStatus
from billing.pages.extra_work import ExtraWork, extra_work_agreed, total_in_all
from billing.pages.priced import Priced, quote_priced, wording_of
from billing.queries.parties import client_of, seller_of
from billing.queries.quotes import deposit_of, quotes_in_full
from diagnostics.queries.snapshot import cautions_in
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import ShopProfile
from shop.pages.papers import Paper, Section, paper_pdf
from shop.pages.wording import Wording
from shop.rules.money import rounded

AGREED = (QuoteStatus.APPROVED, QuoteStatus.COMPLETED)
Party = dict[str, Any]


class QuoteDocumentViewSet(ShopViewSet):
    """Quotes on paper."""

    model = Quote
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes: everybody in the shop may see them."""
        return quotes_on_paper()

    @file(PDFRenderer)
    def pdf(self) -> Response:
        """Return the quote as the client gets it, with a line to sign on while it is offered."""
        quote = self.found()
        return file_response(quote_pdf(quote, ShopProfile.objects.get()), f"quote-{quote.pk}.pdf")


def quotes_on_paper() -> QuerySet[Quote]:
    """Return the quotes with all that stands on their paper."""
    return quotes_in_full().select_related("examination__instrument__site")


def quote_pdf(quote: Quote, profile: ShopProfile) -> bytes:
    """Return one of the `quotes_on_paper` as PDF."""
    seller = seller_of(profile)
    buyer = client_of(quote.client, profile, quote.examination.instrument.site)
    words = wording_of(seller, buyer)
    return paper_pdf(_paper(quote, seller, buyer, words), words, profile)


def _paper(quote: Quote, seller: Party, buyer: Party, words: Wording) -> Paper:
    priced, texts = quote_priced(quote, words), words.texts["quote"]
    added = extra_work_agreed(quote, words)
    is_offered = quote.status == QuoteStatus.OFFERED
    accept = texts["accept_with_options" if quote.options.all() else "accept"]
    return Paper(
        title=_title(quote, texts),
        sender=seller,
        receiver=buyer,
        facts=_facts(quote, seller, buyer, words),
        columns=priced.columns(),
        rows=priced.rows(),
        totals=[*priced.totals(texts["payable_total"]), *total_in_all(priced, added)],
        notes=[
            *deposit_told(quote, priced),
            *priced.exemptions(),
            *range_told(quote, priced),
            *_follow_up(quote, words),
        ],
        sections=[
            *map(_added, added),
            *_options(quote, priced),
            *_terms(quote, words),
            *_cautions(quote, words),
        ],
        sign_note=accept.format(amount=priced.money(quote.payable_total)),
        sign_here=[texts[name] for name in ("place_and_day", "name", "signature") if is_offered],
        dated=timezone.localdate(quote.made_at),
    )


def _title(quote: Quote, texts: dict[str, str]) -> str:
    title = texts["title"].format(number=quote.pk)
    if quote.status in {*OPEN_STATUSES, *AGREED}:
        return title
    return texts[quote.status].format(title=title)


def _facts(quote: Quote, seller: Party, buyer: Party, words: Wording) -> list[tuple[str, str]]:
    texts, examination = words.texts["quote"], quote.examination
    decided_on = words.day(quote.decided_on) if quote.decided_on else ""
    agreed = texts["approved_by"].format(name=quote.decided_by_name, day=decided_on)
    version = texts["version_of"].format(version=quote.version, number=quote.supersedes_id)
    facts = {
        texts["version"]: version if quote.supersedes_id else "",
        texts["made_on"]: words.day(timezone.localdate(quote.made_at)),
        texts["valid_until"]: words.day(quote.valid_until),
        texts["approved"]: agreed if quote.status in AGREED else "",
        texts["instrument"]: str(examination.instrument),
        texts["site"]: examination.instrument.site.name,
        texts["examined_on"]: words.day(timezone.localdate(examination.examined_at)),
        words.texts["priced"]["our_tax_number"]: seller["tax_number"],
        words.texts["priced"]["your_tax_number"]: buyer["tax_number"],
    }
    return [(name, value) for name, value in facts.items() if value]


def range_told(quote: Quote, priced: Priced) -> list[str]:
    """Return how long the work may take, and what it may come to then.

    That is reckoned for the firm part, so nothing is said of it beside options that were taken.
    """
    is_firm_part = not any(option.agreement_id for option in quote.options.all())
    if quote.minutes_low == quote.minutes_high or not is_firm_part:
        return []
    texts = priced.words.texts["quote"]

    def hours(minutes: Decimal) -> str:
        return priced.words.number(rounded(minutes / 60, 1))

    taken = texts["minutes"].format(
        likely=hours(quote.minutes_likely),
        low=hours(quote.minutes_low),
        high=hours(quote.minutes_high),
    )
    money = texts["range"].format(
        low=priced.money(quote.net_low), high=priced.money(quote.net_high)
    )
    return [f"{taken} {money}"]


def deposit_told(quote: Quote, priced: Priced) -> list[str]:
    """Return what is asked for beforehand, of the options too if it is a percentage."""
    texts, percent = priced.words.texts["approval"], quote.deposit_percent
    amount = deposit_of(quote, priced.document)
    if not amount:
        return []
    told = [texts["deposit"].format(amount=priced.money(amount))]
    if percent and quote.status == QuoteStatus.OFFERED and quote.options.all():
        told.append(texts["deposit_of_options"].format(percent=priced.words.percent(percent)))
    return [" ".join(told)]


def _options(quote: Quote, priced: Priced) -> list[Section]:
    """Return what the client may tick, while that is open."""
    if quote.status != QuoteStatus.OFFERED or not quote.options.all():
        return []
    texts, options = priced.words.texts["quote"], quote.options.all()
    told = [
        texts["option_default" if each.is_default else "option"].format(
            title=each.title, amount=priced.money(each.gross_total)
        )
        for each in options
    ]
    return [Section(texts["options"], told, ticked=[each.is_default for each in options])]


def _added(change: ExtraWork) -> Section:
    return Section(change.title, change.told, columns=change.columns(), rows=change.rows())


def _follow_up(quote: Quote, words: Wording) -> list[str]:
    if not hasattr(quote, "follow_up"):
        return []
    return [words.texts["quote"]["room_first"].format(day=words.day(quote.follow_up.due_on))]


def _terms(quote: Quote, words: Wording) -> list[Section]:
    paragraphs = [line for line in quote.terms.splitlines() if line.strip()]
    return [Section(words.texts["approval"]["terms"], paragraphs)] if paragraphs else []


def _cautions(quote: Quote, words: Wording) -> list[Section]:
    texts = words.texts["quote"]
    cautions = [
        texts["caution"].format(title=words.said(each["title"]), text=words.said(each["text"]))
        for each in cautions_in(quote.diagnosis)
    ]
    return [Section(texts["cautions"], cautions)] if cautions else []
