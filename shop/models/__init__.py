"""The tables of the shop app, one file per family of nouns."""

from shop.models.answers import FirstAnswer
from shop.models.clients import Client, ClientKind, Site
from shop.models.counting import CountSheet, CountSheetLine, CountStatus
from shop.models.instruments import Action, Instrument
from shop.models.languages import Language
from shop.models.levels import Holding, Level
from shop.models.logos import Logo
from shop.models.offers import PriceBreak, SupplierOffer
from shop.models.orders import AWAITED, OrderSeries, OrderStatus, PurchaseOrder, PurchaseOrderLine
from shop.models.part_prices import PartPrice
from shop.models.parts import (
    SERVICE_LEVELS,
    WHOLE_UNITS,
    Part,
    PartCategory,
    SizeScheme,
    Unit,
)
from shop.models.profile import (
    MOST_AGED_DAYS,
    MOST_WARRANTY_DAYS,
    SETTLE_DAYS,
    PaperSize,
    ShopProfile,
    TaxRoundedOn,
)
from shop.models.provenance import CatalogueRow, Provenance
from shop.models.receipts import Receipt, ReceiptLine, SupplierReturn, SupplierReturnLine
from shop.models.stock import (
    HOLDING_KINDS,
    OUTSIDE_KINDS,
    OWN_KINDS,
    Move,
    MoveReason,
    Place,
    PlaceKind,
)
from shop.models.suppliers import Supplier
from shop.models.taxes import StandardTaxCode, TaxCategory, TaxRate
from shop.models.users import Role, User
from shop.models.visits import Visit, VisitStatus
from shop.models.weekly import WeeklyBalance, WeeklyFlow, WeeklyUse
from shop.models.woods import WoodSpecies

__all__ = [
    "AWAITED",
    "HOLDING_KINDS",
    "MOST_AGED_DAYS",
    "MOST_WARRANTY_DAYS",
    "OUTSIDE_KINDS",
    "OWN_KINDS",
    "SERVICE_LEVELS",
    "SETTLE_DAYS",
    "WHOLE_UNITS",
    "Action",
    "CatalogueRow",
    "Client",
    "ClientKind",
    "CountSheet",
    "CountSheetLine",
    "CountStatus",
    "FirstAnswer",
    "Holding",
    "Instrument",
    "Language",
    "Level",
    "Logo",
    "Move",
    "MoveReason",
    "OrderSeries",
    "OrderStatus",
    "PaperSize",
    "Part",
    "PartCategory",
    "PartPrice",
    "Place",
    "PlaceKind",
    "PriceBreak",
    "Provenance",
    "PurchaseOrder",
    "PurchaseOrderLine",
    "Receipt",
    "ReceiptLine",
    "Role",
    "ShopProfile",
    "Site",
    "SizeScheme",
    "StandardTaxCode",
    "Supplier",
    "SupplierOffer",
    "SupplierReturn",
    "SupplierReturnLine",
    "TaxCategory",
    "TaxRate",
    "TaxRoundedOn",
    "Unit",
    "User",
    "Visit",
    "VisitStatus",
    "WeeklyBalance",
    "WeeklyFlow",
    "WeeklyUse",
    "WoodSpecies",
]
