"""Base: text and numbers, lumber, formulas, inputs, and the findings and files that the others share."""
