"""What makes a list fail in use: small pure rules, each with its reason and its source."""
