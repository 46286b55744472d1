from tests.callers import nobody, office, owner, technician

__all__ = ["nobody", "office", "owner", "technician"]
