"""What is damaged, protected or no workbook at all; and the list of points that the corpus must cover."""
import zlib
from make_base import *

# The points of the list of pitfalls that concern reading, in its order; the second entry of a case names those that it covers.
POINTS = {
    "damaged-sheet": "a damaged sheet ends early without an error",
    "checksum": "the zip's checksum is never looked at",
    "order": "rows or cells out of order are mixed up",
    "protected": "a protected workbook without its password",
    "not-a-workbook": "a CSV, a page, an empty file or a cut one named .xlsx",
    "other-format": ".xls, .ods, .xlsb, an XML export named .xlsx",
    "cut-download": "a cut download",
    "lock-file": "the lock file of an open workbook",
    "zip-bomb": "a zip bomb (made by the test itself)",
    "part-names": "path names that climb, two parts of one name",
    "macros": "macros, external links, strict OOXML",
    "hidden-sheets": "hidden and very hidden sheets, chart sheets",
    "raw-values": "formatted values are not the truth",
    "no-style": "45000 may be a date or a distance",
    "vin-number": "a VIN stored as a number",
    "leading-zeros": "leading zeros of unit numbers",
    "raw-floats": "raw floats",
    "numbers-as-text": "numbers as text, one separator with three digits after it",
    "date-1904": "the 1904 date system",
    "serial-60": "serial 60, below 1, ISO text in a date cell",
    "date-text": "03/04/2024 has no answer in the cell",
    "no-saved-value": "formulas without a saved value",
    "error-cells": "error cells and booleans",
    "merged": "merged cells",
    "gaps": "missing rows and trailing empty cells",
    "hidden-rows": "hidden and filtered-out rows",
    "blown-up": "a used range blown up by styles",
    "dimension": "the dimension is a hint",
    "beyond": "cells beyond XFD, rows beyond 1,048,576",
    "string-index": "a shared-string index out of range",
    "rich-text": "rich text, inline strings, phonetic guides, _x000D_, line feeds",
    "no-reference": "cells without references",
    "not-in-row-1": "headings not in row 1",
    "two-rows": "two-row headings",
    "repeated-heading": "repeated heading rows",
    "duplicated-heading": "duplicated headings",
    "totals": "totals rows and foot notes",
    "invisible": "invisible characters in VINs and units",
    "lookalikes": "full-width, Cyrillic and Greek letters",
    "bom": "byte order marks, UTF-16 with and without",
    "encoding": "bytes that are not UTF-8",
    "delimiter": "delimiters, decimal commas, sep=",
    "quotes": "unbalanced quotes",
    "ragged": "ragged rows, blank lines, embedded line ends, Ctrl-Z",
    "cr-only": "CR-only line ends",
    "nul": "NUL in the text",
    "long-cell": "texts over 32,767 characters",
    "several-tables": "several tables in one sheet",
    "language": "headings in another language",
    "units-change": "units changing down a column",
    "many-rows": "one vehicle on many rows",
    "codes-in-one-cell": "codes as one long cell",
    "pivot": "a history with one column a month",
    "text-in-numbers": "text in numbers",
    "numbers-in-text": "numbers in text",
    "three-date-styles": "three date styles in one column",
    "on-its-side": "a table with a vehicle a column",
    "unknown-heading": "what matters under a heading that is not known",
    "spreadsheet-names": "names that a spreadsheet program turned into days",
    "joined-names": "unit, make and model in one cell",
    "vin-pieces": "a VIN in pieces",
    "fixed-width": "text in columns of fixed width",
    "carried-on": "a row that carries on the text of the row above",

    "one-vehicle": "a sheet of one vehicle",
    "blocks": "a vehicle's name on the first row of its block alone",
    "one-figure": "one figure a row, of several kinds",
    "orders": "work orders that are not closed",
    "distances": "distances that are no odometer, or not in km",
    "real-headers": "header rows of public files",
}

FIVE = [["Unit", "VIN", "Model", "Odometer"]] + [[f"U{n}", vin(n), "Heron", 80000 + n] for n in range(1, 6)]
READ = account(used=5, blank=1)


def patch(data, name, offset, change):
    """Changes bytes of the central directory entry of a part."""
    at = data.find(b"PK\x01\x02")
    while at >= 0:
        n = int.from_bytes(data[at + 28:at + 30], "little")
        if data[at + 46:at + 46 + n].decode() == name:
            return data[:at + offset] + change + data[at + offset + len(change):]
        at = data.find(b"PK\x01\x02", at + 4)
    raise KeyError(name)


def bad(name, data, points, says, by="by hand", **more):
    write(name, data)
    case(name, name, points, by, error=says, nothing=True, **more)


def make():
    whole = sheet_xml(rows(FIVE))
    bad("cut-sheet.xlsx", book([("Units", whole[:whole.index('<row r="4">')])]), ["damaged-sheet"], 'sheet "Units"')
    bad("unclosed-cell.xlsx", book([("Units", whole.replace("</c></row><row r=\"4\">", "</row><row r=\"4\">"))]), ["damaged-sheet"], 'sheet "Units"')
    bad("nbsp-entity.xlsx", book([("Units", whole.replace("Heron", "He&nbsp;ron", 3))]), ["damaged-sheet"], 'sheet "Units"')
    bad("control-character.xlsx", book([("Units", whole.replace("Heron", "He\x01ron", 3))]), ["damaged-sheet"], 'sheet "Units"')
    part = "xl/worksheets/sheet1.xml"
    stored = book([("Units", whole)], stored=(part,))
    bad("changed-digit.xlsx", stored.replace(b"<v>80002</v>", b"<v>90002</v>"), ["checksum"], "checksum")
    size = len(whole.encode())
    bad("size-too-small.xlsx", patch(stored, part, 24, (size // 2).to_bytes(4, "little")), ["checksum"], "sheet1.xml")
    bad("rows-out-of-order.xlsx", book([("Units", sheet_xml(rows(FIVE[:4], [1, 3, 2, 4])))]), ["order"], "row 2")
    bad("row-twice.xlsx", book([("Units", sheet_xml(rows(FIVE[:4], [1, 2, 2, 3])))]), ["order"], "row 2")
    row = "<row r=\"2\">" + cell("C2", "Heron") + cell("A2", "U1") + cell("D2", 80001) + "</row>"
    bad("cells-out-of-order.xlsx", book([("Units", sheet_xml(rows(FIVE[:1]) + row))]), ["order"], "A2")
    bad("two-rows-mixed.xlsx", book([("Units", sheet_xml(rows(FIVE[:1]) + '<row r="3">' + cell("A3", "U1") + cell("B4", vin(2)) + "</row>"))]), ["order"], "B4")

    text = lines(FIVE)
    bad("text-called-workbook.xlsx", text, ["not-a-workbook"], "a text file, not a workbook")
    bad("page-called-workbook.xlsx", "<html><body><table><tr><td>Unit</td></tr></table></body></html>", ["not-a-workbook"], "a web page (HTML)")
    bad("empty.xlsx", b"", ["not-a-workbook"], "the file is empty")
    good = plain_book(FIVE)
    bad("cut-download.xlsx", good[:len(good) * 2 // 3], ["cut-download"], f"incomplete, {len(good) * 2 // 3} bytes")
    bad("binary.xlsx", zipped([("[Content_Types].xml", HEAD + "<Types/>"), ("_rels/.rels", HEAD + "<Relationships/>"), ("xl/workbook.bin", b"\x83\x01\x00")]), ["other-format"], "binary workbook (.xlsb)")
    bad("any-zip.xlsx", zipped([("readme.txt", "hello")]), ["not-a-workbook"], "zip file, but no workbook")
    bad("empty.csv", b"", ["not-a-workbook"], "the file is empty")
    bad("workbook-called-text.csv", good, ["not-a-workbook"], "a workbook (.xlsx) or another zip file")
    bad("pdf-called-text.csv", b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", ["not-a-workbook"], "a PDF document")
    bad("page-called-text.csv", "<!DOCTYPE html><html><body>Sign in</body></html>", ["not-a-workbook"], "a web page (HTML)")

    write("~$fleet.xlsx", b"\x05Planner" + b" " * 150)
    case("lock file", "~$fleet.xlsx", ["lock-file"], "by hand", error="lock file of a workbook that is open", nothing=True)
    twice = zipped([("a", "1")])
    parts = [("xl/worksheets/sheet1.xml", whole)]
    import warnings
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        bad("two-parts-one-name.xlsx", book([("Units", whole)], more=parts), ["part-names"], "two parts are called")
    write("climbing-part-names.xlsx", book([("Units", whole)], more=[("../../climbed.txt", "x"), ("xl/../../up.xml", "<x/>"), ("/etc/absolute.txt", "x")]))
    case("climbing part names", "climbing-part-names.xlsx", ["part-names"], "by hand", {"Units": READ}, {"U5": {"vin": vin(5), "km": [80005]}})

    code = ("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"Sub Auto_Open()" * 20)
    link = f'<Relationship Id="rId80" Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject" Target="vbaProject.bin"/>'
    write("macros.xlsm", book([("Units", whole)], more=[code], macro=True, links=link))
    case("macros are never run", "macros.xlsm", ["macros"], "by hand", {"Units": READ}, {"U1": {"vin": vin(1)}})
    outside = ('<c r="D2"><f>[1]Clock!A1</f><v>81234</v></c>')
    linked = sheet_xml(rows(FIVE[:1]) + '<row r="2">' + cell("A2", "U1") + cell("B2", vin(1)) + cell("C2", "Heron") + outside + "</row>")
    more = [("xl/externalLinks/externalLink1.xml", f'{HEAD}<externalLink xmlns="{MAIN}"><externalBook xmlns:r="{REL}" r:id="rId1"/></externalLink>'),
            ("xl/externalLinks/_rels/externalLink1.xml.rels", f'{HEAD}<Relationships xmlns="{PKG}"><Relationship Id="rId1" Type="{REL}/externalLinkPath" Target="http://192.0.2.1/clock.xlsx" TargetMode="External"/></Relationships>')]
    write("external-link.xlsx", book([("Units", linked)], more=more, links=f'<Relationship Id="rId70" Type="{REL}/externalLink" Target="externalLinks/externalLink1.xml"/>'))
    case("the saved value of a link to another file", "external-link.xlsx", ["macros"], "by hand", {"Units": account(used=1, blank=1)}, {"U1": {"km": [81234]}})
    write("strict.xlsx", book([("Units", sheet_xml(rows(FIVE), main=STRICT_MAIN))], strict=True))
    case("strict OOXML", "strict.xlsx", ["macros"], "by hand (ISO/IEC 29500 Strict)", {"Units": READ}, {"U3": {"vin": vin(3), "km": [80003], "model": "Heron"}})

    bad("beyond-last-column.xlsx", book([("Units", sheet_xml(rows(FIVE[:1]) + '<row r="2">' + cell("A2", "U1") + cell("XFE2", "x") + "</row>"))]), ["beyond"], "XFE2")
    bad("beyond-last-row.xlsx", book([("Units", sheet_xml(rows(FIVE[:2]) + '<row r="1048577">' + cell("A1048577", "U9") + "</row>"))]), ["beyond"], "1048577")
    shared = sheet_xml(rows([["Unit", "Model"], [("s", "<v>0</v>"), ("s", "<v>2</v>")]]))
    bad("string-index.xlsx", book([("Units", shared)], strings="<si><t>U1</t></si><si><t>Heron</t></si>"), ["string-index"], 'shared string "2" does not exist')
    bad("no-strings-at-all.xlsx", book([("Units", shared)]), ["string-index"], 'shared string "0" does not exist')
