"""The embedded recogniser: each allowed phrase is scored against the audio.

A small English speech-to-text network (weights in the package, computed with numpy) gives the
log-likelihood of any text for a recording. The candidate phrases of the item are scored as a prefix
tree; the network's own free transcript is decoded alongside, as evidence against forcing unrelated
speech into the set.
"""
