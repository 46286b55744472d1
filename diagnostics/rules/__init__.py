"""Pure computation: plain values in, dataclasses out."""
