"""Run the command line with `python -m sitegen`."""

import sys

from sitegen.commands import main

sys.exit(main())
