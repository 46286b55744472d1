"""Documents on paper about what was found."""
