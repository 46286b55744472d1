"""Looking again, once a treated room had time to settle."""

from datetime import date, timedelta

from django.db import transaction

from billing.models import FollowUp, Quote
from shop.errors import FieldError, InvalidInput
from shop.models import SETTLE_DAYS, ShopProfile


@transaction.atomic
def follow_up_make(*, quote: Quote, due_on: date) -> FollowUp:
    """Return the follow-up that is due after a quote which treats the room first."""
    return FollowUp.objects.create(quote=quote, due_on=due_on)


@transaction.atomic
def follow_up_move(*, follow_up: FollowUp, due_on: date) -> FollowUp:
    """Make a follow-up due on another day and return it; the row is locked.

    Raises:
        InvalidInput: `follow-up-too-soon`, the room would have less than a week to settle.
    """
    earliest = follow_up.quote.made_at.date() + timedelta(days=SETTLE_DAYS[0])
    if due_on < earliest:
        detail = f"A treated room needs a week to settle: look again on {earliest} or later."
        error = FieldError("/due_on", "follow-up-too-soon", detail)
        raise InvalidInput("invalid-input", detail, (error,))
    follow_up.due_on = due_on
    follow_up.save(update_fields=["due_on"])
    return follow_up


@transaction.atomic
def follow_up_await(*, quote: Quote, approved_on: date) -> None:
    """Give a room that is treated from the approval on its days to settle."""
    follow_up = FollowUp.objects.select_for_update().filter(quote=quote).first()
    if follow_up:
        settled_on = approved_on + timedelta(days=ShopProfile.objects.get().settle_days)
        follow_up.due_on = max(follow_up.due_on, settled_on)
        follow_up.save(update_fields=["due_on"])
