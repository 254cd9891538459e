"""A second recogniser, asked only where the first is in doubt.

A published speech model computed with numpy: a transformer that writes text for the spectrogram of
a few seconds. Its weights come with an optional package, found by its file and never imported.
"""
