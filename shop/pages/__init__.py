"""The few HTML pages."""
