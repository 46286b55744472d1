"""Sheets sent as CSV, and what is said of them."""

from tests.callers import Caller
from tests.shop.api.conftest import answered


def send(asker, path, text, status=200, **headers):
    response = Caller.__call__(
        asker, "POST", f"/sheets/{path}", text.encode(), "text/csv", **headers
    )
    return answered(response, status)


def exported(asker, path):
    response = Caller.__call__(asker, "GET", f"/sheets/{path}/export", Accept="text/csv")
    assert response.status_code == 200
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    return response.content.decode()


def fates(outcome):
    return [row["fate"] for row in outcome["items"]]


def reasons(outcome):
    """Return why rows are refused: each pointer with its code."""
    return [
        (reason["pointer"], reason["code"]) for row in outcome["items"] for reason in row["reasons"]
    ]
