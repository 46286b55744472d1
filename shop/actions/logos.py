"""The shop's logo: put up, replaced, taken down."""

from dataclasses import asdict
from datetime import datetime

from django.db import transaction

from shop.models import Logo
from shop.rules.logos import Picture


@transaction.atomic
def logo_replace(*, content: bytes, picture: Picture, replaced_at: datetime) -> Logo:
    """Return the logo, which is `content` from now on; `picture` is what was found in it."""
    values = {**asdict(picture), "content": content, "changed_at": replaced_at}
    logo, _ = Logo.objects.update_or_create(pk=1, defaults=values)
    return logo


@transaction.atomic
def logo_remove(*, logo: Logo) -> None:
    """Take the logo off the documents that are set from now on."""
    logo.delete()
