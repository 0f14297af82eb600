"""``python -m ccassist``."""

from ccassist.cli.app import program

program()
