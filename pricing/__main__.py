"""`python -m pricing` is the command `pricing`."""

from pricing.cli import main

if __name__ == "__main__":
    main()
