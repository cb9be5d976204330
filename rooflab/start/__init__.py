"""Start: the command line, the environment, the user's copies of the workbooks, and JupyterLab's settings."""
