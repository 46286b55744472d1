"""The languages that documents are written in."""

from django.db import models


class Language(models.TextChoices):
    """ISO 639-1."""

    ENGLISH = "en", "English"
    GERMAN = "de", "Deutsch"
