"""Sheets on which a shelf or van is counted: what was expected at a moment, and what was found."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard, no_truncate, status_edges
from shop.models.parts import Part
from shop.models.stock import Move, Place

STAYS = "A count sheet that was settled or dropped stays as it is; count again on another."


class CountStatus(models.TextChoices):
    """A sheet is open while people count; settled posts its differences, dropped posts nothing."""

    OPEN = "open", "Open"
    SETTLED = "settled", "Settled"
    DROPPED = "dropped", "Dropped"


COUNT_EDGES = {CountStatus.OPEN: [CountStatus.SETTLED, CountStatus.DROPPED]}

# A line is right without a move when nothing differs, and with one that makes up what does.
UNTIED_LINES = """
    EXISTS (
        SELECT FROM shop_countsheetline AS line
        LEFT JOIN shop_move AS move ON move.id = line.move_id AND move.part_id = line.part_id
            AND move.reason = 'counted'
            AND move.quantity = abs(line.counted_quantity - line.expected_quantity)
            AND NEW.place_id = CASE WHEN line.counted_quantity > line.expected_quantity
                THEN move.to_place_id ELSE move.from_place_id END
        WHERE line.sheet_id = NEW.id AND move.id IS NULL
          AND (line.move_id IS NOT NULL OR line.counted_quantity <> line.expected_quantity))
"""


class CountSheet(models.Model):
    """A count of one shelf or van against what was expected there at `frozen_at`.

    Work goes on while people count: what moves in between changes neither the sheet nor the
    difference that it comes to. A place has at most one open sheet.
    """

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="count_sheets")
    status = models.CharField(max_length=20, choices=CountStatus, default=CountStatus.OPEN)
    frozen_at = models.DateTimeField()
    frozen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_countsheet_status_known",
                condition=Q(status__in=CountStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="A count sheet is open, settled or dropped.",
            ),
            models.CheckConstraint(
                name="shop_countsheet_ended_complete",
                condition=Q(
                    status=CountStatus.OPEN, ended_at__isnull=True, ended_by__isnull=True, reason=""
                )
                | Q(
                    ~Q(status=CountStatus.OPEN),
                    ~Q(reason=""),
                    ended_at__isnull=False,
                    ended_by__isnull=False,
                ),
                violation_error_code="count-incomplete",
                violation_error_message=(
                    "A sheet that was settled or dropped, and no other, says when, by whom and why."
                ),
            ),
            models.UniqueConstraint(
                name="shop_countsheet_one_open",
                fields=["place"],
                condition=Q(status=CountStatus.OPEN),
                violation_error_code="place-being-counted",
                violation_error_message="This place is being counted; settle or drop that sheet.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["frozen_at", "id"], name="shop_countsheet_by_time"),
        ]
        triggers: ClassVar = [
            *status_edges("shop_countsheet", COUNT_EDGES, CountStatus.OPEN),
            Guard(
                name="shop_countsheet_stays",
                code="count-ended",
                message=STAYS,
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "TG_OP = 'DELETE' OR OLD.status <> 'open'"
                    " OR (OLD.place_id, OLD.frozen_at, OLD.frozen_by_id)"
                    " IS DISTINCT FROM (NEW.place_id, NEW.frozen_at, NEW.frozen_by_id)"
                ),
            ),
            Guard(
                name="shop_countsheet_own_place",
                code="not-shelf-or-van",
                message="Shelves and vans are counted.",
                operation=pgtrigger.Insert,
                refuse_when=(
                    "NOT EXISTS (SELECT FROM shop_place"
                    " WHERE id = NEW.place_id AND kind IN ('shelf', 'van'))"
                ),
            ),
            Guard(
                name="shop_countsheet_settled_ties",
                code="count-differs",
                message="A settled sheet has a move for each difference, and for nothing else.",
                operation=pgtrigger.UpdateOf("status"),
                refuse_when=f"NEW.status = 'settled' AND {UNTIED_LINES}",
            ),
            no_truncate("shop_countsheet", STAYS),
        ]

    def __str__(self) -> str:
        return f"count sheet {self.pk}"


class CountSheetLine(models.Model):
    """What was expected of a part at the sheet's moment, and what was found, once it is counted.

    `move` makes up the difference, once the sheet is settled.
    """

    # Its index is that of the unique constraint below.
    sheet = models.ForeignKey(
        CountSheet, on_delete=models.PROTECT, related_name="lines", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="+")
    expected_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    counted_quantity = models.DecimalField(max_digits=14, decimal_places=3, null=True, blank=True)
    move = models.OneToOneField(
        Move, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_countsheetline_not_negative",
                condition=Q(Q(counted_quantity__isnull=True) | Q(counted_quantity__gte=0)),
                violation_error_code="quantity-negative",
                violation_error_message="Nobody finds less than nothing.",
            ),
            models.UniqueConstraint(
                name="shop_countsheetline_part_once",
                fields=["sheet", "part"],
                violation_error_code="part-on-sheet-twice",
                violation_error_message="A part has one line on a count sheet.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_countsheetline_sheet_open",
                code="count-ended",
                message=STAYS,
                operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
                # The sheet is locked, so that no line slips in while somebody settles it.
                before_check="""
                    PERFORM FROM shop_countsheet WHERE id IN (
                        CASE WHEN TG_OP <> 'INSERT' THEN OLD.sheet_id END,
                        CASE WHEN TG_OP <> 'DELETE' THEN NEW.sheet_id END) FOR SHARE;
                """,
                refuse_when="""
                    EXISTS (SELECT FROM shop_countsheet WHERE status <> 'open' AND id IN (
                        CASE WHEN TG_OP <> 'INSERT' THEN OLD.sheet_id END,
                        CASE WHEN TG_OP <> 'DELETE' THEN NEW.sheet_id END))
                """,
            ),
            Guard(
                name="shop_countsheetline_expected_stays",
                code="count-frozen",
                message="What was expected is frozen; only what was found is written on a sheet.",
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "TG_OP = 'DELETE' OR (OLD.sheet_id, OLD.part_id, OLD.expected_quantity)"
                    " IS DISTINCT FROM (NEW.sheet_id, NEW.part_id, NEW.expected_quantity)"
                ),
            ),
            no_truncate("shop_countsheetline", STAYS),
        ]

    def __str__(self) -> str:
        return f"part {self.part_id} on count sheet {self.sheet_id}"
