"""Wearbook: gauging, judging and recording the overhaul of reciprocating air compressors."""
