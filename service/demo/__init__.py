"""A scenario to try the desk with: forty invented messages to an invented club workshop, told in scenario.md."""
