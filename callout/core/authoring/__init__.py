"""From what stands on somebody's card to a draft with its doubts."""
