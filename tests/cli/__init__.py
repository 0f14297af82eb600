"""Tests of ``ccassist.cli``."""
