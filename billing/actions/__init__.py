"""The verbs: one function for each change of state."""
