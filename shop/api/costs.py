"""What parts cost the shop is for the office and the owner; a technician's answer leaves it out."""

from typing import Any

from shop.http.permissions import OFFICE
from shop.http.views import Serializer, ShopViewSet


class CostsForOffice(ShopViewSet):
    """Base of the views that answer with `output`, and the office with `costed_output`.

    Fields of `costed_output` alone are declared as not required, which is how they are described.
    """

    costed_output: Serializer

    def output_class(self) -> Any:
        """Return the serializer of what the caller may see."""
        described = getattr(self, "swagger_fake_view", False)
        return self.costed_output if described or self.user.role in OFFICE else self.output
