"""The formats that people write: lists, overlays, flight files and drafts."""
