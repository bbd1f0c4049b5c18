"""`python -m assistant`: see cli.py."""

import sys

from assistant.cli import main

sys.exit(main())
