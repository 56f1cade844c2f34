"""Lets `python -m sitegen` do what `sitegen` does."""

import sys

from sitegen.commands import main

sys.exit(main())
