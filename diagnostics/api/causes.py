"""Causes and the checks that tell them apart: the catalogue's figures beside what the shop learnt.

The catalogue's are estimates. Beside each stands how many of the shop's own cases there are, and
what the figure is with them.
"""

from typing import Any

import django_filters
from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from diagnostics.api.catalogue import ACTION_ROW, MINUTES, ActionRowFilter, CatalogueViewSet
from diagnostics.api.fields import ChanceField, CodeRelatedField
from diagnostics.models import Cause, CauseCheck, CauseFault, Check
from diagnostics.models.causes import AGE_SHARES, ROOM_SHARES, SPREAD_SHARES
from diagnostics.queries.catalogue import causes_in_full, checks_in_full
from diagnostics.queries.learnt import Learnt, learnt, weights_by_action
from diagnostics.rules.learning import (
    CASES_BEHIND_SHARE,
    CASES_BEHIND_WEIGHTS,
    FORMULAS,
    NOTHING_COUNTED,
    Count,
    share_learnt,
    weights_learnt,
)
from shop.http.amounts import QuantityField
from shop.http.serializers import RowSerializer
from shop.http.traced import FormulaOutput
from shop.models import Action


class LearntShareOutput(serializers.Serializer[Any]):
    """In how many of the shop's own cases something showed, and its share with them."""

    shown = serializers.IntegerField()
    cases = serializers.IntegerField()
    share = ChanceField()


class LearntWeightOutput(serializers.Serializer[Any]):
    """A cause's share of all cases in a kind of action: the catalogue's, and with the shop's."""

    action = serializers.ChoiceField(choices=Action.choices)
    cases = serializers.IntegerField()
    catalogue_share = ChanceField()
    share = ChanceField()


class LearntByOutput(serializers.Serializer[Any]):
    """How the shop's own cases move the catalogue's figures, and how many cases those weigh."""

    cases_behind_weights = serializers.FloatField(default=CASES_BEHIND_WEIGHTS)
    cases_behind_share = serializers.FloatField(default=CASES_BEHIND_SHARE)
    formulas = FormulaOutput(many=True, default=FORMULAS)


class LearntSerializer(RowSerializer):
    """Base of the rows that show what was learnt; the view gives it along."""

    def counted(self) -> Learnt:
        """Return what the shop's own cases say."""
        found: Learnt = self.context["learnt"]
        return found


def _moved(estimate: Any, counted: Count) -> dict[str, Any]:
    share = share_learnt(float(estimate), counted)
    return {"shown": counted.shown, "cases": counted.cases, "share": round(share, 4)}


class CauseCheckOutput(LearntSerializer):
    """How often a check is positive on a note with this cause alone."""

    check = CodeRelatedField(source="check_made")
    positive_share = QuantityField(read_only=True)
    learnt = serializers.SerializerMethodField()

    class Meta:
        model = CauseCheck
        fields = ("check", "positive_share", "learnt")

    @extend_schema_field(LearntShareOutput)
    def get_learnt(self, row: CauseCheck) -> dict[str, Any]:
        """Return the share with the shop's own cases."""
        key = (row.check_made_id, row.cause_id)
        return _moved(row.positive_share, self.counted().positives.get(key, NOTHING_COUNTED))


class CauseFaultOutput(LearntSerializer):
    """How often a fault shows on a note with this cause alone."""

    fault = CodeRelatedField()
    share = QuantityField(read_only=True)
    learnt = serializers.SerializerMethodField()

    class Meta:
        model = CauseFault
        fields = ("fault", "share", "learnt")

    @extend_schema_field(LearntShareOutput)
    def get_learnt(self, row: CauseFault) -> dict[str, Any]:
        """Return the share with the shop's own cases."""
        key = (row.fault_id, row.cause_id)
        return _moved(row.share, self.counted().faults.get(key, NOTHING_COUNTED))


class CauseOutput(LearntSerializer):
    """Why a note does what it does.

    `prior_weight` is how often it is behind a bad note, against the other causes of the action.
    `room_cure_share` is on how many of its notes treating the room cures it, if that can.
    The shares of spread, room and age say of how many of its cases; each family adds up to one.
    """

    component = CodeRelatedField()
    faults = CauseFaultOutput(source="cause_faults", many=True)
    checks = CauseCheckOutput(source="cause_checks", many=True)
    remedy = CodeRelatedField()
    prior_weight = QuantityField(read_only=True)
    room_cure_share = QuantityField(read_only=True)
    learnt = serializers.SerializerMethodField()
    learnt_by = LearntByOutput(source="*", read_only=True)

    class Meta:
        model = Cause
        fields = (
            *(*ACTION_ROW, "component", "faults", "signs", "clearing_test", "checks", "remedy"),
            *("prior_weight", "learnt", "learnt_by", "cured_by_room", "room_cure_share"),
            *("found_on", "complaint_words"),
            *(*SPREAD_SHARES, *ROOM_SHARES, *AGE_SHARES),
        )

    @extend_schema_field(LearntWeightOutput(many=True))
    def get_learnt(self, row: Cause) -> list[dict[str, Any]]:
        """Return the cause's share of all cases in each kind of action that has it."""
        return [self._in_action(row, action) for action in row.actions]

    def _in_action(self, row: Cause, action: str) -> dict[str, Any]:
        weights = self.context["weights"][action]
        cases = self.counted().cases_of(action)
        return {
            "action": action,
            "cases": cases.get(row.pk, 0),
            "catalogue_share": round(weights_learnt(weights, {})[row.pk], 4),
            "share": round(weights_learnt(weights, cases)[row.pk], 4),
        }


class CheckOutput(LearntSerializer):
    """A test that tells causes apart.

    `false_positive_share` is how often it is positive when none of its causes is there.
    """

    set_up = CodeRelatedField()
    false_positive_share = QuantityField(read_only=True)
    learnt = serializers.SerializerMethodField()
    learnt_by = LearntByOutput(source="*", read_only=True)

    class Meta:
        model = Check
        fields = (
            *(*ACTION_ROW, "scope", "instruction", "reads_as", "set_up", *MINUTES, "measures"),
            *("restates_room_and_spread", "starts_a_visit", "false_positive_share"),
            *("learnt", "learnt_by"),
        )

    @extend_schema_field(LearntShareOutput)
    def get_learnt(self, row: Check) -> dict[str, Any]:
        """Return the share of false positives with the shop's own cases."""
        counted = self.counted().false_positives.get(row.pk, NOTHING_COUNTED)
        return _moved(row.false_positive_share, counted)


class CauseFilter(ActionRowFilter):
    """By component, fault and remedy too, each by its code."""

    component = django_filters.CharFilter(field_name="component__code")
    fault = django_filters.CharFilter(field_name="faults__code")
    remedy = django_filters.CharFilter(field_name="remedy__code")


class CheckViewSet(CatalogueViewSet):
    """The tests that tell causes apart."""

    model = Check
    output = CheckOutput

    def rows(self) -> QuerySet[Check]:
        """Return the checks by their codes."""
        return checks_in_full()

    def get_serializer_context(self) -> dict[str, Any]:
        """Return what the rows are shown with: what was learnt too."""
        return {**super().get_serializer_context(), "learnt": learnt()}


class CauseViewSet(CatalogueViewSet):
    """Why notes do what they do."""

    model = Cause
    filterset_class = CauseFilter
    output = CauseOutput

    def rows(self) -> QuerySet[Cause]:
        """Return the causes by their codes."""
        return causes_in_full()

    def get_serializer_context(self) -> dict[str, Any]:
        """Return what the rows are shown with: what was learnt too."""
        counted = {"learnt": learnt(), "weights": weights_by_action()}
        return {**super().get_serializer_context(), **counted}
