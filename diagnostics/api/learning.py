"""Starting over with what the shop's own cases taught the catalogue."""

from django.db.models import QuerySet
from django.utils import timezone

from diagnostics.actions.learning import learning_reset
from diagnostics.api.fields import comment_field
from diagnostics.models import LearningReset
from diagnostics.queries.learnt import resets
from shop.http.permissions import EVERYONE, OWNER, grants
from shop.http.records import Created, Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.http.views import ShopViewSet, Values


class LearningResetInput(StrictSerializer):
    """Why what was learnt no longer counts."""

    reason = comment_field()


class LearningResetOutput(RowSerializer):
    """From when on cases count, by whose word and why."""

    class Meta:
        model = LearningReset
        fields = ("id", "reset_at", "reset_by", "reason")


class LearningResetViewSet(Listed, Retrieved, Created, ShopViewSet):
    """Resets of what was learnt, newest first: cases before the newest do not count.

    The bench work itself stays. A reset cannot be taken back.
    """

    model = LearningReset
    roles = grants(read=EVERYONE, write=OWNER)
    create_input = LearningResetInput
    output = LearningResetOutput

    def rows(self) -> QuerySet[LearningReset]:
        """Return the resets: everybody in the shop may see them."""
        return resets()

    def add(self, values: Values) -> LearningReset:
        """Let the cases until now no longer count."""
        return learning_reset(reason=values["reason"], reset_at=timezone.now(), reset_by=self.user)
