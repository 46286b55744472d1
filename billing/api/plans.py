"""The plans for an examination: repair now, or treat the room and repair what is left."""

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework.response import Response

from billing.api.examples import PLANS
from billing.api.plan_outputs import PlansOutput
from billing.api.plans_shown import plans_shown
from billing.queries.plans import plans_of
from diagnostics.models import Examination
from diagnostics.queries.examinations import examinations_with_instrument
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import StrictSerializer, TextField
from shop.http.verbs import report
from shop.http.views import ShopViewSet


class RoomRemedyField(TextField):
    """The code of the remedy that treats the room."""

    def __init__(self) -> None:
        super().__init__(
            max_length=60,
            default="",
            help_text=(
                "By which remedy the room is treated; as a finding asks when left out, or else by"
                " the one that takes least time."
            ),
        )


class PlansQuery(StrictSerializer):
    """How the room would be treated."""

    room_remedy = RoomRemedyField()


class ExaminationPlansViewSet(ShopViewSet):
    """The plans for an examination, before one of them is quoted."""

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=PlansOutput, query=PlansQuery, of_one=True, example=PLANS)
    def plans(self) -> Response:
        """Return what either plan costs, how sure that is, and which is advised.

        Treating the room cures no debris, breakage or bowed rail: these are repaired in the first
        visit of either plan.
        """
        today = timezone.localdate()
        found = plans_of(self.found(), day=today, **self.checked_query())
        return self.shown(plans_shown(found, today))
