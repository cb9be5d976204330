"""Job: a house in its file, its options, what was agreed, and many houses at once: what if?"""
