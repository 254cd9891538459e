"""What words mean: phrases, numbers, units and usage, as tables used in both directions."""
