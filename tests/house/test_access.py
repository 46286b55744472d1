"""Who may do what: every method of every route, beside what its view grants."""

import pytest
from rest_framework.test import APIRequestFactory

from shop.http.permissions import granted
from tests.house.routes import api_routes, made_for

EVERYONE = {"technician", "office", "owner"}
OFFICE = {"office", "owner"}
OWNER = {"owner"}

READ = {"GET": EVERYONE}
# By the names of routes. What is done in the room and at the bench is everyone's, money and the
# office's cards are the office's, what the shop charges, tax and people are the owner's.
ACCESS = {
    "aged-receivables": {"GET": OFFICE},
    "allocation-detail": {"GET": OFFICE},
    "allocation-list": {"GET": OFFICE},
    "allocation-reverse": {"POST": OFFICE},
    "bank-statement-accept-certain": {"POST": OFFICE},
    "bank-statement-detail": {"GET": OFFICE},
    "bank-statement-list": {"GET": OFFICE},
    "bank-statement-proposals": {"GET": OFFICE},
    "bank-statement-take-in": {"POST": OFFICE},
    "bench-work-detail": READ,
    "bench-work-list": READ,
    "cause-detail": READ,
    "cause-list": READ,
    "caution-detail": READ,
    "caution-list": READ,
    "check-detail": READ,
    "check-list": READ,
    "check-result-detail": READ | {"DELETE": EVERYONE},
    "client-decision-detail": {"GET": OFFICE},
    "client-decision-list": {"GET": OFFICE},
    "client-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "client-list": READ | {"POST": OFFICE},
    "client-statement-document-statement-pdf": {"GET": OFFICE},
    "client-statement-statement": {"GET": OFFICE},
    "component-detail": READ,
    "component-list": READ,
    "count-entry-sheet-export": {"GET": OFFICE},
    "count-entry-sheet-import-rows": {"POST": OFFICE},
    "count-entry-sheet-trial": {"POST": OFFICE},
    "count-list": {"POST": OFFICE},
    "count-sheet-counted": {"POST": EVERYONE},
    "count-sheet-detail": READ,
    "count-sheet-drop": {"POST": OFFICE},
    "count-sheet-list": READ | {"POST": OFFICE},
    "count-sheet-settle": {"POST": OFFICE},
    "examination-centre-centres": READ,
    "examination-check-result-list": READ | {"POST": EVERYONE},
    "cure-report": READ,
    "examination-comparison-comparison": READ,
    "examination-comparison-comparison-keyboard": READ,
    "examination-next-checks-next-checks": READ,
    "examination-work-sheet-document-work-sheet-pdf": READ,
    "examination-work-sheet-work-sheet": READ,
    "examination-detail": READ | {"PATCH": EVERYONE, "DELETE": EVERYONE},
    "examination-diagnosis-diagnosis": READ,
    "examination-finding-list": READ | {"POST": EVERYONE},
    "examination-keyboard-keyboard": READ,
    "examination-list": READ | {"POST": EVERYONE},
    "examination-plans-plans": READ,
    "examination-quote-quote": {"POST": EVERYONE},
    "examination-spread-spread": READ,
    "examination-touch-touch": READ,
    "examination-touch-weight-list": READ | {"POST": EVERYONE},
    "examination-work-estimate": READ,
    "examination-work-kit": READ,
    "fault-detail": READ,
    "fault-list": READ,
    "fee-detail": READ | {"PATCH": OWNER, "DELETE": OWNER},
    "fee-list": READ | {"POST": OWNER},
    "follow-up-detail": READ | {"PATCH": EVERYONE},
    "follow-up-list": READ,
    "finding-detail": READ | {"PATCH": EVERYONE, "DELETE": EVERYONE},
    "finding-list": READ,
    "goods-received-list": {"POST": OFFICE},
    "goods-returned-list": {"POST": OFFICE},
    "instrument-keyboard-keyboard": READ,
    "instrument-detail": READ | {"PATCH": EVERYONE, "DELETE": OFFICE},
    "instrument-history": READ,
    "instrument-list": READ | {"POST": EVERYONE},
    "instrument-reading-readings": {"POST": EVERYONE},
    "invoice-adjust": {"POST": OFFICE},
    "invoice-credit": {"POST": OFFICE},
    "instrument-room-room": READ,
    "instrument-room-room-chart": READ,
    "invoice-detail": {"GET": OFFICE, "DELETE": OFFICE},
    "invoice-document-pdf": {"GET": OFFICE},
    "invoice-issue": {"POST": OFFICE},
    "invoice-list": {"GET": OFFICE},
    "invoice-payments": {"POST": OFFICE},
    "invoice-write-off": {"POST": OFFICE},
    "invoice-xml": {"GET": OFFICE},
    "job-margins": {"GET": OFFICE},
    "journal": {"GET": OFFICE},
    "labour-rate-detail": READ | {"PATCH": OWNER, "DELETE": OWNER},
    "labour-rate-list": READ | {"POST": OWNER},
    "learning-reset-detail": READ,
    "learning-reset-list": READ | {"POST": OWNER},
    "ledger-account-detail": {"GET": OFFICE, "PATCH": OWNER},
    "ledger-account-list": {"GET": OFFICE},
    "level-detail": READ,
    "label-detail": READ,
    "label-sheet": READ,
    "level-list": READ,
    "measured-range-detail": READ,
    "measured-range-list": READ,
    "move-detail": READ,
    "move-list": READ,
    "opening-stock-sheet-export": {"GET": OFFICE},
    "opening-stock-sheet-import-rows": {"POST": OFFICE},
    "opening-stock-sheet-trial": {"POST": OFFICE},
    "part-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "part-list": READ | {"POST": OFFICE},
    "part-price-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "part-price-list": READ | {"POST": OFFICE},
    "part-sheet-export": {"GET": OFFICE},
    "part-sheet-import-rows": {"POST": OFFICE},
    "part-sheet-trial": {"POST": OFFICE},
    "payment-allocate": {"POST": OFFICE},
    "payment-detail": {"GET": OFFICE},
    "payment-list": {"GET": OFFICE, "POST": OFFICE},
    "payment-refund": {"POST": OFFICE},
    "payment-reverse": {"POST": OFFICE},
    "pin-sizes": READ,
    "pin-trial": READ,
    "place-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "place-list": READ | {"POST": OFFICE},
    "price-book": READ,
    "price-book-preview": {"POST": OFFICE},
    "place-packing-load": {"POST": EVERYONE},
    "place-packing-packing-list": READ,
    "purchase-order-close": {"POST": OFFICE},
    "purchase-order-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "purchase-order-document-document": {"GET": OFFICE},
    "purchase-order-list": READ | {"POST": OFFICE},
    "purchase-order-receipts": {"POST": OFFICE},
    "purchase-order-returns": {"POST": OFFICE},
    "purchase-order-send": {"POST": OFFICE},
    "purchase-order-sheet": {"GET": OFFICE},
    "quote-approve": {"POST": EVERYONE},
    "quote-bag-give-parts": {"POST": EVERYONE},
    "quote-bag-top-up": {"POST": EVERYONE},
    "quote-bench-work": {"POST": EVERYONE},
    "quote-complete": {"POST": EVERYONE},
    "quote-decline": {"POST": EVERYONE},
    "quote-deposit-invoice": {"POST": OFFICE},
    "quote-detail": READ,
    "quote-document-pdf": READ,
    "quote-invoice": {"POST": OFFICE},
    "quote-link-link": {"POST": EVERYONE},
    "quote-list": READ,
    "quote-part-invoice": {"POST": OFFICE},
    "quote-parts-used-parts-used": {"GET": OFFICE},
    "quote-withdraw": {"POST": EVERYONE},
    "reading-detail": READ | {"PATCH": EVERYONE, "DELETE": EVERYONE},
    "reading-list": READ | {"POST": EVERYONE},
    "receipt-detail": READ,
    "receipt-list": READ,
    "refund-detail": {"GET": OFFICE},
    "refund-list": {"GET": OFFICE},
    "refund-reverse": {"POST": OFFICE},
    "remedy-detail": READ,
    "remedy-list": READ,
    "remedy-minutes": READ,
    "reminder-detail": {"GET": OFFICE},
    "reminder-document-pdf": {"GET": OFFICE},
    "reminder-due": {"GET": OFFICE},
    "reminder-level-detail": {"GET": OFFICE, "PATCH": OWNER, "DELETE": OWNER},
    "reminder-level-list": {"GET": OFFICE, "POST": OWNER},
    "reminder-list": {"GET": OFFICE, "POST": OFFICE},
    "reminder-mail": {"POST": OFFICE},
    "reminder-text-detail": {"GET": OFFICE, "PATCH": OWNER, "DELETE": OWNER},
    "reminder-text-list": {"GET": OFFICE, "POST": OWNER},
    "reorder-report": READ,
    "reorder-report-orders": {"POST": OFFICE},
    "reorder-report-by-supplier": READ,
    "sales-summary": {"GET": OFFICE},
    "scrapped-list": {"POST": OFFICE},
    "set-up-detail": READ,
    "set-up-list": READ,
    "shop-logo": READ | {"PUT": OWNER, "DELETE": OWNER},
    "shop-profile": READ | {"PATCH": OWNER},
    "site-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "site-list": READ | {"POST": OFFICE},
    "species-detail": READ,
    "species-list": READ,
    "statement-entry-accept": {"POST": OFFICE},
    "statement-entry-detail": {"GET": OFFICE},
    "statement-entry-dismiss": {"POST": OFFICE},
    "statement-entry-list": {"GET": OFFICE},
    "statement-entry-proposals": {"GET": OFFICE},
    "statement-entry-reopen": {"POST": OFFICE},
    "stock-account": {"GET": OFFICE},
    "stock-value": {"GET": OFFICE},
    "supplier-detail": READ | {"PATCH": OFFICE, "DELETE": OFFICE},
    "supplier-list": READ | {"POST": OFFICE},
    "supplier-offer-detail": {"GET": OFFICE, "PATCH": OFFICE, "DELETE": OFFICE},
    "supplier-offer-list": {"GET": OFFICE, "POST": OFFICE},
    "supplier-offer-sheet-export": {"GET": OFFICE},
    "supplier-offer-sheet-import-rows": {"POST": OFFICE},
    "supplier-offer-sheet-trial": {"POST": OFFICE},
    "supplier-return-detail": READ,
    "supplier-return-list": READ,
    "tax-category-detail": READ | {"PATCH": OWNER, "DELETE": OWNER},
    "tax-category-list": READ | {"POST": OWNER},
    "tax-rate-detail": READ | {"PATCH": OWNER, "DELETE": OWNER},
    "tax-rate-list": READ | {"POST": OWNER},
    "tool-detail": READ,
    "tool-list": READ,
    "touch-weight-detail": READ | {"DELETE": EVERYONE},
    "transfer-list": {"POST": EVERYONE},
    "user-detail": {"GET": OFFICE, "PATCH": OWNER},
    "user-list": {"GET": OFFICE, "POST": OWNER},
    "user-revoke-tokens": {"POST": OWNER},
    "user-token": {"POST": OWNER},
    "visit-cancel": {"POST": EVERYONE},
    "visit-complete": {"POST": EVERYONE},
    "visit-detail": READ | {"PATCH": EVERYONE, "DELETE": OFFICE},
    "visit-list": READ | {"POST": EVERYONE},
    "write-off-detail": {"GET": OFFICE},
    "write-off-list": {"GET": OFFICE},
    "write-off-reverse": {"POST": OFFICE},
}
ROUTES = api_routes()


def test_every_method_of_every_route_is_granted_to_those_who_need_it_and_nobody_else():
    grants = {
        route.name: {
            method: {str(role) for role in granted(route.view(method), method)}
            for method in route.actions
        }
        for route in ROUTES
    }

    assert grants == ACCESS


def test_every_view_asks_who_is_calling():
    for route in ROUTES:
        for method in route.actions:
            view = route.view(method)
            view.request = APIRequestFactory().generic(method, "/")
            assert [type(each).__name__ for each in view.get_permissions()] == ["RoleGranted"]
            assert [type(each).__name__ for each in view.get_authenticators()] == [
                "TokenAuthentication"
            ]


@pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.name)
def test_the_answer_is_forbidden_exactly_where_the_table_says(technician, office, owner, route):
    path = route.path_of(made_for(route))
    for caller in (technician, office, owner):
        for method in ACCESS[route.name]:
            # Whoever gets through to the body is told that it cannot be read: nothing is changed.
            body = b'{"name": ' if method in {"POST", "PATCH"} else None
            is_granted = caller.user.role in ACCESS[route.name][method]
            expected = {True: {200, 400, 428}, False: {403}}[is_granted]
            assert caller(method, path, body).status_code in expected, (caller.user.role, method)
