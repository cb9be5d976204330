"""Draw: scenes in model inches, their layout, the views of a house and the sheets that leave the office."""
