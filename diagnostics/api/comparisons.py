"""Re-examinations beside what they follow up, note by note, and how often faults were cured."""

from functools import partial
from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.examples import COMPARISON, COMPARISON_DRAWN, CURES
from diagnostics.api.notes import note_values
from diagnostics.models import Examination, Severity
from diagnostics.queries.comparisons import comparison_of, cures_by_treating_the_room
from diagnostics.queries.instruments import compass_of, name_of
from diagnostics.queries.looks import fault_letters
from diagnostics.rules.comparison import Change, Compared, Comparison, sentence
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_reports import comparison_text
from diagnostics.rules.pictures.comparison import comparison_svg
from shop.errors import Refused
from shop.http.permissions import EVERYONE, grants
from shop.http.pictures import Drawn
from shop.http.serializers import InstantField
from shop.http.verbs import picture, report
from shop.http.views import ShopViewSet, Values


class ComparedOutput(serializers.Serializer[Any]):
    """What became of one fault; the note's fields are null for the whole instrument."""

    note_midi = serializers.IntegerField(allow_null=True)
    key_number = serializers.IntegerField(allow_null=True, help_text="1 is the lowest key.")
    note = serializers.CharField(allow_null=True, help_text="In scientific naming: F#4.")
    key_name = serializers.CharField(allow_null=True, help_text="Letter and key number: F#46.")
    fault = serializers.CharField()
    component = serializers.CharField(allow_null=True)
    severity_before = serializers.ChoiceField(choices=Severity.choices, allow_null=True)
    severity_after = serializers.ChoiceField(choices=Severity.choices, allow_null=True)
    change = serializers.ChoiceField(choices=list(Change))
    worked_on = serializers.BooleanField(help_text="Whether it was worked on in between.")


class ChangeCountsOutput(serializers.Serializer[Any]):
    """How many faults there are of each change."""

    cured = serializers.IntegerField()
    better = serializers.IntegerField()
    unchanged = serializers.IntegerField()
    worse = serializers.IntegerField()
    new = serializers.IntegerField()
    not_looked_at_again = serializers.IntegerField()
    not_looked_at_before = serializers.IntegerField()


class ComparisonOutput(serializers.Serializer[Any]):
    """Both examinations, and what became of every fault, in numbers, words, and one by one."""

    examination = serializers.IntegerField()
    examined_at = InstantField()
    follows = serializers.IntegerField()
    followed_examined_at = InstantField()
    room_was_treated = serializers.BooleanField()
    notes_compared = serializers.IntegerField(help_text="How many were looked at both times.")
    counts = ChangeCountsOutput()
    sentence = serializers.CharField()
    items = ComparedOutput(many=True)


class ExaminationComparisonViewSet(Drawn):
    """A re-examination beside the examination that it follows up.

    A fault is the same when note, fault and component are; a component that is open fits any. Only
    a note looked at both times can be cured or have something new.
    """

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return Examination.objects.select_related("instrument", "follows__instrument")

    def follow_up(self) -> Examination:
        """Return the examination that the path names.

        Raises:
            Refused: `nothing-to-compare`; it follows none.
        """
        examination: Examination = self.found()
        if examination.follows is None:
            detail = "This examination follows up no other; say which in its `follows`."
            raise Refused("nothing-to-compare", detail)
        return examination

    @report(gives=ComparisonOutput, of_one=True, example=COMPARISON)
    def comparison(self) -> Response:
        """Return what became of each fault: cured, better, unchanged, worse, new."""
        follow_up = self.follow_up()
        return self.shown(_shown(follow_up, comparison_of(follow_up)))

    @picture(path="comparison/keyboard", example=COMPARISON_DRAWN)
    def comparison_keyboard(self) -> Response:
        """Return the keyboard as it was found first, and what has become of each fault."""
        follow_up = self.follow_up()
        compared, faults = comparison_of(follow_up), fault_letters()
        title = name_of(follow_up.instrument)
        return self.drawn(
            partial(comparison_svg, compared, faults, title=title),
            partial(comparison_text, compared, faults, title=title),
        )


class CureRowOutput(serializers.Serializer[Any]):
    """How many faults of one kind were followed up, and how many of them were cured."""

    fault = serializers.CharField()
    cause = serializers.CharField(allow_null=True, help_text="As recorded before; null while open.")
    followed = serializers.IntegerField()
    cured = serializers.IntegerField()


class CureReportOutput(serializers.Serializer[Any]):
    """The report over all follow-ups."""

    items = CureRowOutput(many=True)


class CureReportViewSet(ShopViewSet):
    """What treating the room has cured in this shop, by fault and cause.

    It counts the faults found again or cured in follow-ups that say the room was treated, those on
    notes worked on in between left out.
    """

    roles = grants(read=EVERYONE)
    output = CureReportOutput
    example = CURES

    def cure_report(self) -> Response:
        """Return the counts."""
        rows = [
            {"fault": fault, "cause": cause or None, "followed": each.followed, "cured": each.cured}
            for (fault, cause), each in cures_by_treating_the_room().items()
        ]
        return Response(self.representation({"items": rows}))


def _shown(follow_up: Examination, comparison: Comparison) -> Values:
    compass = compass_of(follow_up.instrument)
    return {
        "examination": follow_up.pk,
        "examined_at": follow_up.examined_at,
        "follows": follow_up.follows_id,
        "followed_examined_at": follow_up.follows and follow_up.follows.examined_at,
        "room_was_treated": follow_up.room_was_treated,
        "notes_compared": len(comparison.notes_compared),
        "counts": comparison.counts,
        "sentence": sentence(comparison),
        "items": [_item(item, compass) for item in comparison.items],
    }


def _item(item: Compared, compass: Compass) -> Values:
    return {
        **note_values(item.note_midi, compass),
        "fault": item.fault,
        "component": item.component or None,
        "severity_before": item.severity_before,
        "severity_after": item.severity_after,
        "change": item.change,
        "worked_on": item.worked_on,
    }
