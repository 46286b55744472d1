"""How often clients say yes."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import Count, Q

from billing.models import Quote, QuoteStatus
from shop.rules.quantities import thousandths

YES = [QuoteStatus.APPROVED, QuoteStatus.COMPLETED]
NO = [QuoteStatus.DECLINED, QuoteStatus.EXPIRED]
# Estimate: a shop without a history is taken to have heard two clients say yes and one say no.
PRIOR_YES, PRIOR_NO = 2, 1
REMEMBERED = timedelta(days=730)


def approval_chance(now: datetime) -> Decimal:
    """Return the chance that an offered quote is approved, by those of two years and a prior.

    It is the mean of the beta distribution that the prior and the answers give. A quote that was
    withdrawn or superseded was answered by nobody.
    """
    answered = Quote.objects.filter(made_at__gte=now - REMEMBERED).aggregate(
        yes=Count("pk", filter=Q(status__in=YES)), no=Count("pk", filter=Q(status__in=NO))
    )
    yes, no = answered["yes"] + PRIOR_YES, answered["no"] + PRIOR_NO
    return thousandths(Decimal(yes) / (yes + no))
