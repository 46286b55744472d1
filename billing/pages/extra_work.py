"""Extra work on a quote, as the client sees it who agreed to the quote."""

from django.utils import timezone

from billing.models import Quote, QuoteChange
from billing.pages.priced import Quoted
from billing.queries.invoiced import agreed_changes
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.note_names import notes_said, notes_text
from shop.pages.papers import Total
from shop.pages.wording import Wording


class ExtraWork(Quoted):
    """A change of a quote in words, with the table of its lines."""

    def __init__(self, change: QuoteChange, quote: Quote, words: Wording) -> None:
        super().__init__(change, words, lines=change.lines.all(), taxes=change.taxes.all())
        self.title = words.texts["extra_work"]["title"].format(number=change.number)
        self.told = [self._why(change, quote), self._agreed(change)]

    def _why(self, change: QuoteChange, quote: Quote) -> str:
        if not change.notes_midi:
            return change.reason
        compass = compass_of(quote.examination.instrument)
        places = notes_said(self.words.words, notes_text(change.notes_midi, compass))
        return f"{places}: {change.reason}"

    def _agreed(self, change: QuoteChange) -> str:
        day = change.decided_at and self.words.day(timezone.localdate(change.decided_at))
        told = self.words.texts["extra_work"][change.status]
        amount = self.money(change.payable_total)
        return told.format(name=change.decided_by_name, day=day, amount=amount)


def extra_work_agreed(quote: Quote, words: Wording) -> list[ExtraWork]:
    """Return what was added to a quote, in its order, as far as it is done and charged."""
    rows = agreed_changes(quote).prefetch_related("lines", "taxes")
    return [ExtraWork(change, quote, words) for change in rows]


def total_in_all(priced: Quoted, added: list[ExtraWork]) -> list[Total]:
    """Return what a quote comes to with what was added to it; nothing where nothing was."""
    if not added:
        return []
    total = sum((each.document.payable_total for each in added), priced.document.payable_total)
    name = priced.words.texts["extra_work"]["total"]
    return [Total(name, priced.money(total), is_strong=True)]
