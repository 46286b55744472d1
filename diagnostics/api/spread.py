"""Where the faults of an examination stand on the keyboard."""

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.fields import FormulaOutput, SmallChanceField
from diagnostics.api.notes import MidiNoteField, MidiNotesField
from diagnostics.api.spread_examples import SPREAD
from diagnostics.models import Examination, FaultFamily
from diagnostics.queries.examinations import examinations_with_instrument
from diagnostics.queries.spread import spread_of_examination
from diagnostics.rules.sections import Section
from diagnostics.rules.spread import SpreadKind
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import report
from shop.http.views import ShopViewSet

SECTIONS = [(each.value, each.value) for each in Section]
KINDS = [(each.value, each.value) for each in SpreadKind]


class SpreadWindowOutput(serializers.Serializer[Any]):
    """The fullest window of so many neighbours, and the chance of one as full."""

    width = serializers.IntegerField()
    count = serializers.IntegerField(help_text="How many of them are affected.")
    lowest = MidiNoteField(source="lowest_midi")
    highest = MidiNoteField(source="highest_midi")
    probability = SmallChanceField()


class SectionSpreadOutput(serializers.Serializer[Any]):
    """A section against the rest of the notes, by Fisher's exact test, one-sided."""

    section = serializers.ChoiceField(choices=SECTIONS)
    examined = serializers.IntegerField()
    affected = serializers.IntegerField()
    probability = SmallChanceField()
    corrected_probability = SmallChanceField(help_text="For how many sections were looked at.")
    stands_out = serializers.BooleanField(help_text="The corrected chance is below 0.05.")


class SpreadNumbersOutput(serializers.Serializer[Any]):
    """The numbers behind the verdict; a chance is that of what is seen if nothing is behind it."""

    share = SmallChanceField()
    share_low = SmallChanceField(help_text="Lower end of the 95 % interval.")
    share_high = SmallChanceField(help_text="Upper end of it.")
    runs = serializers.IntegerField(help_text="Stretches of neighbours alike, affected or not.")
    runs_probability = SmallChanceField(help_text="Of so few stretches.")
    longest_run = serializers.IntegerField(help_text="Most affected notes side by side.")
    longest_run_probability = SmallChanceField(help_text="Of one as long.")
    windows = SpreadWindowOutput(many=True)
    cluster_probability = SmallChanceField(help_text="Over all widths of window together.")
    sections = SectionSpreadOutput(many=True)


class FamilySpreadOutput(serializers.Serializer[Any]):
    """The spread of one family of faults, with its verdict in words and in one word.

    Of fewer than 8 notes the sentence says that they are too few, and there are no numbers.
    """

    family = serializers.ChoiceField(choices=FaultFamily.choices)
    name = serializers.CharField(source="family.label")
    on_the_whole = serializers.BooleanField(
        help_text="It was found on the whole instrument, which stands for every note."
    )
    kind = serializers.ChoiceField(choices=KINDS, source="spread.kind")
    sentence = serializers.CharField(source="spread.sentence")
    affected_count = serializers.IntegerField(source="spread.affected_count")
    affected = MidiNotesField(source="spread.affected")
    cluster = MidiNotesField(
        source="spread.cluster_notes", help_text="Those that stand closer than chance has it."
    )
    section = serializers.ChoiceField(
        choices=SECTIONS,
        source="spread.section",
        allow_null=True,
        help_text="The section that the verdict names.",
    )
    is_widespread = serializers.BooleanField(
        source="spread.is_widespread",
        help_text="On 10 % of the notes, or on 8 over two sections (estimates); 3 notes at least.",
    )
    numbers = SpreadNumbersOutput(source="spread.numbers", allow_null=True)
    formulas = FormulaOutput(source="spread.formulas", many=True)


class SpreadOutput(serializers.Serializer[Any]):
    """The notes examined, and the spread of each family of faults found on them."""

    examination = serializers.IntegerField(source="examination.pk")
    examined_count = serializers.SerializerMethodField()
    examined = MidiNotesField(source="notes")
    breaks_midi = serializers.ListField(
        child=serializers.IntegerField(), source="examination.instrument.breaks_midi"
    )
    families = FamilySpreadOutput(many=True)

    def get_examined_count(self, row: Any) -> int:
        """Return how many notes were examined."""
        return len(row.notes)


class ExaminationSpreadViewSet(ShopViewSet):
    """Isolated, in a cluster, in a section or everywhere: what an examination's findings show."""

    model = Examination
    roles = grants(read=EVERYONE)
    output = SpreadOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return examinations_with_instrument()

    @report(gives=SpreadOutput, of_one=True, example=SPREAD)
    def spread(self) -> Response:
        """Return where each family of faults stands, over the notes examined."""
        return self.shown(spread_of_examination(self.found()))
