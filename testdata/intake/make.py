"""Makes testdata/intake/files and expected.json. Run with /usr/bin/python3 (openpyxl 3.0.9), LibreOffice's soffice, R with openxlsx, and go on the PATH:

    /usr/bin/python3 testdata/intake/make.py

With --keep the files that openpyxl, LibreOffice, R and excelize made stay as they are. Everything drawn comes from one seed; the tests only read what lies here. What each file must be read as stands beside its making, by hand.
"""
import make_books, make_cells, make_doubted, make_fooled, make_odd, make_programs, make_reports, make_sent, make_texts
from make_base import expected, source

make_odd.make()
make_books.make()
make_texts.make()
make_programs.make()
make_reports.make()
make_fooled.make()
make_doubted.make()
make_sent.make()
make_cells.make()
expected({"points": make_odd.POINTS})
source(make_odd.POINTS)
