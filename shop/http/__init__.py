"""What every endpoint of the API shares: problems, paging, idempotency, conditions, roles."""
