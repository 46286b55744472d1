"""Routes of the API: plural nouns in kebab case, no slash at the end, though one is accepted."""

from rest_framework.routers import SimpleRouter


class ShopRouter(SimpleRouter):
    """Routes views without ever redirecting: a redirect would lose the body of a POST."""

    def __init__(self) -> None:
        super().__init__()
        self.trailing_slash = "/?"
