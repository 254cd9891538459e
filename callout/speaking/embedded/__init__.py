"""The voice that the package carries: text, pronunciation, network, sound; all in numpy."""
