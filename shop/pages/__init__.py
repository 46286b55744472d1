"""The few HTML pages, and documents on paper."""
