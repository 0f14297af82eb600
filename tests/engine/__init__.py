"""Tests of ``ccassist.engine``."""
