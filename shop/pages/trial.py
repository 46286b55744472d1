"""Set a sheet on trial, in a process of its own that may use little time and memory.

A few lines of SVG can ask for a shape a million times over, or more often than there is memory.
Run by file name: with the template, and the standards that the sheet is to keep. The template's
data are read from the standard input; whoever waits learns from the status whether it could be set.
"""

import resource
import sys
from typing import Any

import typst

# Some five times what the largest logo takes, with the start of the process.
MOST_SECONDS = 2
MOST_BYTES = 2**30


def main(template: str, *standards: Any) -> None:
    """Set the sheet and throw it away."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))
    typst.compile(
        template,
        sys_inputs={"data": sys.stdin.read()},
        pdf_standards=list(standards),
        ignore_system_fonts=True,
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
