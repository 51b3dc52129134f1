"""cells.txt: the distinct cells of the corpus' text files, as seeds for the fuzzers."""
import csv, glob, io
from make_base import *


def make():
    seen = {}
    for path in sorted(glob.glob(os.path.join(FILES, "*.csv")) + glob.glob(os.path.join(FILES, "headers", "*.csv"))):
        with open(path, "rb") as f:
            data = f.read()
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            continue
        for line in text.splitlines():
            for c in line.replace("\t", ";").replace("|", ";").split(";"):
                c = c.strip('"')
                if 0 < len(c) <= 60 and "\x00" not in c:
                    seen[c] = True
    with open(os.path.join(HERE, "cells.txt"), "w", encoding="utf-8") as f:
        f.write("\n".join(list(seen)[:600]) + "\n")
