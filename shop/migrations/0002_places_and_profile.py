"""The rows that the ledger cannot do without: the places outside, one shelf, the shop itself."""

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

PLACES = [
    ("supplier", "Suppliers"),
    ("used", "Used"),
    ("scrapped", "Scrapped"),
    ("count_difference", "Count differences"),
    ("shelf", "Main shelf"),
]


def add_first_rows(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    alias = schema_editor.connection.alias
    place = apps.get_model("shop", "Place")
    place.objects.using(alias).bulk_create(place(kind=kind, name=name) for kind, name in PLACES)
    apps.get_model("shop", "ShopProfile").objects.using(alias).create()


class Migration(migrations.Migration):
    replaces = [("shop", "0002_first_rows")]
    dependencies = [("shop", "0001_schema")]

    operations = [migrations.RunPython(add_first_rows, migrations.RunPython.noop)]
