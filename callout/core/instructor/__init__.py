"""For instructors: sign-offs that reveal later changes, and exports without names."""
