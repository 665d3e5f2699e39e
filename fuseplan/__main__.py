"""``python -m fuseplan``."""

import sys

from fuseplan.cli.main import main

sys.exit(main())
