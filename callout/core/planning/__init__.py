"""Works out from a list and a flight what is asked."""
