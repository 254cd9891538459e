"""What commands answer and what their help says."""

from __future__ import annotations
