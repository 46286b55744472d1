"""TRUNCATE, which row triggers never see: asked for by the tables' owner, who is allowed to."""

import pytest
from django.db import connections

from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db(databases=["default", "owner"])


@pytest.mark.parametrize(
    ("rule", "table"),
    [
        ("billing_quote_no_truncate", "billing_quote"),
        ("billing_quoteline_no_truncate", "billing_quoteline"),
        ("billing_quoteallowance_no_truncate", "billing_quoteallowance"),
        ("billing_invoiceallowance_no_truncate", "billing_invoiceallowance"),
        ("billing_quotetax_no_truncate", "billing_quotetax"),
        ("billing_bagline_no_truncate", "billing_bagline"),
        ("billing_quoteoption_no_truncate", "billing_quoteoption"),
        ("billing_quoteoptionpart_no_truncate", "billing_quoteoptionpart"),
        ("billing_quoteagreement_no_truncate", "billing_quoteagreement"),
        ("billing_quoteagreementtax_no_truncate", "billing_quoteagreementtax"),
        ("billing_quotechange_no_truncate", "billing_quotechange"),
        ("billing_quotechangeline_no_truncate", "billing_quotechangeline"),
        ("billing_quotechangetax_no_truncate", "billing_quotechangetax"),
        ("billing_quotechangepart_no_truncate", "billing_quotechangepart"),
        ("billing_numberseries_no_truncate", "billing_numberseries"),
        ("billing_invoice_no_truncate", "billing_invoice"),
        ("billing_invoiceline_no_truncate", "billing_invoiceline"),
        ("billing_invoicetax_no_truncate", "billing_invoicetax"),
        ("billing_payment_no_truncate", "billing_payment"),
        ("billing_bankstatement_no_truncate", "billing_bankstatement"),
        ("billing_statemententry_no_truncate", "billing_statemententry"),
        ("billing_refund_no_truncate", "billing_refund"),
        ("billing_allocation_no_truncate", "billing_allocation"),
        ("billing_writeoff_no_truncate", "billing_writeoff"),
        ("billing_clientdecision_no_truncate", "billing_clientdecision"),
        ("billing_weeklyshortage_no_truncate", "billing_weeklyshortage"),
        ("billing_reminder_no_truncate", "billing_reminder"),
        ("billing_ledgeraccount_no_truncate", "billing_ledgeraccount"),
    ],
)
def test_documents_cannot_be_emptied_and_prices_can(rule, table):
    with connections["owner"].cursor() as cursor:
        with refused(rule, using="owner"):
            cursor.execute(f"TRUNCATE {table} CASCADE")
        with accepted(using="owner"):
            cursor.execute("TRUNCATE billing_fee CASCADE")
