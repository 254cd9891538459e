"""For whoever trains others: sign-offs that show later changes, and exports without names."""
