"""The office's pages of what to order."""
