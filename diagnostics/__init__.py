"""The catalogue of the trade, examinations, per-note findings, and bench work."""
