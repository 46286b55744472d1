from datetime import date, timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from shop import models
from tests.factories.world import NOW, main_shelf, outside


class RowFactory(DjangoModelFactory):
    class Meta:
        abstract = True
        skip_postgeneration_save = True


class UserFactory(RowFactory):
    class Meta:
        model = models.User

    class Params:
        office = factory.Trait(role=models.Role.OFFICE)
        owner = factory.Trait(role=models.Role.OWNER)

    username = factory.Sequence(lambda n: f"tuner-{n}")


class ClientFactory(RowFactory):
    class Meta:
        model = models.Client

    kind = models.ClientKind.ORGANISATION
    name = factory.Sequence(lambda n: f"Eel Pie Lane School {n}")


class SiteFactory(RowFactory):
    class Meta:
        model = models.Site

    client = factory.SubFactory(ClientFactory)
    name = "Practice room 2, beside the boiler"
    travel_minutes = 35


class InstrumentFactory(RowFactory):
    class Meta:
        model = models.Instrument

    class Params:
        grand = factory.Trait(action=models.Action.GRAND)
        spinet = factory.Trait(action=models.Action.SPINET)

    site = factory.SubFactory(SiteFactory)
    action = models.Action.UPRIGHT
    maker = "Quillfeather & Daughters"
    serial_number = factory.Sequence(lambda n: f"QD{40017 + n}")


def moved_on(*steps):
    """The hook that takes a stored row from status to status, saving each step's columns.

    A step is the columns, or a function that returns them when the time has come.
    """

    @factory.post_generation
    def hook(row, create, extracted, **kwargs):
        for step in steps:
            columns = step() if callable(step) else step
            for column, value in columns.items():
                setattr(row, column, value)
            row.save(update_fields=list(columns))

    return hook


class VisitFactory(RowFactory):
    class Meta:
        model = models.Visit

    class Params:
        done = factory.Trait(then=moved_on({"status": models.VisitStatus.DONE}))
        cancelled = factory.Trait(then=moved_on({"status": models.VisitStatus.CANCELLED}))

    site = factory.SubFactory(SiteFactory)
    technician = factory.SubFactory(UserFactory)
    starts_at = NOW
    ends_at = factory.LazyAttribute(lambda visit: visit.starts_at + timedelta(minutes=90))


# Invented: a felt hammer's outline, 40 wide and 30 high.
LOGO = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 30">'
    b'<path d="M0 30 L20 0 L40 30 Z"/></svg>'
)


class LogoFactory(RowFactory):
    class Meta:
        model = models.Logo

    media_type = "image/svg+xml"
    width = 40
    height = 30
    content = LOGO
    changed_at = NOW


class CatalogueRowFactory(RowFactory):
    class Meta:
        abstract = True

    code = factory.Sequence(lambda n: f"row-{n}")
    name = factory.LazyAttribute(lambda row: f"The {row.code}")


class WoodSpeciesFactory(CatalogueRowFactory):
    class Meta:
        model = models.WoodSpecies

    radial_coefficient = Decimal("0.00190")
    tangential_coefficient = Decimal("0.00431")
    radial_shrinkage_percent = Decimal("5.5")
    tangential_shrinkage_percent = Decimal("11.9")


class TaxCategoryFactory(CatalogueRowFactory):
    class Meta:
        model = models.TaxCategory

    en16931_code = models.StandardTaxCode.STANDARD


class TaxRateFactory(RowFactory):
    class Meta:
        model = models.TaxRate

    category = factory.SubFactory(TaxCategoryFactory)
    percent = Decimal("17.5")
    valid_from = date(2000, 1, 1)


class SupplierFactory(RowFactory):
    class Meta:
        model = models.Supplier

    name = factory.Sequence(lambda n: f"Felt and Wire Cooperative {n}")


class PartFactory(CatalogueRowFactory):
    class Meta:
        model = models.Part

    class Params:
        centre_pin = factory.Trait(
            category=models.PartCategory.CENTRE_PIN,
            size_scheme=models.SizeScheme.INCH,
            # Sizes 18 to 24 in halves, over and over.
            size_label=factory.Sequence(lambda n: f"{18 + n % 13 / 2:g}"),
            # Size 20 is 1270 µm and a half size 25.4 µm more.
            diameter_um=factory.LazyAttribute(
                lambda part: round(1270 + (Decimal(part.size_label) - 20) * Decimal("50.8"))
            ),
        )
        key_punching = factory.Trait(
            category=models.PartCategory.KEY_PUNCHING, thickness_um=130, outer_diameter_um=22_200
        )
        bushing_cloth = factory.Trait(
            category=models.PartCategory.BUSHING_CLOTH,
            unit=models.Unit.METRE,
            thickness_um=1100,
            strip_width_mm=Decimal("12.7"),
        )

    category = models.PartCategory.ACTION_PART
    price = Decimal("2.50")
    cost = Decimal("1.20")
    tax_category = factory.SubFactory(TaxCategoryFactory)


class PartPriceFactory(RowFactory):
    class Meta:
        model = models.PartPrice

    part = factory.SubFactory(PartFactory)
    price = Decimal("2.75")
    valid_from = date(2020, 1, 1)


class PlaceFactory(RowFactory):
    class Meta:
        model = models.Place

    class Params:
        shelf = factory.Trait(kind=models.PlaceKind.SHELF)
        bag = factory.Trait(kind=models.PlaceKind.BAG)

    kind = models.PlaceKind.VAN
    name = factory.Sequence(lambda n: f"Place {n}")


class MoveFactory(RowFactory):
    """Goods received from the suppliers onto the main shelf, unless told otherwise."""

    class Meta:
        model = models.Move

    part = factory.SubFactory(PartFactory)
    from_place = factory.LazyFunction(lambda: outside(models.PlaceKind.SUPPLIER))
    to_place = factory.LazyFunction(main_shelf)
    quantity = Decimal(10)
    value = Decimal(12)
    reason = models.MoveReason.RECEIVED
    moved_at = NOW


class FirstAnswerFactory(RowFactory):
    class Meta:
        model = models.FirstAnswer

    user = factory.SubFactory(UserFactory)
    method = "POST"
    path = "/api/v1/clients"
    key = factory.Sequence(lambda n: f"key-{n}")
    request_digest = "e3b0c442" * 8
    status = 201
    created_at = NOW
