"""What holds for every table: rules with names, codes and tests, keys that point down, exact types.

Rules are the constraints and guards that the models declare, beside what columns declare unique.
"""

import re
from collections import Counter
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connection, models

from shop.http.database_rules import unique_columns
from shop.models.guards import Guard

TESTS = Path(__file__).resolve().parents[1]
LAYERS = ["shop", "diagnostics", "billing"]
TABLES = [
    model
    for app in LAYERS
    for model in apps.get_app_config(app).get_models(include_auto_created=True)
]
OWN = [model for model in TABLES if not hasattr(model, "pgh_tracked_model")]
RULES = [
    (model, rule)
    for model in OWN
    for rule in (*model._meta.constraints, *getattr(model._meta, "triggers", ()))
    if isinstance(rule, models.BaseConstraint | Guard)
]
# PostgreSQL keeps 63 bytes of a name, of which pgtrigger takes 16 for its own marks.
CONSTRAINT_LENGTH, TRIGGER_LENGTH = 63, 47

# The last words of columns that hold money, units of a part, or what was measured.
EXACT = re.compile(
    r".*[._](amount|cost|price|per_hour|total|discount|low|likely|high|quantity|value|percent"
    r"|share|minutes|mm|c)"
)
NOT_EXACT = {
    "diagnostics_measuredrange.quantity",  # names what is measured
    "diagnostics_measurement.quantity",  # names what was measured
    "shop_site.travel_minutes",  # whole minutes
    "shop_siteevent.travel_minutes",
}


def checks_of(model):
    return [rule for rule in model._meta.constraints if isinstance(rule, models.CheckConstraint)]


def asked(rule):
    """The lookups that a check asks for, as pairs of field and lookup."""
    pairs, open_conditions = set(), [rule.condition]
    while open_conditions:
        for child in open_conditions.pop().children:
            if isinstance(child, models.Q):
                open_conditions.append(child)
            else:
                name, _, lookup = child[0].partition("__")
                pairs.add((name, lookup))
    return pairs


def column_types():
    """PostgreSQL's type of every column of our tables, by `table.column`."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT table_name || '.' || column_name, data_type FROM information_schema.columns"
            " WHERE table_name = ANY(%s)",
            [[model._meta.db_table for model in TABLES]],
        )
        return dict(cursor.fetchall())


@pytest.mark.guard
def test_every_rule_is_named_for_its_app_and_model():
    strange = [
        rule.name
        for model, rule in RULES
        if not re.fullmatch(rf"{model._meta.label_lower.replace('.', '_')}_[a-z0-9_]+", rule.name)
    ]
    assert strange == []


@pytest.mark.guard
def test_no_two_rules_share_a_name():
    count = Counter(rule.name for _, rule in RULES)
    assert [name for name, times in count.items() if times > 1] == []


@pytest.mark.guard
def test_every_name_is_kept_whole():
    names = [(rule.name, CONSTRAINT_LENGTH) for _, rule in RULES]
    names += [
        (trigger.name, TRIGGER_LENGTH)
        for model in TABLES
        for trigger in getattr(model._meta, "triggers", ())
    ]
    assert [name for name, longest in names if len(name.encode()) > longest] == []


@pytest.mark.guard
def test_every_rule_has_a_code():
    uncoded = [
        rule.name
        for _, rule in RULES
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", rule.violation_error_code or "")
    ]
    assert uncoded == []


@pytest.mark.guard
def test_every_rule_says_in_a_sentence_what_it_wants():
    unsaid = [
        rule.name
        for _, rule in RULES
        if rule.violation_error_message == models.BaseConstraint.default_violation_error_message
        or not re.fullmatch(r"[A-Z].*\.", str(rule.violation_error_message))
    ]
    assert unsaid == []


@pytest.mark.guard
def test_every_rule_is_broken_by_a_test():
    tests = "\n".join(path.read_text() for path in TESTS.glob("*/models/test_*.py"))
    names = [rule.name for _, rule in RULES]
    tables = tuple(f"{model._meta.db_table}_" for model in OWN)
    names += [name for name in unique_columns() if name.startswith(tables)]
    assert [name for name in names if f'"{name}"' not in tests] == []


@pytest.mark.guard
def test_every_choice_is_also_a_check():
    free = [
        f"{model._meta.label}.{field.name}"
        for model in OWN
        for field in model._meta.local_concrete_fields
        if getattr(field, "base_field", field).choices
        and field.name not in {name for rule in checks_of(model) for name, _ in asked(rule)}
    ]
    assert free == []


@pytest.mark.guard
def test_every_check_decides_what_null_means():
    # A check that comes out as null passes, so what may be null is asked for that as well.
    undecided = [
        f"{rule.name}: {name}"
        for model in OWN
        for rule in checks_of(model)
        for name in rule.condition.referenced_base_fields
        if model._meta.get_field(name).null and (name, "isnull") not in asked(rule)
    ]
    assert undecided == []


@pytest.mark.guard
def test_keys_point_down():
    upwards = [
        f"{model._meta.label}.{field.name}"
        for model in TABLES
        for field in (*model._meta.local_fields, *model._meta.local_many_to_many)
        if field.related_model
        and field.related_model._meta.app_label in LAYERS
        and LAYERS.index(field.related_model._meta.app_label) > LAYERS.index(model._meta.app_label)
    ]
    assert upwards == []


@pytest.mark.django_db
def test_no_column_is_a_float_or_in_the_servers_own_money():
    inexact = {"real", "double precision", "money"}
    assert {name for name, kind in column_types().items() if kind in inexact} == set()


@pytest.mark.django_db
def test_amounts_and_quantities_are_exact():
    loose = {
        name for name, kind in column_types().items() if EXACT.fullmatch(name) and kind != "numeric"
    }
    assert loose == NOT_EXACT


@pytest.mark.django_db
def test_times_are_instants():
    local = {"timestamp without time zone", "time without time zone", "time with time zone"}
    types = column_types()
    assert {name for name, kind in types.items() if kind in local} == set()
    told_as_instants = {name for name in types if name.endswith("_at")}
    assert {types[name] for name in told_as_instants} == {"timestamp with time zone"}
