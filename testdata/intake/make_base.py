"""Shared tools of make.py: workbooks put together by hand, and the list of cases with what each must be read as."""
import io, json, os, zipfile
from xml.sax.saxutils import escape

HERE = os.path.dirname(os.path.abspath(__file__))
FILES = os.path.join(HERE, "files")
SEED = 20261125

cases = []


def vin(n):
    """An invented VIN of good form (ISO 3779), maker's code Z9K."""
    return f"Z9KHA11B5HK1{n:05d}"


def write(name, data):
    path = os.path.join(FILES, name)
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "wb") as f:
        f.write(data if isinstance(data, bytes) else data.encode("utf-8"))


def account(used=0, aside=0, rejected=0, merged=0, blank=0):
    """The row account of a sheet: read is their sum."""
    read = used + aside + rejected + merged + blank
    return f"{read} = {used} used + {aside} set aside + {rejected} rejected + {merged} merged + {blank} blank"


def case(name, files, points, by, sheets=None, vehicles=None, issues=(), error="", job=None, asks=(), columns=None, notes=(), holds=None, heading=None, password="", nothing=False):
    """One reading. sheets: name -> account; vehicles: unit -> what it must hold; issues: row, column, severity, value, says;
    error: part of why the file is not read; job: what the job says of it; asks: parts of the one question; columns: sheet -> heading -> field;
    notes: parts of the notes; holds, heading: by sheet; password: opens it; nothing: no vehicle is in it, by intent."""
    if isinstance(files, str):
        files = [files]
    cases.append({k: v for k, v in dict(
        name=name, files=files, points=points, by=by, sheets=sheets or {}, vehicles=vehicles or {}, issues=list(issues), error=error, job=job or {},
        asks=list(asks), columns=columns or {}, notes=list(notes), holds=holds or {}, heading=heading or {}, password=password, nothing=nothing).items()
        if v not in (None, {}, [], "", False)})


def issue(row, severity, says, column="", value="", sheet=""):
    return {k: v for k, v in dict(sheet=sheet, row=row, severity=severity, says=says, column=column, value=value).items() if v != ""}


# --- workbooks by hand (ISO/IEC 29500-1 SpreadsheetML) ---

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PKG = "http://schemas.openxmlformats.org/package/2006/relationships"
STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"
STRICT_REL = "http://purl.oclc.org/ooxml/officeDocument/relationships"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'


def letter(i):
    name = ""
    i += 1
    while i:
        i, r = divmod(i - 1, 26)
        name = chr(65 + r) + name
    return name


def cell(ref, v):
    """A cell as XML; a tuple is (type or "", XML of its content)."""
    if v is None:
        return ""
    at = f' r="{ref}"' if ref else ""
    if isinstance(v, tuple):
        kind, body = v
        return f"<c{at}{f' t={chr(34)}{kind}{chr(34)}' if kind else ''}>{body}</c>"
    if isinstance(v, (int, float)):
        return f"<c{at}><v>{v}</v></c>"
    return f'<c{at} t="inlineStr"><is><t xml:space="preserve">{escape(v)}</t></is></c>'


def rows(table, numbers=None, refs=True, attrs=None):
    """Rows as XML; numbers gives their row numbers, None leaves a row out."""
    out = []
    for i, r in enumerate(table):
        if r is None:
            continue
        n = numbers[i] if numbers else i + 1
        cells = "".join(cell(letter(c) + str(n) if refs else "", v) for c, v in enumerate(r))
        extra = (attrs or {}).get(i, "")
        out.append(f'<row r="{n}"{extra}>{cells}</row>' if refs else f"<row{extra}>{cells}</row>")
    return "".join(out)


def sheet_xml(body, before="", after="", main=MAIN):
    return f'{HEAD}<worksheet xmlns="{main}" xmlns:r="{REL if main == MAIN else STRICT_REL}">{before}<sheetData>{body}</sheetData>{after}</worksheet>'


def zipped(parts, stored=()):
    """parts: list of (name, text or bytes). The time stamps are fixed."""
    b = io.BytesIO()
    with zipfile.ZipFile(b, "w") as z:
        for name, data in parts:
            info = zipfile.ZipInfo(name, (2026, 11, 25, 0, 0, 0))
            info.compress_type = zipfile.ZIP_STORED if name in stored else zipfile.ZIP_DEFLATED
            z.writestr(info, data)
    return b.getvalue()


def book(sheets, strings=None, props="", more=(), macro=False, strict=False, stored=(), links="", styles=""):
    """A workbook of (name, sheet XML[, state]); strings is the XML of the shared strings' items."""
    main, rel = (STRICT_MAIN, STRICT_REL) if strict else (MAIN, REL)
    kind = "application/vnd.ms-excel.sheet.macroEnabled.main+xml" if macro else "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    types = [f'<Override PartName="/xl/workbook.xml" ContentType="{kind}"/>']
    rels, tabs, parts = [], [], []
    for i, s in enumerate(sheets, 1):
        state = f' state="{s[2]}"' if len(s) > 2 else ""
        tabs.append(f'<sheet name="{escape(s[0])}" sheetId="{i}"{state} r:id="rId{i}"/>')
        rels.append(f'<Relationship Id="rId{i}" Type="{rel}/worksheet" Target="worksheets/sheet{i}.xml"/>')
        types.append(f'<Override PartName="/xl/worksheets/sheet{i}.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>')
        parts.append((f"xl/worksheets/sheet{i}.xml", s[1]))
    if strings is not None:
        rels.append(f'<Relationship Id="rId90" Type="{rel}/sharedStrings" Target="sharedStrings.xml"/>')
        types.append('<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>')
        parts.append(("xl/sharedStrings.xml", f'{HEAD}<sst xmlns="{main}">{strings}</sst>'))
    rels.append(links)
    front = [
        ("[Content_Types].xml", f'{HEAD}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/>{"".join(types)}</Types>'),
        ("_rels/.rels", f'{HEAD}<Relationships xmlns="{PKG}"><Relationship Id="rId1" Type="{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>'),
        ("xl/workbook.xml", f'{HEAD}<workbook xmlns="{main}" xmlns:r="{rel}"{" conformance=" + chr(34) + "strict" + chr(34) if strict else ""}>{props}<sheets>{"".join(tabs)}</sheets></workbook>'),
        ("xl/_rels/workbook.xml.rels", f'{HEAD}<Relationships xmlns="{PKG}">{"".join(rels)}</Relationships>'),
    ]
    return zipped(front + parts + list(more), stored)


def plain_book(table, name="Units", **more):
    return book([(name, sheet_xml(rows(table)))], **more)


def lines(table, sep=";", end="\n"):
    return "".join(sep.join(str(c) for c in r) + end for r in table)


def expected(extra):
    with open(os.path.join(HERE, "expected.json"), "w", encoding="utf-8") as f:
        json.dump({"note": "written by make.py from what its author knows of each file; never copied from a reading", "run_day": "2026-11-25", "cases": cases, **extra}, f, ensure_ascii=False, indent=1)
        f.write("\n")


def source(points):
    """The table of SOURCE.md: which files cover which point."""
    with open(os.path.join(HERE, "SOURCE.head.md"), encoding="utf-8") as f:
        text = f.read()
    text += "\n| point | files |\n| --- | --- |\n"
    for p, what in points.items():
        files = sorted({f for c in cases if p in c["points"] for f in c["files"]})
        text += f"| {what} | {', '.join('`' + f + '`' for f in files) or 'made by `TestHostile` in `ingest`'} |\n"
    with open(os.path.join(HERE, "SOURCE.md"), "w", encoding="utf-8") as f:
        f.write(text)
