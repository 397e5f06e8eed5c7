"""Publishes pages: hangs them in frames, places them file by file, and carries them as one file."""
