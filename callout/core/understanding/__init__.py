"""From words heard to what they are at an item."""
