from tests.callers import owner

__all__ = ["owner"]
