"""Every path of the project: the API, its description, the pages, the office's admin."""

from django.contrib import admin
from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerView

from shop.pages.problems import problem_detail, problem_list

handler400 = "shop.http.error_pages.bad_request"
handler403 = "shop.http.error_pages.permission_denied"
handler404 = "shop.http.error_pages.page_not_found"
handler500 = "shop.http.error_pages.server_error"

urlpatterns = [
    path("api/v1/", include("shop.api_urls")),
    # By name, since this app may not import the others.
    path("api/v1/", include("diagnostics.urls")),
    path("api/v1/", include("billing.urls")),
    path("api/schema", SpectacularAPIView.as_view(), name="schema"),
    path("api/docs", SpectacularSwaggerView.as_view(url_name="schema"), name="docs"),
    path("", include("billing.page_urls")),
    path("problems/", problem_list),
    path("problems/<slug:code>", problem_detail),
    path("admin/", admin.site.urls),
]
