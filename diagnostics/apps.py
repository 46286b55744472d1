"""The diagnostics app: the trade."""

from django.apps import AppConfig


class DiagnosticsConfig(AppConfig):
    """The catalogue of the trade, examinations, findings and bench work."""

    name = "diagnostics"
    verbose_name = "Diagnostics"
