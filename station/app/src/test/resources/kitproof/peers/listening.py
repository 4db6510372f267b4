"""Passes samples on from standard input to a pipe that a sound server captures from.

Frames of two channels in 32 bits. With LOSE, four frames of each LOSE are left out. What the server
does not take at once is left out too: it takes nothing while nobody captures, and what is old must
not wait for it.
"""
import fcntl
import os
import sys

FRAME = 8
PIECE = 240
SET_PIPE_SIZE = 1031  # F_SETPIPE_SZ, which Python names from 3.10 on

lose = int(sys.argv[2])
out = os.open(sys.argv[1], os.O_WRONLY | os.O_NONBLOCK)
fcntl.fcntl(out, SET_PIPE_SIZE, 16384)
seen = 0
while True:
    piece = sys.stdin.buffer.read(PIECE * FRAME)
    if not piece:
        break
    seen += PIECE
    if lose and seen >= lose:
        seen = 0
        piece = piece[: -4 * FRAME]
    try:
        os.write(out, piece)
    except BlockingIOError:
        pass
