"""The ladder of centre-pin sizes, and the next size to try."""

from typing import Any, ClassVar

from rest_framework import serializers
from rest_framework.response import Response

from diagnostics.api.fields import FormulaOutput
from diagnostics.api.pin_examples import SIZES, TRIAL
from diagnostics.queries.pin_sizes import kept_sizes, sizes_at_hand
from diagnostics.rules import pin_trials, pins
from diagnostics.rules.pin_trials import Advice, Fit, Trial, next_trial
from diagnostics.rules.pins import Scheme, could_be, parse_size
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import StrictSerializer, TextField
from shop.http.views import ShopViewSet


class PinSizeOutput(serializers.Serializer[Any]):
    """A size, as parts carry it and as technicians write it."""

    scheme = serializers.ChoiceField(choices=list(Scheme))
    size = serializers.CharField(source="label")
    spoken = serializers.CharField()
    diameter_um = serializers.IntegerField()
    reamer = serializers.CharField(source="reamer.spoken", help_text="One full size above the pin.")


class KeptSizeOutput(serializers.Serializer[Any]):
    """A size of the ladder, and the shop's pin of it: null when it keeps none."""

    size = PinSizeOutput()
    part = serializers.CharField(source="part.code", default=None, allow_null=True)


class PinSizesQuery(StrictSerializer):
    """The diameter of a pin that was measured."""

    measured_um = serializers.IntegerField(min_value=500, max_value=3000, default=None)


class PinSizesOutput(serializers.Serializer[Any]):
    """The ladder over both schemes, thinnest first.

    `could_be` are the sizes that the measured pin may be, nearest first: pins of one batch differ
    and worn ones measure less, so that a measurement leaves a half size open.
    """

    measured_um = serializers.IntegerField(allow_null=True)
    items = KeptSizeOutput(many=True)
    could_be = PinSizeOutput(many=True)
    formulas = FormulaOutput(many=True, default=pins.FORMULAS)


class PinSizesViewSet(ShopViewSet):
    """The sizes of centre pins. Two schemes share their numbers, so a pin goes by its diameter."""

    roles = grants(read=EVERYONE)
    query = PinSizesQuery
    output = PinSizesOutput
    example = SIZES

    def pin_sizes(self) -> Response:
        """Return the sizes, and those that a measured pin may be."""
        measured_um = self.checked_query()["measured_um"]
        sizes = could_be(measured_um) if measured_um else []
        shown = {"measured_um": measured_um, "items": kept_sizes(), "could_be": sizes}
        return Response(self.representation(shown))


class TrialsField(TextField):
    """Trials in their order: a size, a colon and how it sat, with commas between."""

    default_error_messages: ClassVar = {
        "trial": "{text!r} is no trial; write 20:too_loose, 20 1/2:firm. A pin sits too_snug, firm"
        " or too_loose."
    }

    def to_internal_value(self, data: Any) -> Any:
        """Return a size label and a fit for each trial.

        Raises:
            ValidationError: a part of the text is no trial.
        """
        return [self._trial(text.strip()) for text in super().to_internal_value(data).split(",")]

    def _trial(self, text: str) -> tuple[str, Fit]:
        label, _, fit = text.rpartition(":")
        try:
            return parse_size(label, Scheme.INCH).label, Fit(fit.strip())
        except ValueError:
            self.fail("trial", text=text)


class PinTrialQuery(StrictSerializer):
    """The trials so far, of sizes by the shop's scheme unless `scheme` says otherwise."""

    trials = TrialsField(max_length=500, default=(), help_text="20:too_loose,20 1/2:too_snug")
    scheme = serializers.ChoiceField(choices=list(Scheme), default=None)


class TriedSizeOutput(serializers.Serializer[Any]):
    """A size that was tried, and how it sat."""

    size = serializers.CharField(source="size.label")
    scheme = serializers.ChoiceField(choices=list(Scheme), source="size.scheme")
    fit = serializers.ChoiceField(choices=list(Fit))


class PinTrialOutput(serializers.Serializer[Any]):
    """What to do next after `trials`; `size` is the one that it is about, null without any."""

    trials = TriedSizeOutput(many=True)
    advice = serializers.ChoiceField(choices=list(Advice), source="next.advice")
    size = PinSizeOutput(source="next.size", allow_null=True)
    sentence = serializers.CharField(source="next.sentence")
    formulas = FormulaOutput(many=True, default=pin_trials.FORMULAS)


class PinTrialViewSet(ShopViewSet):
    """Finding the pin that is firm in the wood, among the sizes that the shop keeps."""

    roles = grants(read=EVERYONE)
    query = PinTrialQuery
    output = PinTrialOutput
    example = TRIAL

    def pin_trial(self) -> Response:
        """Return what to do after the trials: too snug, go down; too loose, go up."""
        asked = self.checked_query()
        scheme, sizes = sizes_at_hand()
        trials = [
            Trial(parse_size(label, asked["scheme"] or scheme), fit)
            for label, fit in asked["trials"]
        ]
        shown = {"trials": trials, "next": next_trial(trials, sizes)}
        return Response(self.representation(shown))
