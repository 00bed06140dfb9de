"""Entry of the `glaze` command: exit code 0 done, 2 the user's input, 1 our fault."""

from __future__ import annotations

import errno
import sys

PLACE_AT_FAULT = (
    *(errno.ENAMETOOLONG, errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC),
    *(errno.ENOTDIR, errno.EISDIR, errno.ELOOP),
)
"""What the system says of a file's name or place that the user gave."""


def main() -> None:
    """Run the command line; what a painter can mend is said in words, without a traceback."""
    import click

    from glaze.cli.main import glaze
    from glaze.errors import InputError

    try:
        code = glaze.main(standalone_mode=False, prog_name="glaze")
    except InputError as error:
        for line in str(error).splitlines():
            click.echo(line, err=True)
        code = 2
    except click.ClickException as error:
        error.show()
        code = 2
    except OSError as error:
        if error.errno not in PLACE_AT_FAULT:
            raise
        click.echo(f'"{error.filename}" can\'t be used ({error.strerror}).', err=True)
        code = 2
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped. Nothing was written.", err=True)
        code = 130
    sys.exit(code if isinstance(code, int) else 0)


if __name__ == "__main__":
    main()
