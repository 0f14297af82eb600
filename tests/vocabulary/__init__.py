"""Tests of the vocabulary: terms, kinds, units and names."""
