"""``python -m callout``."""

from callout.cli.main import main

if __name__ == "__main__":
    main()
