"""Numbers of invoices and credit notes, given out one after the other."""

from typing import ClassVar

from shop.models.number_series import DocumentSeries, series_guards


class NumberSeries(DocumentSeries):
    """The last number given out to an invoice, or to a credit note, in each year."""

    class Meta(DocumentSeries.Meta):
        verbose_name_plural = "number series"
        triggers: ClassVar = series_guards(
            "billing_numberseries", bearer="billing_invoice", noun="invoice"
        )
