"""Tests of ``ccassist.report``."""
