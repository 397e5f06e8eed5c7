"""The ground floor: positions in files, notices and their renderers, errors, and the one atomic write."""
