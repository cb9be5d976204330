"""Sheets: one module a file that leaves the office."""
