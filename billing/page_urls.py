"""Routes of the billing app's pages, under /reorder."""

from django.urls import path

from billing.pages.reorder import reorder_page, reorder_part_page

urlpatterns = [
    path("reorder", reorder_page, name="reorder-page"),
    path("reorder/<slug:code>", reorder_part_page, name="reorder-part-page"),
]
