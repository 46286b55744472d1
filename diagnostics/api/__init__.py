"""Endpoints: parse, call one action or query, render."""
