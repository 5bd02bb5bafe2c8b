"""Data files: published sources and tables."""
