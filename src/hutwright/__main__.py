"""Lets ``python -m hutwright`` do what the command ``hutwright`` does."""

if __name__ == "__main__":
    from hutwright.cli.main import run

    run()
