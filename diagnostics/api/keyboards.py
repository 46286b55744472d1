"""Drawn keyboards, as a picture or as text for a terminal."""

from functools import partial

from django.db.models import QuerySet
from rest_framework.response import Response

from diagnostics.api.examples import EXAMINATION_DRAWN, HISTORY_DRAWN
from diagnostics.models import Examination
from diagnostics.queries.instruments import compass_of, name_of
from diagnostics.queries.looks import fault_letters, look_of, looks_at
from diagnostics.rules.keyboard_reports import examination_text, history_text
from diagnostics.rules.pictures.examination import examination_svg
from diagnostics.rules.pictures.history import history_svg
from shop.http.permissions import EVERYONE, grants
from shop.http.pictures import Drawn
from shop.http.verbs import picture
from shop.models import Instrument


class ExaminationKeyboardViewSet(Drawn):
    """What was found in one examination, drawn."""

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return Examination.objects.select_related("instrument")

    @picture(example=EXAMINATION_DRAWN)
    def keyboard(self) -> Response:
        """Return the keyboard with a mark for each finding: its letter, its pattern, how severe."""
        examination = self.found()
        look, faults = look_of(examination), fault_letters()
        title = name_of(examination.instrument)
        return self.drawn(
            partial(examination_svg, look, faults, title=title),
            partial(examination_text, look, faults, title=title),
        )


class InstrumentKeyboardViewSet(Drawn):
    """What was found on an instrument over the years, drawn."""

    model = Instrument
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Instrument]:
        """Return the instruments: everybody in the shop may see them."""
        return Instrument.objects.all()

    @picture(example=HISTORY_DRAWN)
    def keyboard(self) -> Response:
        """Return the keyboard with when and how often each note was found faulty.

        It rests on the newest 40 examinations.
        """
        instrument = self.found()
        looks = looks_at(instrument)
        compass = looks[-1].compass if looks else compass_of(instrument)
        title = name_of(instrument)
        return self.drawn(
            partial(history_svg, compass, looks, fault_letters(), title=title),
            partial(history_text, compass, looks, title=title),
        )
