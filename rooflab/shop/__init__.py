"""Shop: what comes back from the truss manufacturer, and what is measured on the site."""
