"""Views: one scene a subject."""
