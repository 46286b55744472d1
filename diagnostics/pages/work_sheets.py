"""The work-sheet of a visit on paper: boxes to tick and lines to write on."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from itertools import count

from django.db.models import QuerySet
from rest_framework.response import Response

from diagnostics.models import Examination
from diagnostics.queries.diagnoses import examination_diagnosis
from diagnostics.queries.next_checks import asking_of
from diagnostics.queries.work_sheets import work_sheet_of
from diagnostics.rules.check_words import percent_text
from diagnostics.rules.keyboard import EVERY_NOTE
from diagnostics.rules.note_names import notes_said, notes_text
from diagnostics.rules.planned_checks import CheckText, LikelyCause, PlannedCheck, PlannedNotes
from diagnostics.rules.work_sheet import (
    FirstCheck,
    SheetLevel,
    SheetNotes,
    SheetPart,
    SheetRemedy,
    WorkSheet,
)
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import EVERYONE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import ShopProfile
from shop.pages.documents import document_pdf
from shop.pages.papers import laid_out
from shop.pages.wording import Wording, wording
from shop.queries.words import words_in

TEMPLATE = "work_sheet"
MINUS = "\N{MINUS SIGN}"
# The boxes of a check that is made of all its notes together stand beside no name.
ALL_AT_ONCE = ("",)


class ExaminationWorkSheetDocumentViewSet(ShopViewSet):
    """The work-sheet of an examination on paper."""

    model = Examination
    roles = grants(read=EVERYONE)

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations: everybody in the shop may see them."""
        return Examination.objects.select_related("instrument__site__client")

    @file(PDFRenderer, path="work-sheet/pdf")
    def work_sheet_pdf(self) -> Response:
        """Return all that a visit needs, in order, to print and to write on."""
        examination = self.found()
        profile = ShopProfile.objects.get()
        read = examination_diagnosis(examination, words_in(profile.language))
        sheet = work_sheet_of(read, asking_of(examination))
        return file_response(work_sheet_pdf(sheet, profile), f"work-sheet-{examination.pk}.pdf")


def work_sheet_pdf(sheet: WorkSheet, profile: ShopProfile) -> bytes:
    """Return a work-sheet, which is in the words of the shop's language, as PDF."""
    words = wording(profile.language, profile.country)
    texts = words.texts["work_sheet"]
    writer = _Writer(words)
    data = laid_out(words, profile) | {
        "title": texts["title"].format(instrument=sheet.instrument),
        "sender": {"name": profile.name},
        "facts": _facts(sheet, texts),
        "how": texts["how"].format(
            minutes=writer.minutes(sheet.expected_minutes),
            percent=words.percent(sheet.sure_percent),
        ),
        "parts": [asdict(part) for part in writer.parts(sheet) if part.items],
        "words": texts,
        "sign_here": [texts[name] for name in ("day", "hours", "technician")],
    }
    return document_pdf(TEMPLATE, data)


def _facts(sheet: WorkSheet, texts: dict[str, str]) -> list[tuple[str, str]]:
    facts = {
        "client": sheet.client,
        "place": sheet.place,
        "complaint": sheet.complaint,
        "verdict": sheet.verdict,
    }
    return [(texts[name], value) for name, value in facts.items() if value]


@dataclass(frozen=True)
class Item:
    """Something to do, to take or to know; each of `notes` has boxes for what a check shows.

    `aside` stands beside the title, `below` under it, and last the `reason`; `lines` is how many
    there are to write on.
    """

    title: str
    aside: str = ""
    below: Sequence[str] = ()
    reason: str = ""
    notes: Sequence[str] = ()
    is_ticked: bool = True
    lines: int = 0


@dataclass(frozen=True)
class Part:
    """Items below a head; short ones stand in two columns."""

    title: str
    items: Sequence[Item]
    is_short: bool = False


class _Writer:
    """Writes the parts of a sheet in the order in which a visit needs them."""

    def __init__(self, words: Wording) -> None:
        self._words = words
        self._texts = words.texts["work_sheet"]
        self._numbers = count(1)

    def minutes(self, minutes: float) -> str:
        return self._texts["minutes"].format(minutes=self._words.number(Decimal(f"{minutes:.1f}")))

    def parts(self, sheet: WorkSheet) -> Iterator[Part]:
        texts = self._texts
        yield self._part("first", map(self._first, sheet.first))
        for level in sheet.levels:
            yield self._level(level)
        yield self._part("decided", map(self._known, sheet.decided))
        yield self._part("nothing_left", map(self._known, sheet.nothing_left))
        yield self._part("remedies", map(self._remedy, sheet.remedies))
        yield Part(texts["parts"], [self._taken(part) for part in sheet.parts], is_short=True)
        yield Part(texts["tools"], [Item(tool.name) for tool in sheet.tools], is_short=True)
        cautions = (Item(each.title, below=[each.text], is_ticked=False) for each in sheet.cautions)
        yield self._part("cautions", cautions)

    def _part(self, title: str, items: Iterable[Item]) -> Part:
        return Part(self._texts[title], list(items))

    def _first(self, check: FirstCheck) -> Item:
        minutes, how = self.minutes(check.minutes), _how(check.text)
        return Item(check.text.name, minutes, how, notes=ALL_AT_ONCE, lines=1)

    def _level(self, level: SheetLevel) -> Part:
        opening = f" ({self.minutes(level.minutes)})" if level.minutes > 0 else ""
        return Part(level.name + opening, [self._check(check) for check in level.checks])

    def _check(self, check: PlannedCheck) -> Item:
        is_only = len(check.tells) == 1
        told = [self._told(each, is_only=is_only) for each in check.tells]
        return Item(
            title=f"{next(self._numbers)}. {check.text.name}: {self._notes(check.notes)}",
            aside=self.minutes(check.minutes),
            below=[*_how(check.text), *told],
            reason=check.reason,
            notes=[self._notes((midi,)) for midi in check.notes if check.per_note] or ALL_AT_ONCE,
            lines=1,
        )

    def _told(self, told: PlannedNotes, *, is_only: bool) -> str:
        """Return which cause leads if the check shows the fault, and which if it does not."""
        where = "" if is_only else f"{self._notes(told.notes)}: "
        signs = (("+", told.positive), (MINUS, told.negative))
        return where + "; ".join(
            f"{sign} {self._cause(answer.causes[0])}" for sign, answer in signs
        )

    def _known(self, known: SheetNotes) -> Item:
        causes = ", ".join(map(self._cause, known.causes))
        return Item(self._notes(known.notes), below=[causes], is_ticked=False)

    def _remedy(self, remedy: SheetRemedy) -> Item:
        causes = ", ".join(map(self._cause, remedy.causes))
        below = [self._texts["if"].format(causes=causes)] if causes else []
        if remedy.pins:
            below.append(self._texts["pins"].format(count=remedy.pins))
        aside = f"{self.minutes(remedy.minutes)}, {remedy.set_up_name}"
        return Item(f"{remedy.name}: {self._notes(remedy.notes)}", aside, below)

    def _taken(self, part: SheetPart) -> Item:
        unit = self._words.texts["units"].get(part.unit, part.unit)
        return Item(f"{self._words.number(part.quantity)} {unit}: {part.name}")

    def _cause(self, cause: LikelyCause) -> str:
        return f"{cause.name} ({percent_text(cause.probability, self._words.words)})"

    def _notes(self, notes: tuple[int, ...]) -> str:
        if not notes:
            return self._texts["whole"]
        return notes_said(self._words.words, notes_text(notes, EVERY_NOTE))


def _how(text: CheckText) -> list[str]:
    return [each for each in (text.instruction, text.reads_as) if each]
