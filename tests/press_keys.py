"""press_keys.py SHELL SETUP < lines: what a shell makes of key strokes in a terminal.

SHELL is a command that starts an interactive shell, SETUP a line that it runs first. Each further line is typed as it
stands; \\t is the key Tab. The function drupelet, which stands for the program, prints its arguments; those of each line
are printed here."""
import os
import pty
import re
import select
import shlex
import sys
import time

WAIT_S = 60


def read_until(terminal, pattern):
    """What comes until the pattern is there."""
    text, end = "", time.monotonic() + WAIT_S
    while time.monotonic() < end:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                text += os.read(terminal, 65536).decode(errors="replace")
            except OSError:
                break
        found = re.search(pattern, text)
        if found:
            return found
    sys.exit(f"the shell does not answer with {pattern}: {text}")


def main():
    shell, setup = sys.argv[1:]
    child, terminal = pty.fork()
    if child == 0:
        os.environ.update(TERM="dumb", PS1="", HISTFILE="")
        words = shlex.split(shell)
        os.execvp(words[0], words)
    # The ends of what is printed are put together by printf, for a terminal also shows what is typed.
    show = r"""drupelet() { printf '%s%s|%s%s\n' GO T: "$*" :END; }; """
    os.write(terminal, (show + setup + r"; printf '%s%s\n' REA DY" + "\n").encode())
    read_until(terminal, "READY")
    for line in sys.stdin.read().splitlines():
        os.write(terminal, line.replace("\\t", "\t").encode() + b"\n")
        print(read_until(terminal, r"GOT:\|(.*?):END")[1])
    os.write(terminal, b"exit\n")
    os.close(terminal)


main()
