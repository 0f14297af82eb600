"""``python -m ccassist``."""

from ccassist.cli.app import main

main()
