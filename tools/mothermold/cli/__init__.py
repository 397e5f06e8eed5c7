"""The command line: parse, call, print. Nothing is decided here."""
