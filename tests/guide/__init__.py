"""Tests of ``ccassist.guide``."""
