"""Tests of ``ccassist.boost``."""
