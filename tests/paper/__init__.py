"""Tests of ``ccassist.paper``."""
