"""Stands before the package of this name on a server's path. Reading its grammar takes longer than all else of
JupyterLab's start, for a check of addresses that nothing here asks for; jsonschema does without where it is missing."""

raise ImportError("not wanted here")
