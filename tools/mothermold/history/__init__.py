"""Versions out of git: what each recipe said under each number, and when. The only importer of GitPython."""
