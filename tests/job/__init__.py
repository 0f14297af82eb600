"""Tests of ``ccassist.job``."""
