"""What words mean: phrases, numbers, units and usage, as tables and in both directions."""
