"""Routes of the billing app's pages."""

from django.urls import path

from billing.pages.approval import approval_logo, approval_page, approval_pdf
from billing.pages.reorder import reorder_page, reorder_part_page

urlpatterns = [
    path("approval/<str:link>", approval_page, name="approval-page"),
    path("approval/<str:link>/logo", approval_logo, name="approval-logo"),
    path("approval/<str:link>/pdf", approval_pdf, name="approval-pdf"),
    path("reorder", reorder_page, name="reorder-page"),
    path("reorder/<slug:code>", reorder_part_page, name="reorder-part-page"),
]
