from datetime import timedelta
from decimal import Decimal

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.utils import timezone

from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue
from billing.actions.reminders import reminders_mail
from billing.models import Invoice, Reminder, ReminderLevel
from shop.models import Client, ShopProfile
from tests.billing.api.test_quotes import refused
from tests.factories.billing import CreditNoteFactory, InvoiceFactory, issued
from tests.factories.payments import AllocationFactory, WriteOffFactory
from tests.factories.reminders import ReminderFactory
from tests.factories.shop import ClientFactory, UserFactory
from tests.factories.world import NOW


class RefusingBackend(EmailBackend):
    """A mail server that takes nothing."""

    def send_messages(self, _):
        raise ConnectionRefusedError


def overdue(days, **client):
    """Return an issued invoice over 117.50 that is so many days overdue."""
    owing = ClientFactory(**{"name": "Eel Pie Lane School", "email": "a@eel-pie.example"} | client)
    draft = InvoiceFactory(client=owing)
    due_on = timezone.localdate() - timedelta(days=days)
    dated = {"issued_on": due_on - timedelta(days=14), "due_on": due_on}
    Invoice.objects.filter(pk=draft.pk).update(**issued() | dated, reference="RF18539007547034")
    return Invoice.objects.get(pk=draft.pk)


def shown(office):
    response = office.get("/reminders/due")
    assert response.status_code == 200, response.content
    return response.json()


@pytest.fixture
def send(office, django_capture_on_commit_callbacks):
    def sent(seen, **values):
        with django_capture_on_commit_callbacks(execute=True):
            return office.post("/reminders", {"seen": seen, **values})

    return sent


def test_what_would_be_sent_is_shown_to_whom_and_in_full_and_nothing_is_sent(office):
    ShopProfile.objects.update(name="Reedham Pianos", iban="DE89370400440532013000")
    late, _ = overdue(8), overdue(6)
    answer = shown(office)
    assert len(answer["items"]) == 1
    row = answer["items"][0]
    assert (row["invoice"], row["email"], row["level"]) == (late.pk, "a@eel-pie.example", 1)
    assert (row["days_overdue"], row["open_total"], row["total"]) == (8, "117.50", "117.50")
    assert late.number in row["subject"]
    for said in ("Eel Pie Lane School", late.number, "117.50", "RF18539007547034", "Reedham"):
        assert said in row["body"]
    assert "$" not in row["body"]
    assert "Local law".lower() in answer["note"].lower()
    assert (mail.outbox, Reminder.objects.count()) == ([], 0)


def test_what_was_seen_is_sent_and_recorded_once(office, send):
    ShopProfile.objects.update(name="Reedham Pianos", email="office@reedham.example")
    late = overdue(8)
    seen = shown(office)["seen"]
    answer = send(seen)
    assert answer.status_code == 201, answer.content
    made = answer.json()["items"]
    assert [(row["invoice"], row["channel"], row["level"]) for row in made] == [
        (late.pk, "mail", 1)
    ]
    sender = "Reedham Pianos <office@reedham.example>"
    assert [(each.from_email, each.to, each.subject) for each in mail.outbox] == [
        (sender, ["a@eel-pie.example"], made[0]["subject"])
    ]
    kept = office.get(f"/reminders/{made[0]['id']}").json()
    assert kept["mailed_at"]
    assert kept["body"] == mail.outbox[0].body
    assert (kept["seller"]["name"], kept["buyer"]["name"]) == (
        "Reedham Pianos",
        "Eel Pie Lane School",
    )
    assert (shown(office)["items"], len(mail.outbox)) == ([], 1)
    refused(send(seen), 409, "reminders-changed")
    again = office.post(f"/reminders/{made[0]['id']}/mail")
    refused(again, 409, "reminder-mailed")


def test_what_changed_since_it_was_seen_is_not_sent(office, send):
    late = overdue(8)
    seen = shown(office)["seen"]
    AllocationFactory(invoice=late, amount=Decimal(40), booked_on=timezone.localdate())
    refused(send(seen), 409, "reminders-changed")
    assert (mail.outbox, Reminder.objects.count()) == ([], 0)
    assert shown(office)["items"][0]["open_total"] == "77.50"


def test_only_the_named_invoices_are_reminded_of(office, send):
    first, second = overdue(8), overdue(9)
    seen = shown(office)["seen"]
    refused(send(seen, invoices=[first.pk, 987654321]), 409, "reminder-not-due")
    made = send(seen, invoices=[second.pk]).json()["items"]
    assert [row["invoice"] for row in made] == [second.pk]
    assert [row["invoice"] for row in shown(office)["items"]] == [first.pk]


def test_a_client_without_an_address_is_named_and_gets_a_letter_if_wished(office, send):
    overdue(8, name="Marsh End Hall", email="")
    answer = shown(office)
    assert answer["unreachable"] == ["Marsh End Hall"]
    assert answer["items"][0]["hindrance"] == "no-email"
    assert send(answer["seen"]).json()["items"] == []
    made = send(answer["seen"], letters=True).json()["items"]
    assert [(row["channel"], row["email"], row["mailed_at"]) for row in made] == [
        ("letter", "", None)
    ]
    assert mail.outbox == []
    refused(office.post(f"/reminders/{made[0]['id']}/mail"), 409, "reminder-mailed")


def test_interest_and_fee_are_asked_for_only_where_the_shop_sets_them(office):
    overdue(10)
    ReminderLevel.objects.filter(level=1).update(fee_amount=Decimal("2.50"))
    plain = shown(office)["items"][0]
    assert (plain["interest_amount"], plain["fee_amount"]) == ("0.00", "2.50")
    ShopProfile.objects.update(late_interest_percent=Decimal("36.5"))
    row = shown(office)["items"][0]
    # A thousandth of 117.50 a day, ten days: 1.175, halves up.
    assert [row[name] for name in ("interest_amount", "fee_amount", "total")] == [
        *("1.18", "2.50", "121.18")
    ]
    for said in ("36.5", "1.18", "2.50", "121.18"):
        assert said in row["body"]


def test_interest_runs_on_what_was_open_and_never_on_what_was_credited(office):
    late, today = overdue(10), timezone.localdate()
    ShopProfile.objects.update(late_interest_percent=Decimal("36.5"))
    credited = {"corrects": late, "tax_total": Decimal(0), "taxes__tax_percent": 0}
    note, _ = (CreditNoteFactory(**credited, net_total=Decimal(net)) for net in ("17.50", 1))
    credit_note_issue(note=note, issued_on=today, recorded=Recorded(NOW, UserFactory()))
    # By hand, a thousandth a day: ten days on 100.00, as if the credited 17.50 had not been owed.
    assert shown(office)["items"][0]["interest_amount"] == "1.00"
    settled = {"invoice": late, "booked_on": today - timedelta(days=4)}
    AllocationFactory(**settled, amount=Decimal(40))
    WriteOffFactory(**settled, amount=Decimal(10))
    # Six days on 100.00 and four on 50.00.
    row = shown(office)["items"][0]
    assert (row["open_total"], row["interest_amount"]) == ("50.00", "0.80")


def test_the_highest_level_that_was_reached_says_which_is_next(office):
    late = overdue(60)
    for level, days in ((2, 30), (1, 40)):
        ReminderFactory(
            invoice=late,
            level=ReminderLevel.objects.get(level=level),
            reminded_on=timezone.localdate() - timedelta(days=days),
        )
    assert [row["level"] for row in shown(office)["items"]] == [3]


def test_a_reminder_that_would_go_to_another_address_than_was_shown_is_not_sent(office, send):
    late = overdue(8)
    seen = shown(office)["seen"]
    Client.objects.filter(pk=late.client_id).update(email="b@eel-pie.example")
    refused(send(seen), 409, "reminders-changed")


def test_a_client_is_written_to_in_their_language(office, send):
    overdue(8, language="de")
    row = shown(office)["items"][0]
    assert row["language"] == "de"
    assert "Rechnung" in row["subject"]
    assert "117,50" in row["body"]
    ReminderLevel.objects.get(level=1).texts.filter(language="de").delete()
    assert shown(office)["items"][0]["language"] == "en"
    ReminderLevel.objects.get(level=1).texts.all().delete()
    unwritten = shown(office)
    assert unwritten["items"][0]["hindrance"] == "no-text"
    assert send(unwritten["seen"], letters=True).json()["items"] == []


def test_a_mail_that_the_server_does_not_take_is_sent_again(office, send, settings):
    settings.EMAIL_BACKEND = f"{__name__}.RefusingBackend"
    overdue(8)
    made = send(shown(office)["seen"]).json()["items"][0]
    assert office.get("/reminders?is_mailed=false").json()["items"][0]["id"] == made["id"]


def test_an_unsent_mail_goes_out_when_asked(office, django_capture_on_commit_callbacks):
    reminder = ReminderFactory()
    with django_capture_on_commit_callbacks(execute=True):
        assert office.post(f"/reminders/{reminder.pk}/mail").status_code == 200
    # Another process that was about to mail it finds it mailed.
    reminders_mail(keys=[reminder.pk], mailed_at=timezone.now())
    assert [each.to for each in mail.outbox] == [[reminder.email]]
    assert office.get("/reminders?is_mailed=true").json()["items"][0]["id"] == reminder.pk


def test_the_owner_edits_levels_and_texts_and_the_office_does_not(office, owner):
    level = office.get("/reminder-levels").json()["items"][0]
    assert (level["level"], level["fee_amount"]) == (1, None)
    assert {text["language"] for text in level["texts"]} == {"en", "de"}
    path = f"/reminder-texts/{level['texts'][0]['id']}"
    tag = owner.get(path)["ETag"]
    body = '{"body": "Dear $client,\\nplease pay $total."}'
    refused(office("PATCH", path, body, If_Match=tag), 403, "forbidden")
    wrong = refused(owner("PATCH", path, '{"body": "$all"}', If_Match=tag), 400, "invalid-input")
    assert [error["code"] for error in wrong["errors"]] == ["placeholder"]
    changed = owner("PATCH", path, body, If_Match=tag)
    assert changed.json()["body"] == "Dear $client,\nplease pay $total."
    made = owner.post("/reminder-levels", {"level": 4, "days_after_due": 20})
    refused(made, 409, "levels-disordered")


def test_a_level_that_was_used_stays(owner):
    reminder = ReminderFactory()
    path = f"/reminder-levels/{reminder.level_id}"
    tag = owner.get(path)["ETag"]
    assert owner("DELETE", path, If_Match=tag).status_code == 409
