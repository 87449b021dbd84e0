"""How Ray is told to keep to this machine's loopback; imported before anything that imports Ray."""

from __future__ import annotations

import os
import secrets

os.environ.setdefault("RAY_USAGE_STATS_ENABLED", "0")
# Everything on loopback: Ray otherwise takes this machine's own address for it.
os.environ.setdefault("RAY_ENABLE_WINDOWS_OR_OSX_CLUSTER", "0")
os.environ.setdefault("RAY_AUTH_MODE", "token")
os.environ.setdefault("RAY_AUTH_TOKEN", secrets.token_hex(32))
# A machine that stops is missed after five seconds, and a busy one is not taken for stopped.
os.environ.setdefault("RAY_health_check_period_ms", "1000")
os.environ.setdefault("RAY_health_check_timeout_ms", "10000")
os.environ.setdefault("RAY_health_check_failure_threshold", "5")
