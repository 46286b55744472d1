"""What quotes wanted and could not get."""

from django.db.models import (
    Exists,
    F,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
)
from django.db.models.functions import Coalesce, Greatest

from billing.models import OPEN_STATUSES, BagLine, QuoteStatus
from shop.models import Move, MoveReason, Part
from shop.queries.parts import NOTHING


def short_lines() -> QuerySet[BagLine]:
    """Return the lines whose bag could not be filled when the quote was made, with what it lacks.

    `lacking` is less by what has been put into the bag since.
    """
    moves = Move.objects.filter(part=OuterRef("part"), reason=MoveReason.BAGGED)
    put_in = moves.filter(to_place=OuterRef("quote__bag")).order_by().values("part")
    total = Coalesce(Subquery(put_in.annotate(total=Sum("quantity")).values("total")), NOTHING)
    short = BagLine.objects.filter(taken_quantity__lt=F("wanted_quantity"))
    reached = Greatest(total, F("taken_quantity"))
    return short.annotate(lacking=Greatest(F("wanted_quantity") - reached, NOTHING))


def missed_lines() -> QuerySet[BagLine]:
    """Return the short lines that were demand.

    So they are while the quote is open, and when its job was done with nothing of the part left
    over. A client who declined or let the quote expire wanted nothing after all, and what was
    withdrawn is quoted anew if it is wanted.
    """
    left_over = Move.objects.filter(
        part=OuterRef("part"), from_place=OuterRef("quote__bag"), reason=MoveReason.UNBAGGED
    )
    done = Q(quote__status=QuoteStatus.COMPLETED) & ~Exists(left_over)
    return short_lines().filter(Q(quote__status__in=OPEN_STATUSES) | done)


def with_shortages(parts: QuerySet[Part]) -> QuerySet[Part]:
    """Return parts with `short`, what the bags of open quotes lack of each."""
    lines = short_lines().filter(part=OuterRef("pk"), quote__status__in=OPEN_STATUSES)
    lacking = lines.order_by().values("part").annotate(total=Sum("lacking"))
    return parts.annotate(short=Coalesce(Subquery(lacking.values("total")), NOTHING))
