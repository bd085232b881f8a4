"""A wrench that streams samples over a pseudo-terminal, for the tries of the bench page: argument 1 is the link to make.

A line on its input is a pull, "PEAK SECONDS": the torque rises to the peak in newton metres and falls again, 200 samples a
second. "at TEXT" writes one line at once, as a tool does that sends a reading when the pull is over. After either it says when
the last byte was written (of a pull: the last above the rest), in milliseconds since 1970, as a browser tells the time."""

import math
import os
import pty
import sys
import time
import tty

RATE = 200


def write(port, value):
    os.write(port, f"{value:.4f}\n".encode())


def wait(until):
    rest = until - time.monotonic()
    if rest > 0:
        time.sleep(rest)


def pull(port, peak, seconds):
    count = int(seconds * RATE)
    start = time.monotonic()
    for index in range(count + 1):
        wait(start + index / RATE)
        write(port, peak * math.sin(math.pi * index / count) ** 2)
    ended = time.time()
    for index in range(RATE // 4):  # rest, so that the pull is over
        wait(start + (count + 1 + index) / RATE)
        write(port, 0.0)
    return ended


def main():
    port, device = pty.openpty()
    tty.setraw(device)
    link = sys.argv[1]
    os.symlink(os.ttyname(device), link)
    for line in sys.stdin:
        words = line.split()
        if words[0] == "at":
            os.write(port, (" ".join(words[1:]) + "\r\n").encode())
            ended = time.time()
        else:
            ended = pull(port, float(words[0]), float(words[1]))
        print(f"{ended * 1000:.3f}", flush=True)


main()
