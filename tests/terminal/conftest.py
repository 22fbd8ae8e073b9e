"""Makes the harness importable from the tests beside it: `from pty_app import PtyApp`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
