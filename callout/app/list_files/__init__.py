"""Lists checked, repaired, brought in and brought out."""
