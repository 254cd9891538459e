"""A second recogniser, asked only when the first is in doubt.

A published speech model computed with numpy: a transformer that writes text for the spectrogram of
a few seconds. Its weights come with an optional package, which is located by its files and never
imported.
"""
