"""Routes of the shop app, under /api/v1/."""

from django.urls import re_path

from shop.api.clients import ClientViewSet
from shop.api.count_sheets import CountSheetViewSet
from shop.api.instruments import InstrumentViewSet
from shop.api.levels import LevelViewSet
from shop.api.moves import MoveViewSet
from shop.api.offer_sheets import OfferSheetViewSet
from shop.api.part_prices import PartPriceViewSet
from shop.api.part_sheets import PartSheetViewSet
from shop.api.parts import PartViewSet
from shop.api.places import PlaceViewSet
from shop.api.profile import ShopProfileViewSet
from shop.api.purchase_orders import PurchaseOrderViewSet
from shop.api.receipts import ReceiptViewSet, SupplierReturnViewSet
from shop.api.sites import SiteViewSet
from shop.api.species import SpeciesViewSet
from shop.api.stock_accounts import StockAccountViewSet, StockValueViewSet
from shop.api.stock_papers import (
    CountViewSet,
    GoodsReceivedViewSet,
    GoodsReturnedViewSet,
    ScrappedViewSet,
    TransferViewSet,
)
from shop.api.stock_sheets import CountEntrySheetViewSet, OpeningStockSheetViewSet
from shop.api.supplier_offers import SupplierOfferViewSet
from shop.api.suppliers import SupplierViewSet
from shop.api.taxes import TaxCategoryViewSet, TaxRateViewSet
from shop.api.users import UserViewSet
from shop.api.visits import VisitViewSet
from shop.http.routers import ShopRouter
from shop.pages.labels import LabelViewSet
from shop.pages.logos import LogoViewSet
from shop.pages.purchase_orders import PurchaseOrderDocumentViewSet

router = ShopRouter()
router.register("clients", ClientViewSet, "client")
router.register("count-sheets", CountSheetViewSet, "count-sheet")
router.register("counts", CountViewSet, "count")
router.register("goods-received", GoodsReceivedViewSet, "goods-received")
router.register("goods-returned", GoodsReturnedViewSet, "goods-returned")
router.register("instruments", InstrumentViewSet, "instrument")
router.register("labels", LabelViewSet, "label")
router.register("levels", LevelViewSet, "level")
router.register("moves", MoveViewSet, "move")
router.register("part-prices", PartPriceViewSet, "part-price")
router.register("parts", PartViewSet, "part")
router.register("places", PlaceViewSet, "place")
router.register("purchase-orders", PurchaseOrderViewSet, "purchase-order")
router.register("purchase-orders", PurchaseOrderDocumentViewSet, "purchase-order-document")
router.register("receipts", ReceiptViewSet, "receipt")
router.register("scrapped", ScrappedViewSet, "scrapped")
router.register("sheets/counts", CountEntrySheetViewSet, "count-entry-sheet")
router.register("sheets/opening-stock", OpeningStockSheetViewSet, "opening-stock-sheet")
router.register("sheets/parts", PartSheetViewSet, "part-sheet")
router.register("sheets/supplier-offers", OfferSheetViewSet, "supplier-offer-sheet")
router.register("sites", SiteViewSet, "site")
router.register("species", SpeciesViewSet, "species")
router.register("supplier-offers", SupplierOfferViewSet, "supplier-offer")
router.register("supplier-returns", SupplierReturnViewSet, "supplier-return")
router.register("suppliers", SupplierViewSet, "supplier")
router.register("tax-categories", TaxCategoryViewSet, "tax-category")
router.register("tax-rates", TaxRateViewSet, "tax-rate")
router.register("transfers", TransferViewSet, "transfer")
router.register("users", UserViewSet, "user")
router.register("visits", VisitViewSet, "visit")

shop_profile = ShopProfileViewSet.as_view({"get": "retrieve", "patch": "partial_update"})
shop_logo = LogoViewSet.as_view({"get": "retrieve", "put": "replace", "delete": "destroy"})
stock_account = StockAccountViewSet.as_view({"get": "stock_account"})
stock_value = StockValueViewSet.as_view({"get": "stock_value"})

urlpatterns = [
    *router.urls,
    re_path("^shop-profile/?$", shop_profile, {"pk": 1}, name="shop-profile"),
    re_path("^shop-profile/logo/?$", shop_logo, {"pk": 1}, name="shop-logo"),
    re_path("^stock-account/?$", stock_account, name="stock-account"),
    re_path("^stock-value/?$", stock_value, name="stock-value"),
]
