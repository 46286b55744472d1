"""PostgreSQL for Django: a server of one's own when none is named, and two roles that use it."""
