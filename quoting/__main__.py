"""The one place where errors meet the maker: messages, exit statuses, interruption."""

import os
import sys
import warnings

if __name__ == "__main__":
    # `python -m` looks for code in the folder that it is called from first; a shop folder holds data, and no code of it is ever run.
    try:
        here, own = os.path.realpath(""), os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
        sys.path[:] = [one for one in sys.path if os.path.realpath(one) != here or here == own]
    except OSError:
        pass  # where the folder is gone there is no code

from quoting.cli.offered import confirmed, confirmed_option
from quoting.cli.terminal import progress
from quoting.errors import Exit, Problems

SHOWN_AT_ONCE = 10


def main() -> None:
    """Run the command; never a traceback for a maker's mistake."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", module="PIL")  # a camera's faulty notes beside a sound picture
        status = run(sys.argv[1:])
    sys.exit(status)


def run(arguments: list[str]) -> int:
    """Run the command with `arguments` and give its exit status."""
    from quoting.cli import app

    try:
        status = app(arguments or ["--help"], prog_name="quoting", standalone_mode=False)
        return _interrupted() if status == Exit.INTERRUPTED else int(status or Exit.DONE)
    except Problems as wrong:
        again = confirmed(wrong, arguments)
        return run(again) if again else _complain(told(wrong))
    except KeyboardInterrupt:
        return _interrupted()
    except SystemExit as stop:  # how the command library ends on an interruption and on a closed pipe
        return _interrupted() if stop.code == Exit.INTERRUPTED else _reader_gone()
    except BrokenPipeError:
        return _reader_gone()
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        return _complain(f"{name}{error.strerror or error}")
    except Exception as error:
        again = _other_option(error, arguments)
        return run(again) if again else _unexpected(error)


def _other_option(error: Exception, arguments: list[str]) -> list[str]:
    """Arguments with the option that is meant, where the command library offers one and the maker takes it."""
    name, possible = getattr(error, "option_name", ""), getattr(error, "possibilities", None)
    message = getattr(error, "message", "")
    return confirmed_option(message, name, possible, arguments) if possible else []


def _reader_gone() -> int:
    """Whoever read the output has seen enough: no fault, and nothing more to say."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return Exit.DONE


def told(wrong: Problems) -> str:
    """Problems by file, the first ten and a count of the rest."""
    ordered = sorted(wrong.problems, key=lambda problem: (problem.file, problem.line))
    lines = [problem.said("terminal") for problem in ordered[:SHOWN_AT_ONCE]]
    if len(ordered) > SHOWN_AT_ONCE:
        lines.append(f"... and {len(ordered) - SHOWN_AT_ONCE} more")
    number = len(ordered)
    if not wrong.done:
        lines.append(f"{number} {'thing' if number == 1 else 'things'} to put right; nothing was written.")
    return "\n".join(lines)


def _complain(words: str) -> int:
    progress("")
    print(words, file=sys.stderr)
    return Exit.WRONG_FILES


def _interrupted() -> int:
    progress("")
    print("interrupted; what is written is whole", file=sys.stderr)
    return Exit.INTERRUPTED


def _unexpected(error: Exception) -> int:
    """Typer's own usage errors keep their message; anything else is a bug of ours."""
    if hasattr(error, "format_message") and hasattr(error, "exit_code"):
        context = getattr(error, "ctx", None)
        if context is not None:
            print(context.get_usage(), file=sys.stderr)
        print(f"Error: {error.format_message()}", file=sys.stderr)
        return int(error.exit_code)
    if type(error).__name__ == "Abort":
        return _interrupted()
    if os.environ.get("QUOTING_TRACE"):
        raise error
    print(
        f"A fault of ours, not of your files: {type(error).__name__}: {error}\n"
        "Nothing half-written is left. Set QUOTING_TRACE=1 and run it again to see where.",
        file=sys.stderr,
    )
    return Exit.OUR_BUG


if __name__ == "__main__":
    main()
