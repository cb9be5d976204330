"""A whole office on one Linux server: JupyterHub with a configuration of ours, one account and one copy a learner."""
