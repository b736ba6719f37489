"""Tests of what a kitchen teaches."""
