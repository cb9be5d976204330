"""Topics: the live panels, one module a subject."""
