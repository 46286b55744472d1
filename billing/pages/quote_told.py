"""A quote in words for the client: what was found, what is proposed and why, what it costs."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from billing.models import Quote, QuoteStatus
from billing.pages.extra_work import ExtraWork, extra_work_agreed, total_in_all
from billing.pages.priced import Quoted, quote_priced
from billing.pages.quotes import deposit_told, range_told
from billing.queries.quote_links import ANSWERED
from billing.rules.reasons import Place, Proposal, Reason, faults_found, proposals
from diagnostics.queries.instruments import compass_of, name_of
from diagnostics.queries.snapshot import cautions_in, findings_in, look_in
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.note_names import notes_said, notes_text
from diagnostics.rules.pictures.examination import examination_svg
from shop.pages.wording import Wording

Values = dict[str, Any]


class QuoteTold:
    """What a page says of a quote, with its rows read; all of it is text, but for the picture."""

    def __init__(self, quote: Quote, words: Wording) -> None:
        self.quote = quote
        self.words = words
        self.texts = words.texts["approval"]
        self.priced = quote_priced(quote, words)
        self.diagnosis: Mapping[str, Any] = quote.diagnosis
        self.instrument = quote.examination.instrument
        self.compass: Compass = compass_of(self.instrument)
        self.name = name_of(self.instrument, words.words)

    def values(self) -> Values:
        """Return everything that the page's template reads."""
        options, added = self._options(), extra_work_agreed(self.quote, self.words)
        totals = self.priced.totals(self.texts["payable_total"])
        return {
            "quote": self.quote,
            "title": self.texts["title"].format(number=self.quote.pk),
            "instrument": self.name,
            "complaint": self.diagnosis.get("complaint", ""),
            "valid_until": self.words.day(self.quote.valid_until),
            "approve": self.texts["approve_with_options" if options else "approve"].format(
                amount=self.priced.money(self.quote.payable_total)
            ),
            "options": options,
            "ticked": [option["position"] for option in options if option["is_default"]],
            "found": self._found(),
            "picture": self._picture(),
            "proposals": self._proposed(),
            "waiting": self._proposals(self.diagnosis.get("waiting", ())),
            "undecided": self._proposals(self.diagnosis.get("undecided", ())),
            "look_again": self._look_again(),
            "lines": self._lines(self.priced),
            "totals": [*totals, *total_in_all(self.priced, added)],
            "added": [self._added(each) for each in added],
            "range": range_told(self.quote, self.priced),
            "deposit": deposit_told(self.quote, self.priced),
            "exemptions": self.priced.exemptions(),
            "cautions": [
                {name: self.words.said(each[name]) for name in ("title", "text")}
                for each in cautions_in(self.diagnosis)
            ],
            "answer": answer_told(self.quote, self.words),
        }

    def other(self, quote: Quote) -> str:
        """Return what another quote offers that the client may approve instead."""
        amount = self.words.money(quote.payable_total, quote.currency, quote.minor_units)
        return self.texts[f"other_{quote.plan}"].format(amount=amount)

    def _options(self) -> list[Values]:
        return [
            {
                "position": str(option.position),
                "title": option.title,
                "amount": self.priced.money(option.gross_total),
                "is_default": option.is_default,
            }
            for option in self.quote.options.all()
        ]

    def _found(self) -> list[Values]:
        """Return each fault in plain words, and where it is."""
        found = faults_found(findings_in(self.diagnosis))
        plain = self.diagnosis.get("faults", {})
        return [
            {
                "name": self.words.said(name),
                "plain": self.words.said(plain.get(name, "")),
                "places": self._places(places),
            }
            for name, places in found.items()
        ]

    def _picture(self) -> SafeString:
        look, faults = look_in(self.diagnosis, self.quote.examination)
        drawn = examination_svg(look, faults, title=self.name, words=self.words.words)
        # Every text in it is escaped where it is drawn.
        return mark_safe(drawn)  # noqa: S308

    def _proposed(self) -> list[Values]:
        """Return the remedies; those of options are said to be so, or left out if not taken."""
        codes = {
            line.remedy.code
            for line in self.quote.lines.all()
            if line.remedy and line.option and not line.option.agreement_id
        }
        findings = self.diagnosis.get("findings", ())
        offered = (each["remedy"] for each in findings if each.get("remedy_code") in codes)
        optional = set(map(self.words.said, offered))
        told = self._proposals(findings)
        if self.quote.status in ANSWERED:
            return [each for each in told if each["remedy"] not in optional]
        return [each | {"is_optional": each["remedy"] in optional} for each in told]

    def _proposals(self, findings: Iterable[Mapping[str, Any]]) -> list[Values]:
        return [
            {
                "remedy": self.words.said(proposal.remedy),
                "places": self._places(_places_of(proposal)),
                "reasons": [self._reason(reason) for reason in proposal.reasons],
            }
            for proposal in proposals(findings)
        ]

    def _reason(self, reason: Reason) -> str:
        told = self.texts["reason" if reason.cause else "reason_open"]
        places = self._places(reason.places)
        fault, cause = self.words.said(reason.fault), self.words.said(reason.cause)
        return told.format(fault=fault, places=places, cause=cause)

    def _places(self, places: Iterable[Place]) -> str:
        notes = {place for place in places if place is not None}
        named = [notes_said(self.words.words, notes_text(notes, self.compass))] if notes else []
        if None in set(places):
            named.append(self.texts["whole_instrument"])
        return ", ".join(named)

    def _look_again(self) -> str:
        if not hasattr(self.quote, "follow_up"):
            return ""
        day = self.words.day(self.quote.follow_up.due_on)
        return self.texts["look_again"].format(day=day)

    def _added(self, work: ExtraWork) -> Values:
        return {"title": work.title, "told": work.told, "lines": self._lines(work)}

    def _lines(self, priced: Quoted) -> list[Values]:
        return [
            {
                "description": line.description,
                "details": ", ".join(self._details(line, priced)),
                "amount": priced.amount(line.net_amount),
            }
            for line in priced.lines
        ]

    def _details(self, line: Any, priced: Quoted) -> list[str]:
        unit = self.words.texts["units"].get(line.unit, line.unit)
        each = self.words.price(line.unit_price, self.quote.minor_units)
        details = [f"{self.words.number(line.quantity)} {unit} × {each}"]
        details += priced.small_print(line)
        if priced.is_taxed:
            tax = self.words.percent(line.tax_percent)
            details.append(f"{priced.texts['tax_percent']} {tax}")
        return details


def answer_told(quote: Quote, words: Wording) -> str:
    """Return who answered the quote, how and when; "" when nobody did."""
    if quote.status not in ANSWERED or not quote.decided_at:
        return ""
    kind = "was_declined" if quote.status == QuoteStatus.DECLINED else "was_approved"
    day = words.day(timezone.localdate(quote.decided_at))
    told = words.texts["approval"][kind if quote.decided_by_name else f"{kind}_by_nobody"]
    return told.format(name=quote.decided_by_name, day=day)


def _places_of(proposal: Proposal) -> list[Place]:
    return [place for reason in proposal.reasons for place in reason.places]
