"""Reads: who may see what, and the reports."""
