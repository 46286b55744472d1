"""What the shop's own cases say of causes, checks and faults, counted from its bench work.

A case is a cause found on a note, or on the whole instrument, by work that cured or improved it.
Cases before the newest reset do not count.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from django.db import connection
from django.db.models import QuerySet

from diagnostics.models import Cause, LearningReset
from diagnostics.rules.learning import Count
from shop.models import Action

# `place` is a note of an examination, or with a null note the whole of it, which has the causes of
# all its notes. What a cause shows by itself is counted where it is the only one of its place;
# false positives where the check has none of its causes.
COUNTED = """
    WITH since AS (
        SELECT coalesce(max(reset_at), '-infinity') AS at FROM diagnostics_learningreset
    ), found AS (
        SELECT DISTINCT work.examination_id, work.note_midi, work.cause_found_id AS cause_id,
            instrument.action
        FROM diagnostics_benchwork AS work
        JOIN diagnostics_examination AS examination ON examination.id = work.examination_id
        JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id
        WHERE work.cause_found_id IS NOT NULL AND work.result IN ('cured', 'improved')
            AND work.done_at > (SELECT at FROM since)
    ), place AS (
        SELECT examination_id, note_midi, array_agg(DISTINCT cause_id) AS causes FROM (
            SELECT examination_id, note_midi, cause_id FROM found
            UNION SELECT examination_id, NULL, cause_id FROM found
        ) AS placed GROUP BY examination_id, note_midi
    ), answer AS (
        SELECT place.causes, result.check_made_id, result.outcome = 'positive' AS is_positive
        FROM place
        JOIN diagnostics_checkresult AS result ON result.examination_id = place.examination_id
            AND result.note_midi IS NOT DISTINCT FROM place.note_midi
        WHERE result.outcome IN ('positive', 'negative')
    ), shown AS (
        SELECT place.causes[1] AS cause_id, array_agg(finding.fault_id) AS faults
        FROM place
        JOIN diagnostics_finding AS finding ON finding.examination_id = place.examination_id
            AND finding.note_midi IS NOT DISTINCT FROM place.note_midi
        WHERE cardinality(place.causes) = 1
        GROUP BY place.examination_id, place.note_midi, place.causes
    )
    SELECT 'cause', action, cause_id, count(*), count(*) FROM found GROUP BY action, cause_id
    UNION ALL
    SELECT 'check', link.check_made_id::text, link.cause_id,
        count(*) FILTER (WHERE answer.is_positive), count(*)
    FROM answer
    JOIN diagnostics_causecheck AS link
        ON link.check_made_id = answer.check_made_id AND ARRAY[link.cause_id] = answer.causes
    GROUP BY link.check_made_id, link.cause_id
    UNION ALL
    SELECT 'false', answer.check_made_id::text, NULL,
        count(*) FILTER (WHERE answer.is_positive), count(*)
    FROM answer
    WHERE NOT EXISTS (
        SELECT FROM diagnostics_causecheck AS link
        WHERE link.check_made_id = answer.check_made_id AND link.cause_id = ANY(answer.causes)
    )
    GROUP BY answer.check_made_id
    UNION ALL
    SELECT 'fault', link.fault_id::text, link.cause_id,
        count(*) FILTER (WHERE link.fault_id = ANY(shown.faults)), count(*)
    FROM shown JOIN diagnostics_causefault AS link ON link.cause_id = shown.cause_id
    GROUP BY link.fault_id, link.cause_id
"""


@dataclass(frozen=True)
class Learnt:
    """What was counted: cases by action and cause; the others by primary keys.

    `positives` are by check and cause, `false_positives` by check, `faults` by fault and cause.
    """

    cases: Mapping[tuple[str, int], int] = field(default_factory=dict)
    positives: Mapping[tuple[int, int], Count] = field(default_factory=dict)
    false_positives: Mapping[int, Count] = field(default_factory=dict)
    faults: Mapping[tuple[int, int], Count] = field(default_factory=dict)

    def cases_of(self, action: str) -> dict[int, int]:
        """Return the cases of each cause in a kind of action, by its primary key."""
        return {cause: cases for (of, cause), cases in self.cases.items() if of == action}


def learnt() -> Learnt:
    """Return what the shop's own cases say, in one statement."""
    with connection.cursor() as cursor:
        rows = cursor.execute(COUNTED).fetchall()
    return Learnt(
        cases={(of, cause): cases for kind, of, cause, _, cases in rows if kind == "cause"},
        positives={
            (int(of), cause): Count(shown, cases)
            for kind, of, cause, shown, cases in rows
            if kind == "check"
        },
        false_positives={
            int(of): Count(shown, cases) for kind, of, _, shown, cases in rows if kind == "false"
        },
        faults={
            (int(of), cause): Count(shown, cases)
            for kind, of, cause, shown, cases in rows
            if kind == "fault"
        },
    )


def weights_by_action() -> dict[str, dict[int, float]]:
    """Return the catalogue's weights of the causes of each kind of action, by primary key."""
    rows = Cause.objects.values_list("pk", "actions", "prior_weight")
    return {
        action: {pk: float(weight) for pk, actions, weight in rows if action in actions}
        for action in Action.values
    }


def resets() -> QuerySet[LearningReset]:
    """Return the resets, newest first, with who asked for them."""
    return LearningReset.objects.select_related("reset_by").order_by("-reset_at", "-id")


def last_reset_at() -> datetime | None:
    """Return when the newest reset was, None if there was none."""
    return resets().values_list("reset_at", flat=True).first()
