"""`python -m scye` is the same command as `scye`."""

from scye.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
