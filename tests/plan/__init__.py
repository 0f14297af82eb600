"""Tests of ``ccassist.plan``."""
