"""``python -m twohand`` is ``twohand``."""

from twohand.commands.main import main

if __name__ == "__main__":
    main()
