"""The office's pages of the catalogue, of what was found and of what was done."""

from diagnostics.admin import catalogue, findings

__all__ = ["catalogue", "findings"]
