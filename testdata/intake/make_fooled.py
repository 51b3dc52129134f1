"""What fooled the reader after make_reports.py: columns that were taken in silence for what they are not, rows that were lost or joined to nothing, names that a spreadsheet
program changed, three more languages, text in columns of fixed width."""
from make_base import *
from make_reports import sheet, text

N = None
TITLE = "title"


def make():
    by_month()
    names()
    pieces()
    merged()
    carried_on()
    split()
    languages()
    fixed_width()
    fresh()


def months(name, heads, points, title, vehicles, one=("80000", "81200", "82600"), two=("40000", "40700", "41500"), above="", **rest):
    body = "".join(";".join(r) + "\n" for r in (["Unit", "Model", *heads], ["U1", "Heron", *one], ["U2", "Teal", *two]))
    text(name, above + body, points, account(2, blank=2 if above else 1), vehicles, title=title, **rest)


def by_month():
    none = {"U1": {"km": []}, "U2": {"km": []}}
    year = ("Jan 2026", "Feb 2026", "Mar 2026")
    months("litres-by-month.csv", year, ["pivot"], "a unit in the cells says that a history is of fuel", none, ("61000 l", "63100 l", "65300 l"), ("42000 l", "43400 l", "44900 l"), issues=[issue(1, "noted", "left alone")])
    months("amounts-by-month.csv", year, ["pivot"], "no odometer shows hundredths", none, ("61000.42", "63100.15", "65300.90"), ("42000.10", "43400.20", "44900.30"), asks=["Jan 2026", "ignore"])
    months("months-without-year.csv", ("Jan", "Feb", "Mar"), ["pivot"], "months without a year are asked for", none, asks=['"Jan" to "Mar"', 'Jan: "odometer_by_month 2026-01"'])
    months("weeks-without-year.csv", ("KW 35", "KW 36", "KW 37"), ["pivot"], "weeks without a year are asked for", none, asks=['"KW 35" to "KW 37"', '"KW 35": "odometer_by_month 2026-08-30"'])
    months("months-under-year.csv", ("Jan", "Feb", "Mar"), ["pivot"], "the title states the year of the months", {"U1": {"km": [80000, 81200, 82600], "days": ["2026-01-31", "2026-02-28", "2026-03-31"]}}, above="Odometer readings 2026\n")
    months("quarters.csv", ("Odo Q1 2026", "Odo Q2 2026", "Odo Q3 2026"), ["pivot"], "quarters end on their last day", {"U1": {"km": [80000, 81200, 82600], "days": ["2026-03-31", "2026-06-30", "2026-09-30"]}})
    months("weeks.csv", ("2026-W35", "2026-W36", "2026-W37"), ["pivot"], "weeks end on a Sunday", {"U2": {"km": [40000, 40700, 41500], "days": ["2026-08-30", "2026-09-06", "2026-09-13"]}}, ("80000 km", "81200 km", "82600 km"), ("40000 km", "40700 km", "41500 km"), asks=["2026-W35", "odometer_by_month"])


def names():
    text("models-as-days.csv", "Unit;Make;Model;Odometer\nU1;Northfold;Heron;80000\nU2;Northfold;3-May;90000\nU3;Northfold;2026-05-09;91000\nU4;Northfold;9-5;92000\nU5;Northfold;May-03;93000\n", ["spreadsheet-names"], account(5, blank=1),
         {"U1": {"model": "Heron"}, "U2": {"model": "", "km": [90000]}, "U3": {"model": ""}, "U4": {"model": "9-5"}, "U5": {"model": ""}}, issues=[issue(3, "noted", "a day stands here", "Model", "3-May"), issue(4, "noted", "a day stands here", "Model", "2026-05-09"), issue(6, "noted", "a day stands here", "Model", "May-03")],
         title="models that a spreadsheet program turned into days")
    sheet("models-as-serials.xlsx", [["Unit", "Make", "Model", "Odometer"], ["U1", "Northfold", 46151, 80000], ["U2", "Northfold", 5008, 90000], ["U3", "Northfold", "46151", 91000]], ["spreadsheet-names"], account(3, blank=1),
          {"U1": {"model": ""}, "U2": {"model": "5008"}, "U3": {"model": ""}}, issues=[issue(2, "noted", "a day stands here", "Model", "46151", "Units")], title="models that a workbook keeps as serials of days")
    sheet("unit-with-model.xlsx", [["Vehicle", "Make", "Model", "Odometer"], ["U1 - Northfold Heron", "Northfold", "Heron", 80000], ["U2 - Northfold Teal", "Northfold", "Teal", 90000]], ["joined-names"], {"Units": account(2, blank=1), "Repairs": account(2, blank=1)},
          {"U1 - Northfold Heron": {"make": "Northfold", "model": "Heron", "repairs": ["oil service"]}, "U2 - Northfold Teal": {"repairs": ["tyres"]}}, more=[("Repairs", [["Unit", "Date", "Work"], ["U1", "2026-03-02", "oil service"], ["U2", "2026-03-03", "tyres"]])],
          notes=["2 rows were joined by a part of"], title="unit, make and model in one cell, and make and model in their own beside it")
    sheet("unit-make-model.xlsx", [["Vehicle", "Odometer"], ["U1 - Northfold Heron", 80000], ["U2 - Northfold Teal", 90000], ["U3 - Northfold Teal", 91000]], ["joined-names"], {"Units": account(3, blank=1), "Repairs": account(2, blank=1)},
          {"U1 - Northfold Heron": {"km": [80000], "repairs": ["oil service"]}, "U2 - Northfold Teal": {"repairs": ["tyres"]}, "U3 - Northfold Teal": {}}, more=[("Repairs", [["Unit", "Date", "Work"], ["U1", "2026-03-02", "oil service"], ["U2", "2026-03-03", "tyres"]])],
          notes=["2 rows were joined by a part of"], issues=[issue(1, "noted", "more than the unit", "Vehicle", sheet="Units")], title="unit, make and model in one cell and nowhere else")


def pieces():
    v = [vin(n) for n in (1, 2)]
    for name, heads, cuts, title in (("vin-wmi-vds-vis.csv", "WMI;VDS;VIS", (3, 9), "a VIN in three columns by its sections"), ("vin-two-cells.csv", "VIN;", (9,), "a VIN cut in two, the second column without a heading"),
                                     ("vin-1-9.csv", "VIN 1-9;VIN 10-17", (9,), "a VIN in two columns that say which characters they hold"), ("vin-prefix-suffix.csv", "VIN prefix;VIN suffix", (11,), "the beginning and the end of a VIN side by side")):
        cut = lambda t: ";".join(t[a:b] for a, b in zip((0, *cuts), (*cuts, 17)))
        text(name, f"Unit;{heads};Model;Odometer\nU1;{cut(v[0])};Heron;80000\nU2;{cut(v[1])};Teal;90000\n", ["vin-pieces"], account(2, blank=1), {"U1": {"vin": v[0], "model": "Heron"}, "U2": {"vin": v[1], "km": [90000]}}, notes=["hold pieces of a VIN"], title=title)
    text("vin-blanks.csv", "Unit;VIN;Model;Odometer\nU1;%s;Heron;80000\nU2;%s;Teal;90000\n" % (" ".join(v[0]), f"{v[1][:3]} {v[1][3:9]} {v[1][9:]}"), ["vin-pieces"], account(2, blank=1), {"U1": {"vin": v[0]}, "U2": {"vin": v[1]}}, title="a VIN written with blanks")


def merged():
    units = [["Depot", "Unit", "Make", "Model", "Odometer"], ["North", "U1", "Northfold", "Heron", 80000], [N, "U2", N, N, 90000], [N, "U3", N, "Teal", 91000], ["South", "U4", N, N, 92000], [N, "U5", N, N, 93000]]
    repairs = [["Unit", "Date", "Work", "Cost"], ["U1", "2026-03-02", "oil service", 200], [N, "2026-04-25", "timing chain replaced", N], ["U2", "2026-05-02", "brake pads", N], [N, "2026-05-03", "tyres", 50]]
    ranges = lambda *refs: f'<mergeCells count="{len(refs)}">' + "".join(f'<mergeCell ref="{r}"/>' for r in refs) + "</mergeCells>"
    write("merged-down.xlsx", book([("Units", sheet_xml(rows(units), after=ranges("A2:A4", "A5:A6", "C2:C6", "D2:D3", "D4:D5"))), ("Repairs", sheet_xml(rows(repairs), after=ranges("A2:A3", "D2:D3")))]))
    case("merged cells speak for all their rows, blank ones that are not merged for none", "merged-down.xlsx", ["merged"], "by hand", {"Units": account(5, blank=1), "Repairs": account(3, rejected=1, blank=1)},
         {"U1": {"depot": "North", "model": "Heron", "repairs": ["oil service", "timing chain replaced"]}, "U2": {"depot": "North", "make": "Northfold", "model": "Heron", "repairs": ["brake pads"]}, "U3": {"model": "Teal"}, "U4": {"depot": "South", "make": "Northfold", "model": "Teal"},
          "U5": {"depot": "South", "make": "Northfold", "model": ""}}, issues=[issue(5, "rejected", "names no vehicle", sheet="Repairs")], notes=["5 merged cells reach over several rows; their values were read on each of them", "its value counts for the first of them"])


def carried_on():
    text("remarks-carried-on.csv", "Unit;Model;Odometer;Remarks\nU1;Heron;80000;knocks when hot,\n;;;driver says since March\nU2;Teal;90000;quiet\n;;;\n;;;seen by M. Berg\n", ["carried-on"], account(2, rejected=1, merged=1, blank=2), {"U1": {"remarks": ["knocks when hot, driver says since March"]}, "U2": {"remarks": ["quiet"]}},
         issues=[issue(3, "noted", "carries on the text of row 2"), issue(6, "rejected", "names no vehicle")], title="a row that carries on the remarks of the row above")
    sheet("work-carried-on.xlsx", [["Unit", "Date", "Work", "Odometer"], ["U1", "2026-03-02", "timing chain not", 79000], [N, N, "replaced", N], [N, N, "Brake fluid changed.", N], ["U2", "2026-03-03", "tyres", 88000], [N, "2026-03-04", "oil service", N]], ["carried-on"],
          {"Units": account(2, rejected=1, merged=2, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"repairs": ["timing chain not replaced\nBrake fluid changed."]}, "U2": {"repairs": ["tyres"]}}, more=[("Fleet", [["Unit", "Model"], ["U1", "Heron"], ["U2", "Teal"]])],
          issues=[issue(3, "noted", "carries on the text of row 2", sheet="Units"), issue(6, "rejected", "names no vehicle", sheet="Units")], title="rows that carry on the work of the row above")


def split():
    text("comma-split.csv", "Unit,Model,Odometer,Depot\nU1,Heron,185,300\nU2,Teal,92,400\nU3,Teal,91500,North\nU4,Teal,91,North\n", ["delimiter", "numbers-as-text"], account(2, rejected=2, blank=1), {"U3": {"km": [91500], "depot": "North"}, "U4": {"km": [91]}},
         issues=[issue(2, "rejected", "thousands comma", "Odometer", "185,300"), issue(3, "rejected", "thousands comma", "Odometer", "92,400")], title="a figure split at its thousands comma on a row that is no longer than the headings")
    text("comma-short-rows.csv", "Unit,Model,Odometer,Odometer date,Depot,Remarks\nU1,Heron,185,300,2026-09-30,North\nU2,Teal,91500,2026-09-28,South,quiet\n", ["delimiter", "numbers-as-text"], account(1, rejected=1, blank=1), {"U2": {"km": [91500]}},
         issues=[issue(2, "rejected", "thousands comma", "Odometer", "185,300")], title="the same where the row ends early")
    text("comma-depot-codes.csv", "Unit,Model,Odometer,Depot\nU1,Heron,185,300\nU2,Teal,92400,400\nU3,Teal,91500,300\n", ["delimiter", "numbers-as-text"], account(3, blank=1), {"U1": {"km": [185], "depot": "300"}, "U2": {"km": [92400]}}, title="a new vehicle beside a depot of three digits")


def languages():
    text("italian.csv", "N. mezzo;Targa;N. telaio;Marca;Modello;Km percorsi;Data lettura;Sede;Anno\nU1;NF001;%s;Northfold;Heron;80.001;30/09/2026;Nord;2017\nU2;NF002;%s;Northfold;Teal;92.400;1 ott 2026;Sud;2018\n" % (vin(1), vin(2)), ["language"], account(2, blank=1),
         {"U1": {"vin": vin(1), "make": "Northfold", "model": "Heron", "km": [80001], "days": ["2026-09-30"], "depot": "Nord", "year": 2017}, "U2": {"days": ["2026-10-01"]}}, title="Italian headings")
    text("portuguese.csv", "Nº da viatura;Matrícula;Nº de chassi;Marca;Modelo;Quilometragem;Data da leitura;Base;Ano\nU1;NF001;%s;Northfold;Heron;80.001;30/09/2026;Norte;2017\nU2;NF002;%s;Northfold;Teal;92.400;1 out 2026;Sul;2018\n" % (vin(1), vin(2)), ["language"], account(2, blank=1),
         {"U1": {"vin": vin(1), "model": "Heron", "km": [80001], "days": ["2026-09-30"], "depot": "Norte"}, "U2": {"days": ["2026-10-01"]}}, title="Portuguese headings")
    text("russian.csv", "Гаражный номер;Госномер;VIN;Марка;Модель;Пробег, км;Дата показаний;Филиал;Год выпуска;Моточасы\nU1;NF001;%s;Northfold;Heron;80 001;30.09.2026;Север;2017;1200,5\nU2;NF002;%s;Northfold;Teal;92 400 км;1 октября 2026 г.;Юг;2018;н/д\nИтого;;;;;172 401;;;;\n" % (vin(1), vin(2)), ["language"],
         account(2, aside=1, blank=1), {"U1": {"vin": vin(1), "make": "Northfold", "model": "Heron", "km": [80001], "days": ["2026-09-30"], "depot": "Север", "year": 2017, "hours": [1200.5]}, "U2": {"km": [92400], "days": ["2026-10-01"], "hours": []}}, title="Russian headings")
    text("russian-1251.csv", ("Гос. номер;Марка;Модель;Показания одометра;Дата\nNF 001;Northfold;Heron;80001;30.09.2026\n").encode("cp1251"), ["language", "encoding"], account(1, blank=1), {"NF 001": {"km": [80001], "days": ["2026-09-30"]}}, job={"encoding": "windows-1251"}, title="Russian headings in windows-1251, which the job names")


def fixed_width():
    text("fixed-width.txt", "Unit    Model     Odometer  Date      \nU1      Heron        80000  2026-03-02\nU2                   90000  2026-03-03\nU3      Heron GT     91000  2026-03-04\n", ["fixed-width"], account(3, blank=1), {"U1": {"model": "Heron", "km": [80000], "days": ["2026-03-02"]}, "U2": {"model": "", "km": [90000]}, "U3": {"model": "Heron GT"}},
         notes=["columns of fixed width"], title="text in columns of fixed width")
    text("fixed-width-ruled.txt", "NORTHFOLD COUNTY FLEET LIST\n\nUnit Model      Odometer Date\n---- ---------- -------- ----------\nU1   Heron         80000 2026-03-02\nU2   Teal          90000 2026-03-03\nU3   Heron GT      91000 2026-03-04\nU4   Heron GT Longer Than Its Place 92000 2026-03-05\n", ["fixed-width"], account(3, rejected=1, blank=4),
         {"U1": {"km": [80000], "days": ["2026-03-02"]}, "U3": {"model": "Heron GT"}}, issues=[issue(8, "rejected", "over the edge")], title="columns of fixed width under a rule of dashes")


def fresh():
    """Files written with what they ought to be read as before they were read; these were read otherwise."""
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])
    sheet("job-lines.xlsx", [["Job no.", "Date in", "Fleet no.", "Mileage in", "Line", "Description", "Hrs", "Parts £", "Labour £"], ["J1001", "2026-03-02", "U1", 79000, 1, "Oil and filter service", 1.5, 45.2, 90], ["J1001", N, N, N, 2, "Replaced timing chain", 6, 310, 360],
          ["J1002", "2026-03-13", "U2", 88000, 1, "Replaced brake pads", 1, 0, 60], ["Total", N, N, N, N, N, 8.5, 355.2, 510]], ["unknown-heading"], {"Units": account(2, aside=1, rejected=1, blank=1), "Fleet": account(2, blank=1)},
          {"U1": {"repairs": ["Oil and filter service"]}, "U2": {"repairs": ["Replaced brake pads"]}}, more=[fleet], asks=["Mileage in", "odometer_unit: km"], issues=[issue(3, "rejected", "names no vehicle", sheet="Units")], title="what the labour cost is no text, and a line of a job without its vehicle is not joined to the one above")
    sheet("days-under-odometer.xlsx", [["Unit", "Model", "Odometer", N, "Fuel (l)", N], [N, N, "01.09.", "30.09.", "01.09.", "30.09."], ["U1", "Heron", 78000, 80000, 410, 400], ["U2", "Teal", 88500, 90000, 380, 395]], ["pivot", "two-rows"], account(2, blank=2), {"U1": {"km": []}, "U2": {"km": []}},
          asks=['"column C": "odometer_by_month 2026-09-01"', '"column D": "odometer_by_month 2026-09-30"'], title="days without a year under the odometer, and under fuel beside it")
    sheet("months-under-odometer.xlsx", [["Fleet 2026"], ["Unit", "Model", "Odometer", N, "Fuel (l)", N], [N, N, "Aug", "Sep", "Aug", "Sep"], ["U1", "Heron", 78000, 80000, 410, 400], ["U2", "Teal", 88500, 90000, 380, 395]], ["pivot", "two-rows"], account(2, blank=3),
          {"U1": {"km": [78000, 80000], "days": ["2026-08-31", "2026-09-30"]}, "U2": {"km": [88500, 90000]}}, title="months under the odometer, their year in the title, and months of fuel beside them")
    text("second-language.csv", "Unit;Model;Odometer;Date\nEinheit;Modell;Kilometerstand;Datum\nU1;Heron;80000;30.09.2026\nU2;Teal;90000;29.09.2026\n", ["language", "two-rows"], account(2, blank=2), {"U1": {"km": [80000], "days": ["2026-09-30"]}, "U2": {}}, title="the headings once more in another language")
    text("replaced-odometer.csv", "Unit;Model;Odometer;Odometer offset;Total km\nU1;Heron;12000;68000;80000\nU2;Teal;90000;0;90000\n", ["distances"], account(2, blank=1), {"U1": {"km": [12000]}}, asks=["Total km", "shows more on 1 of 2 rows"], title="a replaced odometer, with the total beside it")
    sheet("done-and-ditto.xlsx", [["Vehicle", "Date", "Work", "Done?"], ["Unit 101", "2026-03-02", "replace timing chain", "N"], ["#102", "2026-03-13", "tyres", "Y"]], ["unknown-heading", "joined-names"], {"Units": account(2, blank=1), "Fleet": account(4, blank=1)},
          {"101": {"model": "Heron", "make": "Northfold", "repairs": ["replace timing chain"]}, "102": {"make": "Northfold", "model": "Heron", "repairs": ["tyres"]}, "103": {"make": "Northfold", "model": "Teal"}, "104": {"model": ""}},
          more=[("Fleet", [["Unit", "Make", "Model"], [101, "Northfold", "Heron"], [102, '"', '"'], [103, "do.", "Teal"], [104, "Northfold", N]])], notes=["3 cells hold ditto marks", "2 rows were joined by a part of"], title="work that was not done, marks for what stands above, a word before the unit")
    sheet("km-under-days.xlsx", [["Unit", "Model", "31.08.2026", N, "30.09.2026", N], [N, N, "km", "l", "km", "l"], ["U1", "Heron", 78000, 410, 80000, 400], ["U2", "Teal", 88500, 380, 90000, 395]], ["pivot", "two-rows"], account(2, blank=2),
          {"U1": {"km": [78000, 80000], "days": ["2026-08-31", "2026-09-30"]}, "U2": {"km": [88500, 90000]}}, title="kilometres and litres under each day")
    text("days-unheaded.csv", "Unit;Model;Odometer;Taken at;Km/l\nU1;Heron;80000;2026-09-30;8.2\nU2;Teal;90000;2026-09-29;9.1\n", ["unknown-heading"], account(2, blank=1), {"U1": {"km": [80000]}}, asks=["Taken at", "odometer_date"], title="days under a heading that is not known, and an odometer without a day")
    text("filters-below.csv", "Unit;Model;Odometer\nU1;Heron;80000\nU2;Teal;90000\nAverage;;85000\nApplied filters: Status is Active\nCount;2;\n", ["totals"], account(2, aside=3, blank=1), {"U1": {}, "U2": {}}, title="what a report was filtered by is no vehicle")
    two = lambda a, b: [["Unit", "Model", a, N, b, N], [N, N, "Aug 2026", "Sep 2026", "Aug 2026", "Sep 2026"], ["U1", "Heron", 79000, 81000, 78000, 80000], ["U2", "Teal", 89000, 91000, 88500, 90000]]
    sheet("two-histories.xlsx", two("Plan km", "Actual km"), ["pivot", "two-rows"], account(2, blank=2), {"U1": {"km": [78000, 80000]}, "U2": {"km": [88500, 90000]}}, issues=[issue(1, "noted", "plan", sheet="Units")], title="kilometres that were planned beside those that were driven")
    sheet("rival-months.xlsx", two("System A", "System B"), ["pivot", "two-rows"], account(2, blank=2), {"U1": {"km": []}, "U2": {"km": []}}, asks=["several headings with the same days", '"column C": ignore'], title="the same months twice, under headings that say nothing")
    text("can-odometer.csv", "Asset;Model;Timestamp;GPS distance (km);CAN odometer (km);Engine hours (h);Fuel level (%)\nU1;Heron;2026-09-30T05:00:00Z;412.5;80000.4;1200.25;44\nU2;Teal;2026-09-30T05:10:00Z;98.1;90000.9;980.5;61\n", ["distances"], account(2, blank=1),
         {"U1": {"km": [80000.4], "hours": [1200.25], "days": ["2026-09-30"]}, "U2": {"km": [90000.9]}}, title="the odometer that a telematics unit reads off the bus, and the distance that it measures itself")
