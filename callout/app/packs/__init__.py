"""Makes, reads and adds packs of lists; no pack is trusted."""
