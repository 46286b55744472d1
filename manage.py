"""Run a task of the piano repair shop: `python manage.py help` lists them."""

import os
import sys


def main() -> None:
    """Hand the command line to Django with this project's settings."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
