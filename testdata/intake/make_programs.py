"""Workbooks and texts saved by other programs: openpyxl, LibreOffice, R, and the encryption of excelize."""
import datetime, shutil, subprocess, sys, tempfile
import openpyxl
from openpyxl.chart import BarChart, Reference
from make_base import *

DAY = datetime.datetime(2026, 9, 30)


def keeps(name):
    """With --keep, what another program made stays as it is."""
    return "--keep" in sys.argv and os.path.exists(os.path.join(FILES, name))


def opx(name, build, **more):
    wb = openpyxl.Workbook()
    wb.properties.created = wb.properties.modified = datetime.datetime(2026, 11, 25)
    ws = wb.active
    ws.title = "Units"
    build(wb, ws)
    path = os.path.join(FILES, name)
    if not keeps(name):
        wb.save(path)
    case(more.pop("title", name), name, more.pop("points"), "openpyxl 3.0.9", **more)


def fill(ws, table):
    for r in table:
        ws.append(r)


UNITS = [["Unit", "VIN", "Model", "Odometer", "Odometer date"], ["U1", vin(1), "Heron", 80001, DAY], ["U2", vin(2), "Teal", 80002, DAY]]
WANT = {"U1": {"vin": vin(1), "km": [80001], "days": ["2026-09-30"]}, "U2": {"vin": vin(2), "model": "Teal"}}
READ = {"Units": account(used=2, blank=1)}


def make():
    from_openpyxl()
    from_libreoffice()
    from_r()
    protected()


def from_openpyxl():
    opx("openpyxl.xlsx", lambda wb, ws: fill(ws, UNITS), points=["raw-values"], sheets=READ, vehicles=WANT)

    def hidden(wb, ws):
        fill(ws, UNITS)
        old = wb.create_sheet("Old")
        fill(old, [["Unit", "Model"], ["U8", "Heron"]])
        old.sheet_state = "hidden"
        secret = wb.create_sheet("Prices")
        fill(secret, [["Unit", "Price"], ["U9", 9000], ["U1", 100]])
        secret.sheet_state = "veryHidden"
        cs = wb.create_chartsheet("Chart")
        c = BarChart()
        c.add_data(Reference(ws, min_col=4, min_row=1, max_row=3), titles_from_data=True)
        cs.add_chart(c)
    opx("hidden-sheets.xlsx", hidden, points=["hidden-sheets"], sheets={**READ, "Old": account(aside=2), "Prices": account(aside=3)}, vehicles=WANT,
        issues=[issue(1, "set aside", "hidden sheet", sheet="Old"), issue(1, "set aside", "hidden sheet", sheet="Prices")], notes=['sheet "Chart" is left out'], title="hidden sheets are told of and read only where the job names them")

    def formats(wb, ws):
        fill(ws, UNITS + [["U3", vin(3), "Teal", 123456.7, DAY]])
        ws["D2"].number_format = '#,##0" km"'
        ws["D4"].number_format = "#,##0"
        for r in (2, 3, 4):
            ws.cell(r, 5).number_format = "mm-dd-yy"
    opx("number-formats.xlsx", formats, points=["raw-values"], sheets={"Units": account(used=3, blank=1)}, vehicles={**WANT, "U3": {"km": [123456.7], "days": ["2026-09-30"]}}, title="the stored value counts, not its format")

    def from1904(wb, ws):
        wb.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
        fill(ws, UNITS)
    opx("date-1904.xlsx", from1904, points=["date-1904"], sheets=READ, vehicles=WANT)

    def formulas(wb, ws):
        fill(ws, [["Unit", "Model", "Base", "Odometer"], ["U1", "Heron", 80000, "=C2+1"], ["U2", "Teal", 80000, "=C3+2"]])
    opx("no-saved-values.xlsx", formulas, points=["no-saved-value"], sheets=READ, vehicles={"U1": {"km": []}}, notes=["2 formula cells hold no saved value"])

    def merged(wb, ws):
        fill(ws, [["Fleet of the harbour"], ["Unit", "Model", "Depot", "Odometer"], ["U1", "Heron", "North", 80001], ["U2", "Teal", None, 80002], ["U3", "Teal", "South", 80003]])
        ws.merge_cells("A1:D1")
        ws.merge_cells("C3:C4")
    opx("merged.xlsx", merged, points=["merged"], sheets={"Units": account(used=3, blank=2)}, vehicles={"U1": {"depot": "North"}, "U2": {"depot": "North"}, "U3": {"depot": "South"}}, heading={"Units": 2}, notes=["1 merged cell reaches over several rows; its value was read on each of them"], title="a merged cell speaks for all its rows")

    def filtered(wb, ws):
        fill(ws, UNITS + [["U3", vin(3), "Heron", 80003, DAY]])
        ws.auto_filter.ref = "A1:E4"
        ws.auto_filter.add_filter_column(2, ["Heron"])
        ws.row_dimensions[3].hidden = True
    opx("hidden-rows.xlsx", filtered, points=["hidden-rows"], sheets={"Units": account(used=3, blank=1)}, vehicles=WANT, notes=["1 row is hidden or filtered out; it was read like the others"], title="rows that a filter hides are read")

    def two(wb, ws):
        fill(ws, [["Unit", "Vehicle", None, "Odometer", None], [None, "Make", "Model", "km", "date"], ["U1", "Northfold", "Heron", 80001, DAY], ["U2", "Northfold", "Teal", 80002, DAY]])
        ws.merge_cells("B1:C1")
        ws.merge_cells("D1:E1")
    opx("two-row-heading.xlsx", two, points=["two-rows"], sheets={"Units": account(used=2, blank=2)}, vehicles={"U1": {"make": "Northfold", "model": "Heron", "km": [80001], "days": ["2026-09-30"]}}, heading={"Units": 1})

    def booleans(wb, ws):
        fill(ws, [["Unit", "Model", "Runs", "Odometer"], ["U1", "Heron", True, 80001], ["U2", "Teal", False, 80002]])
    opx("booleans.xlsx", booleans, points=["error-cells"], sheets=READ, vehicles={"U1": {"km": [80001]}, "U2": {"km": [80002]}})


def soffice(source, target, to):
    """Saves a file of this folder under another name in another format; with --keep what is there stays."""
    if keeps(target):
        return
    with tempfile.TemporaryDirectory() as tmp:
        subprocess.run(["soffice", "--headless", f"-env:UserInstallation=file://{tmp}/profile", "--convert-to", to, "--outdir", tmp, os.path.join(FILES, source)], check=True, capture_output=True)
        made = [f for f in os.listdir(tmp) if f != "profile"]
        assert len(made) == 1, made
        shutil.copyfile(os.path.join(tmp, made[0]), os.path.join(FILES, target))


def from_libreoffice():
    by = "LibreOffice 7.4.7"
    for target, to, sheets in (("libreoffice.xlsx", "xlsx:Calc MS Excel 2007 XML", READ), ("libreoffice.csv", "csv:Text - txt - csv (StarCalc):59,34,76,1", {"": READ["Units"]}), ("libreoffice-tab.tsv", "tsv:Text - txt - csv (StarCalc):9,34,12,1", {"": READ["Units"]})):
        soffice("openpyxl.xlsx", target, to)
        case(target, target, ["raw-values"], by, sheets, {"U1": {"vin": vin(1), "km": [80001]}, "U2": {"vin": vin(2)}})
    for target, to, says in (("old-format.xlsx", "xls:MS Excel 97", "old binary workbook (.xls)"), ("opendocument.xlsx", "ods", "OpenDocument"), ("xml-export.xlsx", "fods", "an XML export"), ("page.xlsx", "html:HTML (StarCalc)", "a web page (HTML)")):
        soffice("openpyxl.xlsx", target, to)
        case(target, target, ["other-format"], by, error=says, nothing=True)
    soffice("no-saved-values.xlsx", "saved-values.xlsx", "xlsx:Calc MS Excel 2007 XML")
    case("formulas that LibreOffice has saved", "saved-values.xlsx", ["no-saved-value"], by, READ, {"U1": {"km": [80001]}, "U2": {"km": [80002]}})
    soffice("merged.xlsx", "merged-libreoffice.xlsx", "xlsx:Calc MS Excel 2007 XML")
    case("merged cells as LibreOffice saves them", "merged-libreoffice.xlsx", ["merged"], by, {"Units": account(used=3, blank=2)}, {"U2": {"depot": "North"}}, notes=["1 merged cell reaches over several rows; its value was read on each of them"])
    soffice("date-1904.xlsx", "date-1904-libreoffice.xlsx", "xlsx:Calc MS Excel 2007 XML")
    case("the 1904 date system as LibreOffice saves it", "date-1904-libreoffice.xlsx", ["date-1904"], by, READ, WANT)
    soffice("hidden-rows.xlsx", "hidden-rows-libreoffice.xlsx", "xlsx:Calc MS Excel 2007 XML")
    case("rows that a filter hides, as LibreOffice saves them", "hidden-rows-libreoffice.xlsx", ["hidden-rows"], by, {"Units": account(used=3, blank=1)}, {"U3": {"km": [80003]}}, notes=["1 row is hidden or filtered out"])


R = r"""
options(encoding = "UTF-8")
d <- data.frame(Unit = c("U1", "U2"), VIN = c("%s", "%s"), Model = c("Heron", "Teal"), Odometer = c(80001, 80002), Depot = c("\u00dcbersee", "Nord"), check.names = FALSE)
w <- function(name, enc, ...) { f <- file(file.path(out, name), "w", encoding = enc); write.table(d, f, row.names = FALSE, ...); close(f) }
w("r-latin1.csv", "latin1", sep = ",")
w("r-utf8.csv", "UTF-8", sep = ",")
w("r-utf16le.csv", "UTF-16LE", sep = "\t")
w("r-semicolon.csv", "latin1", sep = ";", dec = ",", quote = FALSE)
f <- file(file.path(out, "r-rownames.csv"), "w", encoding = "UTF-8"); write.table(d, f, sep = ";"); close(f)
openxlsx::write.xlsx(list(Units = d), file.path(out, "r.xlsx"), overwrite = TRUE)
d$Day <- as.Date("2026-09-30")
names(d)[6] <- "Odometer date"
openxlsx::write.xlsx(list(Units = d), file.path(out, "r-dates.xlsx"), asTable = TRUE, overwrite = TRUE)
"""


def from_r():
    if not keeps("r.xlsx"):
        subprocess.run(["Rscript", "-e", f'out <- "{FILES}"' + R % (vin(1), vin(2))], check=True, capture_output=True)
    want = {"U1": {"vin": vin(1), "km": [80001], "depot": "Übersee"}, "U2": {"depot": "Nord"}}
    for name in ("r-latin1.csv", "r-utf8.csv", "r-utf16le.csv", "r-semicolon.csv", "r-rownames.csv"):
        case(name, name, ["encoding" if "latin1" in name else "bom" if "16" in name else "delimiter"], "R 4.2 write.table", {"": READ["Units"]}, want, notes=["headings were moved"] if "rownames" in name else ())
    case("r.xlsx", "r.xlsx", ["raw-values"], "R openxlsx 4.2.5", READ, want)
    case("r-dates.xlsx", "r-dates.xlsx", ["raw-values", "no-style"], "R openxlsx 4.2.5", READ, {"U1": {"depot": "Übersee", "days": ["2026-09-30"]}})


def protected():
    if "--keep" not in sys.argv:
        subprocess.run(["go", "run", os.path.join(HERE, "protect.go"), os.path.join(FILES, "openpyxl.xlsx"), os.path.join(FILES, "protected.xlsx"), "harbour"], check=True, cwd=os.path.join(HERE, "..", ".."))
    case("protected, with its password", "protected.xlsx", ["protected"], "excelize", READ, WANT, password="harbour")
    case("protected, without one", "protected.xlsx", ["protected"], "excelize", error="protected by a password", nothing=True)
    case("protected, with another", "protected.xlsx", ["protected"], "excelize", error="password does not open", nothing=True, password="quay")
