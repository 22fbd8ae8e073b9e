"""`python -m station`."""

from station.cli import run

run()
