"""``python -m checker`` is ``twohand``."""

from checker.cli import main

if __name__ == "__main__":
    main()
