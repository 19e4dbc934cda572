"""`python -m kb`: the command line of the core alone."""

from kb.cli import main

main()
