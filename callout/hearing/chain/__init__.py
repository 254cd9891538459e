"""A third reading of a reply in doubt: a published chain model, computed with numpy alone.

The model was trained for general dictation on far more people and rooms than our recordings hold
(its card: ``models_readme/chain.md``). It hears phones in context every 30 ms; a phrase is scored
as the best path through its phones, and compared with the best path through any phones at all.
"""
