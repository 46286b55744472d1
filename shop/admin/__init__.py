"""The office's pages, in Django's admin."""

from django.contrib import admin

from shop.admin import clients, people, purchasing, settings, stock

admin.site.site_header = admin.site.site_title = "Piano repair shop"
admin.site.index_title = "Office"
admin.site.site_url = None

__all__ = ["clients", "people", "purchasing", "settings", "stock"]
