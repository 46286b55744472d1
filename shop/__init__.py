"""The Django project, and the business itself: clients, instruments, visits, parts, stock."""
