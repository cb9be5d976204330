"""Widgets: the building blocks of every live page."""
