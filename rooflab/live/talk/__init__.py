"""Talk: a workbook before a room, and its handout."""
