"""Tests of ``ccassist.bench``."""
