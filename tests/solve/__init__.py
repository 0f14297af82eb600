"""Tests of ``ccassist.solve``."""
