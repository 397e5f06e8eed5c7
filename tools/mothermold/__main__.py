"""Runs the command line as ``python -m mothermold``."""

import sys

from mothermold.cli.main import main

sys.exit(main())
