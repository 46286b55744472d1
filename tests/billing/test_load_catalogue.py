"""Loading a catalogue: what is new, what the shop edited, and files that are wrong."""

import threading

import pytest
from django.core.management import CommandError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billing.actions.catalogue import BILLING_TABLES
from billing.models import LabourRate
from diagnostics.actions.catalogue import DIAGNOSTICS_TABLES
from diagnostics.models import Remedy, RemedyPart, Tool
from shop.actions.catalogue import SHOP_TABLES
from shop.models import Part, Supplier, TaxCategory
from tests.billing.small_catalogue import FILES, catalogue_write, counts, load
from tests.factories.billing import LabourRateFactory
from tests.factories.shop import TaxCategoryFactory
from tests.factories.world import stock

MODELS = [table.model for table in (*SHOP_TABLES, *DIAGNOSTICS_TABLES, *BILLING_TABLES)]


def row_versions():
    """Where each row lies and which transaction wrote it: both change with every write."""
    links = [link.remote_field.through for model in MODELS for link in model._meta.many_to_many]
    tables = [model._meta.db_table for model in [*MODELS, *links]]
    with connection.cursor() as cursor:
        return {
            table: cursor.execute(f"SELECT id, ctid, xmin FROM {table} ORDER BY id").fetchall()
            for table in [*tables, "shop_partevent", "billing_labourrateevent", "billing_feeevent"]
        }


@pytest.mark.django_db
def test_a_first_load_adds_every_row_with_its_links(tmp_path):
    printed = load(catalogue_write(tmp_path))
    remedy = Remedy.objects.get()
    assert remedy.takes_pin_kit
    assert sorted(tool.code for tool in remedy.tools.all()) == ["burnisher", "reamer"]
    assert [caution.name for caution in remedy.cautions.all()] == ["Two people move a piano"]
    assert list(remedy.remedy_parts.values_list("part__code", "quantity")) == [("glue", 0.5)]
    assert counts(printed, "parts") == [2, 0, 0, 0]
    assert printed.endswith("The catalogue is loaded.\n")


@pytest.mark.django_db
def test_a_second_load_writes_no_row(tmp_path):
    load(catalogue_write(tmp_path))
    versions = row_versions()
    printed = load(tmp_path)
    assert row_versions() == versions
    assert counts(printed, "parts") == [0, 0, 0, 2]


@pytest.mark.django_db
def test_a_dry_run_says_what_would_change_and_stores_nothing(tmp_path):
    printed = load(catalogue_write(tmp_path), dry_run=True)
    assert counts(printed, "parts") == [2, 0, 0, 0]
    assert printed.endswith("Nothing was stored.\n")
    assert not any(model.objects.exists() for model in MODELS)


@pytest.mark.django_db
def test_a_newer_catalogue_reaches_rows_that_nobody_touched(tmp_path):
    load(catalogue_write(tmp_path))
    before = Remedy.objects.get()
    changes = {
        'tools = ["reamer", "burnisher"]': 'tools = ["burnisher"]',
        "quantity = 0.5": "quantity = 0.75",
        "minutes_likely = 4": "minutes_likely = 5",
    }
    printed = load(catalogue_write(tmp_path, remedies=changes))
    remedy = Remedy.objects.get()
    assert (remedy.pk, remedy.minutes_likely) == (before.pk, 5)
    assert [tool.code for tool in remedy.tools.all()] == ["burnisher"]
    assert [part.quantity for part in remedy.remedy_parts.all()] == [0.75]
    assert counts(printed, "remedies") == [0, 1, 0, 0]
    assert counts(load(tmp_path), "remedies") == [0, 0, 0, 1]


@pytest.mark.django_db
def test_a_row_that_the_shop_edited_stays_as_it_is(tmp_path):
    load(catalogue_write(tmp_path))
    LabourRate.objects.update(per_hour=75)
    printed = load(catalogue_write(tmp_path, price_book={"per_hour = 60": "per_hour = 65"}))
    assert LabourRate.objects.get().per_hour == 75
    assert counts(printed, "labour rates") == [0, 0, 1, 0]


@pytest.mark.parametrize(
    "edit",
    [
        lambda remedy: remedy.tools.clear(),
        lambda remedy: remedy.tools.add(Tool.objects.create(code="own", name="The shop's own")),
        lambda remedy: remedy.remedy_parts.update(quantity=2),
        lambda remedy: remedy.remedy_parts.all().delete(),
    ],
    ids=["tools taken away", "tool added", "other quantity", "part taken away"],
)
@pytest.mark.django_db
def test_what_the_shop_linked_otherwise_is_an_edit_too(tmp_path, edit):
    load(catalogue_write(tmp_path))
    edit(Remedy.objects.get())
    links = set(Remedy.tools.through.objects.all()), set(RemedyPart.objects.all())
    load(catalogue_write(tmp_path, remedies={"minutes_likely = 4": "minutes_likely = 5"}))
    assert Remedy.objects.get().minutes_likely == 4
    assert (set(Remedy.tools.through.objects.all()), set(RemedyPart.objects.all())) == links


@pytest.mark.django_db
def test_a_row_edited_back_to_what_shipped_takes_the_next_catalogue(tmp_path):
    load(catalogue_write(tmp_path))
    glue = Part.objects.filter(code="glue")
    glue.update(price="1")
    glue.update(price="0.05")
    load(catalogue_write(tmp_path, parts={"price = 0.05": "price = 0.07"}))
    assert str(glue.get().price) == "0.0700"


@pytest.mark.django_db
def test_a_part_keeps_the_supplier_that_the_shop_chose_and_still_takes_what_ships(tmp_path):
    load(catalogue_write(tmp_path))
    supplier = Supplier.objects.create(name="Felt and Wire Cooperative")
    Part.objects.update(supplier=supplier)
    load(catalogue_write(tmp_path, parts={"price = 0.05": "price = 0.07"}))
    glue = Part.objects.get(code="glue")
    assert (glue.supplier, str(glue.price)) == (supplier, "0.0700")


@pytest.mark.django_db
def test_a_row_of_the_shops_own_with_the_same_code_stays(tmp_path):
    TaxCategoryFactory(code="goods", name="All that we sell")
    printed = load(catalogue_write(tmp_path))
    category = TaxCategory.objects.get()
    assert (category.name, category.shipped_digest) == ("All that we sell", "")
    assert Part.objects.get(code="glue").tax_category == category
    assert counts(printed, "tax categories") == [0, 0, 1, 0]


@pytest.mark.django_db
def test_a_row_that_the_shop_took_away_does_not_come_back(tmp_path):
    load(catalogue_write(tmp_path))
    LabourRate.objects.all().delete()
    own = LabourRateFactory()
    printed = load(tmp_path)
    assert list(LabourRate.objects.all()) == [own]
    assert counts(printed, "labour rates") == [0, 0, 1, 0]


@pytest.mark.django_db
def test_a_row_that_the_shop_gave_another_code_does_not_come_back(tmp_path):
    load(catalogue_write(tmp_path))
    LabourRate.objects.update(code="our-hour")
    load(tmp_path)
    assert LabourRate.objects.get().code == "our-hour"


@pytest.mark.django_db
def test_an_edited_row_may_refer_to_what_the_shop_took_away(tmp_path):
    load(catalogue_write(tmp_path))
    RemedyPart.objects.all().delete()
    Part.objects.filter(code="glue").delete()
    printed = load(tmp_path)
    assert not Part.objects.filter(code="glue").exists()
    assert counts(printed, "parts") == [0, 0, 1, 1]
    assert counts(printed, "remedies") == [0, 0, 1, 0]


@pytest.mark.django_db
def test_the_number_of_statements_does_not_depend_on_the_number_of_rows(tmp_path):
    more = {
        f'code = "{code}"': f'code = "{code}"\n{row}\n\n[[tool]]\ncode = "{code}-2"'
        for code in ("reamer", "burnisher")
        for row in ('name = "More"\nprovenance = "estimate"',)
    }
    with CaptureQueriesContext(connection) as of_few:
        load(catalogue_write(tmp_path), dry_run=True)
    with CaptureQueriesContext(connection) as of_more:
        printed = load(catalogue_write(tmp_path, tools=more), dry_run=True)
    assert counts(printed, "tools") == [4, 0, 0, 0]
    assert len(of_more) == len(of_few)


WRONG = [
    # file, text, text instead, what the message names
    ("parts", "price = 0.40", "prize = 0.40", ["parts.toml, part pin-20, column prize", "no such"]),
    ("parts", "price = 0.40", "", ["part pin-20, column price: is missing"]),
    ("parts", "price = 0.40", "price = true", ["part pin-20, column price: True is not a number"]),
    ("parts", "price = 0.40", "price = nan", ["part pin-20, column price"]),
    ("parts", "price = 0.40", "price = 0.12345", ["part pin-20, column price", "4 decimal places"]),
    ("parts", "price = 0.40", "price = 1e12", ["part pin-20, column price"]),
    ("parts", "price = 0.40", "price = -1", ["part pin-20", "price and cost are not negative"]),
    ("parts", "_um = 1270", "_um = 1270.5", ["column diameter_um", "is not a whole number"]),
    ("parts", "_um = 1270", "_um = 127", ["part pin-20", "diameter of 500 to 3000 µm"]),
    ("parts", '"centre_pin"', '"center_pin"', ["part pin-20, column category", "center_pin"]),
    ("parts", '"Centre pin 20"', "20", ["part pin-20, column name: 20 is not a text"]),
    ("parts", '"Centre pin 20"', '""', ["part pin-20, column name"]),
    ("parts", '"Centre pin 20"', '"a\\u0000b"', ["part pin-20, column name", "Null characters"]),
    ("parts", '"Centre pin 20"', f'"{"x" * 201}"', ["part pin-20, column name", "200"]),
    ("parts", '= "goods"', '= "good"', ["column tax_category", "No tax category has the code"]),
    ("parts", 'code = "glue"', 'code = "pin-20"', ["column code: Another row has pin-20"]),
    ("parts", 'code = "glue"', 'code = ["glue"]', ["column code", "is not a text"]),
    ("parts", 'code = "glue"', "", ["part 2, column code: is missing"]),
    ("parts", 'provenance = "estimate"', "", ["part glue, column provenance: is missing"]),
    ("parts", '"estimate"', '"shop"', ["part glue, column provenance"]),
    ("parts", 'source = "A', '# "A', ["part pin-20, column source: is missing"]),
    ("faults", '["upright", "grand"]', '["harp"]', ["fault slow-return, column actions", "harp"]),
    ("faults", '["upright", "grand"]', "[1]", ["fault slow-return, column actions"]),
    ("faults", '["upright", "grand"]', '"upright"', ["column actions", "is not a list"]),
    ("faults", '["upright", "grand"]', "[]", ["fault slow-return, column actions"]),
    ("remedies", "high = 8", "high = 3", ["remedy repin: Minutes run low, likely, high"]),
    ("remedies", "_note = 1", "_note = 0", ["remedy repin", "how many a note needs"]),
    ("remedies", '"reamer", "b', '"rimer", "b', ["remedy repin, column tools", "'rimer'"]),
    ("remedies", '"reamer", "b', '"burnisher", "b', ["column tools: The same row is named twice"]),
    ("remedies", '["two-people"]', '"two-people"', ["column cautions", "is not a list"]),
    ("remedies", "quantity = 0.5 }", "count = 1 }", ["column parts", "table of part and quantity"]),
    ("remedies", "quantity = 0.5 }", 'quantity = "1" }', ["column parts", "is not a number"]),
    ("remedies", '{ part = "glue"', '{ part = "gum"', ["column parts: No part has the code 'gum'"]),
    (
        "remedies",
        "quantity = 0.5 }",
        "quantity = 0 }",
        ["remedy repin, column parts", "more than nothing"],
    ),
    ("remedies", '"centre_pin"', '"string"', ["remedy repin, column kit"]),
    ("causes", '= "repin"', '= "replace"', ["cause tight-centre, column remedy", "'replace'"]),
    ("causes", "share = 0.9", "share = 1", ["tight-centre, column checks", "between 0 and 1"]),
    ("causes", "damp = 0.4", "damp = 0.5", ["cause tight-centre", "room are above 0 and add up"]),
    ("causes", "damp = 0.4", "wet = 0.4", ["column room_wet: there is no such column"]),
    ("causes", "room = {", "room = [] #", ["column room: there is no such column"]),
    ("price_book", "2000-01-01", "2000-01-01T00:00:00", ["column valid_from", "is not a day"]),
    ("price_book", '"travel"\n        amount', '"parking"\n        amount', ["fee travel", "kind"]),
    ("price_book", "[[labour_rate]]", "[[labor_rate]]", ["price_book.toml", "[[labour_rate]]"]),
    ("price_book", "[[fee]]", "[fee]", ["price_book.toml", "[[fee]]"]),
    ("tools", "[[tool]]", "[[tool]", ["tools.toml is not TOML"]),
]


@pytest.mark.parametrize(("file", "old", "new", "named"), WRONG)
@pytest.mark.django_db
def test_a_wrong_file_is_refused_by_place_and_nothing_is_stored(tmp_path, file, old, new, named):
    with pytest.raises(CommandError) as refused:
        load(catalogue_write(tmp_path, **{file: {old: new}}))
    for words in named:
        assert words in str(refused.value)
    assert not any(model.objects.exists() for model in MODELS)


@pytest.mark.django_db
def test_every_wrong_row_of_a_table_is_named_at_once(tmp_path):
    changes = {"price = 0.40": "price = true", "price = 0.05": "price = false"}
    with pytest.raises(CommandError) as refused:
        load(catalogue_write(tmp_path, parts=changes))
    assert "part pin-20, column price" in str(refused.value)
    assert "part glue, column price" in str(refused.value)


@pytest.mark.django_db
def test_a_missing_an_unknown_and_an_undecodable_file_are_refused(tmp_path):
    catalogue_write(tmp_path)
    (tmp_path / "tools.toml").rename(tmp_path / "tolls.toml")
    with pytest.raises(CommandError, match=r"tools.toml is missing(.|\n)*tolls.toml is no file"):
        load(tmp_path)
    (tmp_path / "tolls.toml").rename(tmp_path / "tools.toml")
    (tmp_path / "tools.toml").write_bytes(FILES["tools.toml"].encode("utf-16"))
    with pytest.raises(CommandError, match=r"tools.toml is not TOML in UTF-8"):
        load(tmp_path)


@pytest.mark.django_db
def test_what_a_guard_refuses_is_told_by_its_sentence(tmp_path):
    load(catalogue_write(tmp_path))
    stock(Part.objects.get(code="glue"), 10, 1)
    newer = {'unit = "millilitre"': 'unit = "gram"', "price = 0.05": "price = 0.07"}
    with pytest.raises(CommandError, match="A part that has moved keeps its unit"):
        load(catalogue_write(tmp_path, parts=newer))
    assert str(Part.objects.get(code="glue").price) == "0.0500"


def test_two_loads_at_once_add_every_row_once(tmp_path, committed_database):
    catalogue_write(tmp_path)
    printed = []

    def load_in_thread():
        printed.append(load(tmp_path))
        connection.close()

    threads = [threading.Thread(target=load_in_thread) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(counts(text, "parts") for text in printed) == [[0, 0, 0, 2], [2, 0, 0, 0]]
