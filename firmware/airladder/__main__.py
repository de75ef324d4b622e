"""`python -m airladder` is the command `airladder`."""

import sys

from airladder.cli import main

sys.exit(main())
