"""When a technician goes where."""

import django_filters
from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from rest_framework.response import Response

from shop.actions.records import record_change
from shop.api.plain_records import PlainRecordViewSet
from shop.http.filters import IdFilter, InstantRangeFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, grants
from shop.http.serializers import (
    InstantField,
    RowField,
    RowSerializer,
    StrictSerializer,
    TextField,
)
from shop.http.verbs import verb
from shop.http.views import Values
from shop.models import Site, Visit, VisitStatus
from shop.queries.people import users_active
from shop.queries.visits import may_plan_for, visits


class VisitInput(StrictSerializer):
    """A visit from an instant until before another; without a technician, it is the caller's."""

    site = RowField(queryset=Site.objects.all())
    technician = RowField(queryset=users_active(), required=False)
    starts_at = InstantField()
    ends_at = InstantField()
    purpose = TextField(max_length=200, required=False, allow_blank=True)


class VisitOutput(RowSerializer):
    """A visit, and whether it is still to come."""

    class Meta:
        model = Visit
        fields = ("id", "site", "technician", "starts_at", "ends_at", "purpose", "status")


class VisitFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By technician, site, status and time."""

    technician = IdFilter()
    site = IdFilter()
    status = django_filters.ChoiceFilter(choices=VisitStatus.choices)
    starts_at = InstantRangeFilter()
    order = Order(fields=["starts_at", "id"])

    class Meta:
        model = Visit
        fields = ()


class VisitViewSet(PlainRecordViewSet):
    """Who is where and when; a technician plans and changes their own visits alone."""

    model = Visit
    roles = grants(read=EVERYONE, write=EVERYONE, destroy=OFFICE)
    filterset_class = VisitFilter
    create_input = change_input = VisitInput
    output = VisitOutput

    def rows(self) -> QuerySet[Visit]:
        """Return the visits."""
        return visits()

    def add(self, values: Values) -> Visit:
        """Plan a visit, unless the technician is booked at this time."""
        technician = values.get("technician", self.user)
        self.refuse_unless_planner_for(technician.pk)
        visit: Visit = super().add({**values, "technician": technician})
        return visit

    def change(self, row: Visit, values: Values) -> object:
        """Change a visit."""
        planned = values["technician"].pk if "technician" in values else row.technician_id
        self.refuse_unless_planner_for(row.technician_id, planned)
        return super().change(row, values)

    @verb()
    def complete(self) -> Response:
        """Say that the visit was made."""
        return self.moved_on(VisitStatus.DONE)

    @verb()
    def cancel(self) -> Response:
        """Say that the visit will not be made, which frees the technician."""
        return self.moved_on(VisitStatus.CANCELLED)

    def moved_on(self, status: VisitStatus) -> Response:
        """Return the visit, which has the new status now."""
        visit = self.found_and_locked()
        self.refuse_unless_planner_for(visit.technician_id)
        return self.shown(record_change(record=visit, changes={"status": status}))

    def refuse_unless_planner_for(self, *technician_ids: int) -> None:
        """Go on only when the caller may plan for these technicians; else 403."""
        if not all(may_plan_for(user=self.user, technician_id=each) for each in technician_ids):
            raise PermissionDenied
