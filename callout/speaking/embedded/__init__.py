"""The voice that the package contains: text, pronunciation, network, sound; all in numpy."""
