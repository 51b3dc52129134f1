"""Text files: encodings, delimiters, quotes, and what stands in their cells."""
import random
from make_base import *

UNITS = "Unit;VIN;Model;Odometer\n"


def one(name, text, points, used, vehicles, aside=0, rejected=0, merged=0, blank=1, title=None, by="python", **more):
    write(name, text)
    case(title or name, name, points, by, {"": account(used, aside, rejected, merged, blank)}, vehicles, **more)


def make():
    random.seed(SEED)
    numbers()
    dates()
    layouts()
    names()
    files()
    headers()


def numbers():
    one("numbers-as-text.csv", "Unit;Model;Odometer\n" + "".join(f"U{i};Heron;{v}\n" for i, v in enumerate(
        ["123 456", "123.456", "123,456", "123 456 km", "123\u00a0456", "123\u202f456", "123'456", "123456.0", "1.234.567", "\u2212500"], 1)), ["numbers-as-text"], 10,
        {**{f"U{i}": {"km": [123456]} for i in range(1, 9)}, "U9": {"km": [1234567]}, "U10": {"km": []}},
        issues=[issue(11, "set aside", "cannot be meant", "Odometer", "\u2212500")], title="numbers as text, every separator")
    one("decimal-comma.csv", "Unit;Model;Engine hours\nU1;Heron;1.234,5\nU2;Heron;987,25\nU3;Teal;1.234\n", ["numbers-as-text", "delimiter"], 3,
        {"U1": {"hours": [1234.5]}, "U2": {"hours": [987.25]}, "U3": {"hours": [1234]}}, title="the other values of a column say what its comma is")
    one("thousands-or-decimals.csv", "Unit;Model;Engine hours\nU1;Heron;1.234\nU2;Heron;2.345\n", ["numbers-as-text"], 2, {"U1": {"hours": []}, "U2": {"hours": []}},
        issues=[issue(2, "noted", "could mean 1234 or 1.234", "Engine hours", "1.234"), issue(3, "noted", "could mean 2345 or 2.345", "Engine hours", "2.345")], title="one separator with three digits after it, and nothing that decides")
    one("units-change.csv", "Unit;Model;Odometer\nU1;Heron;80000 km\nU2;Heron;50000 mi\nU3;Teal;90000km\nU4;Teal;60,000 miles\nU5;Teal;70000\n", ["units-change"], 5,
        {"U1": {"km": [80000]}, "U2": {"km": [80467]}, "U3": {"km": [90000]}, "U4": {"km": [96561]}, "U5": {"km": []}},
        issues=[issue(6, "set aside", "states no unit", "Odometer", "70000")], title="units that change down a column")
    one("unit-column.csv", "Unit;Model;Odometer;odometer_unit\nU1;Heron;80000;km\nU2;Heron;50000;mi\nU3;Teal;50000;Miles\n", ["units-change"], 3,
        {"U1": {"km": [80000]}, "U2": {"km": [80467]}, "U3": {"km": [80467]}})
    one("text-in-numbers.csv", "Unit;Model;Odometer;Model year\nU1;Heron;approx. 80000;2017\nU2;Heron;80.000 (est.);MY18\nU3;Teal;see log;2019\nU4;Teal;TMU;n/a\nU5;Teal;85000;2020\n", ["text-in-numbers"], 5,
        {"U1": {"km": [], "year": 2017}, "U2": {"km": [], "year": 2018}, "U3": {"km": []}, "U5": {"km": [85000], "year": 2020}},
        issues=[issue(2, "noted", "", "Odometer", "approx. 80000"), issue(3, "noted", "", "Odometer", "80.000 (est.)"), issue(4, "noted", "", "Odometer", "see log")],
        title="text among numbers")
    one("numbers-in-text.csv", "Unit;Date;Work;Odometer\n101;2026-03-02;4711;80000\n101;2026-03-09;17\" wheel;80100\n101;2026-03-16;2;80200\n", ["numbers-in-text"], 3, {"101": {"repairs": ["4711", '17" wheel', "2"]}},
        title="figures where text is wanted", holds={"": ["repairs"]}, **{"nothing": True})
    cases[-1].pop("nothing")
    write("numbers-in-text-units.csv", "Unit;Model\n101;Heron\n")
    cases[-1]["files"].append("numbers-in-text-units.csv")
    cases[-1]["sheets"] = {"numbers-in-text.csv": account(3, blank=1), "numbers-in-text-units.csv": account(1, blank=1)}
    cases[-1]["holds"] = {"numbers-in-text.csv": ["repairs"]}


def dates():
    def readings(name, days, points, want, rejected=0, issues=(), asks=(), title=None, job=None):
        """One vehicle and its readings, dated in the ways given."""
        table = "Unit;Model\nU1;Heron\n"
        write(name + "-units.csv", table)
        write(name + ".csv", "Unit;Date;Odometer\n" + "".join(f"U1;{d};{80000 + 100 * i}\n" for i, d in enumerate(days)))
        case(title or name, [name + ".csv", name + "-units.csv"], points, "python", {name + ".csv": account(len(days) - rejected, rejected=rejected, blank=1), name + "-units.csv": account(1, blank=1)},
             {"U1": {"days": want}}, issues=issues, asks=asks, job=job)

    readings("dates-settled", ["03/04/2026", "25/04/2026", "05/06/2026"], ["date-text"], ["2026-04-03", "2026-04-25", "2026-06-05"], title="one day over 12 settles the column")
    f = "dates-unsettled.csv"
    readings("dates-unsettled", ["03/04/2026", "05/06/2026", "07/07/2026"], ["date-text"], ["2026-07-07"], 2,
             [issue(2, "rejected", "3 April 2026", "Date", "03/04/2026", f), issue(3, "rejected", "5 June 2026", "Date", "05/06/2026", f)], ["day or month first", "date_order: day"], title="nothing settles the column")
    f = "dates-conflict.csv"
    readings("dates-conflict", ["25/04/2026", "04/26/2026", "03/04/2026"], ["date-text"], ["2026-04-25", "2026-04-26"], 1,
             [issue(4, "rejected", "3 April 2026", "Date", "03/04/2026", f)], ["some dates have the day first, some the month", "date_order: day"], title="a column that contradicts itself")
    readings("dates-told", ["03/04/2026", "05/06/2026"], ["date-text"], ["2026-03-04", "2026-05-06"], title="the job settles the column", job={"date_order": "month"})
    readings("three-date-styles", ["2026-03-02", "25/03/2026", "46113", "3 May 2026", "4.6.2026"], ["three-date-styles"], ["2026-03-02", "2026-03-25", "2026-04-01", "2026-05-03", "2026-06-04"], title="dates in several styles in one column")


def layouts():
    one("repeated-headings.csv", "Unit;Model;Odometer\nU1;Heron;80001\nU2;Teal;80002\n;;\nUnit;Model;Odometer\nU3;Heron;80003\nunit;MODEL;odometer\nU4;Teal;80004\n", ["repeated-heading"], 4, {"U4": {"km": [80004]}}, blank=4)
    write("duplicated-headings.csv", "Unit;Work;Date;Date\nU1;oil service;2026-01-02;2026-02-03\n")
    write("duplicated-headings-units.csv", "Unit;Model\nU1;Heron\n")
    case("two columns of one heading", ["duplicated-headings.csv", "duplicated-headings-units.csv"], ["duplicated-heading"], "python", {"duplicated-headings.csv": account(1, blank=1), "duplicated-headings-units.csv": account(1, blank=1)},
         {"U1": {"repairs": ["oil service"]}}, asks=["may each be date", '"column C": date'])
    one("foot-notes.csv", "Unit;Model;Odometer\nU1;Heron;80001\nSumme;;80001\n* Stand lt. Fahrer\nQuelle: Werkstatt Nord;;\nSeite 1 von 1;;\n", ["totals"], 1, {"U1": {}}, aside=4)
    one("two-tables.csv", "Unit;Model;Odometer\nU1;Heron;80000\nU2;Teal;90000\n\nRepairs of the month\nUnit;Date;Work;Odometer\nU1;2026-03-02;oil service;79000\nU9;2026-03-03;tyres;1\n", ["several-tables"], 2,
        {"U1": {"km": [80000], "repairs": ["oil service"]}}, blank=2)
    cases[-1]["sheets"]["from row 5"] = account(1, aside=1, blank=2)
    cases[-1]["issues"] = [issue(8, "set aside", "unit U9 is on no vehicle sheet", sheet="from row 5")]
    one("many-rows.csv", "Unit;VIN;Model;Odometer;Odometer date;Depot\nU1;%s;Heron;80000;2026-03-02;North\nU1;%s;Heron;82000;2026-05-02;North\nU1;%s;Heron;80000;2026-03-02;North\nU1;%s;Teal;83000;2026-06-02;\n" % ((vin(1),) * 4), ["many-rows"], 3,
        {"U1": {"model": "Heron", "km": [80000, 82000, 83000]}}, merged=1, issues=[issue(5, "set aside", "Teal", value="Teal")], title="one vehicle on many rows")
    long = ";".join(f"P00{n:02d}" for n in range(1, 41))
    one("codes-in-one-cell.csv", 'Unit;Model;Odometer;Codes\nU1;Heron;80001;"%s"\nU2;Teal;80002;P0087 stored, P0191 pending / U0100\nU3;Teal;80003;none\nU4;Teal;80004;\n' % long, ["codes-in-one-cell"], 4,
        {"U1": {"codes": 40}, "U2": {"codes": 3}, "U3": {"codes": 0, "scans": 1}, "U4": {"scans": 0}}, title="codes as one long cell")
    one("month-columns.csv", "Unit;Model;01/2026;02/2026;03/2026\nU1;Heron;80000 km;81200 km;82600 km\nU2;Teal;40000 km;40700 km;41500 km\n", ["pivot"], 2,
        {"U1": {"km": [80000, 81200, 82600], "days": ["2026-01-31", "2026-02-28", "2026-03-31"]}, "U2": {"km": [40000, 40700, 41500]}}, title="one column a month, in text")


def names():
    v = [vin(n) for n in range(1, 9)]
    odd = [v[0][:8] + "\u200b" + v[0][8:], "\ufeff" + v[1], v[2][:5] + "\u00ad" + v[2][5:], "'" + v[3], " ".join([v[4][:3], v[4][3:9], v[4][9:]]), v[5][:3] + "-" + v[5][3:], "\u00a0" + v[6] + "\u00a0", v[7].lower()]
    one("invisible.csv", UNITS + "".join(f"U{i}\u200b;{t};Heron;{80000 + i}\n" for i, t in enumerate(odd, 1)), ["invisible"], 8, {f"U{i}": {"vin": v[i - 1]} for i in range(1, 9)}, title="what cannot be seen in VINs and units")
    wide = "".join(chr(ord(c) + 0xFEE0) for c in v[0])
    cyr = v[1].replace("H", "\u041d").replace("K", "\u041a")
    greek = v[2].replace("A", "\u0391").replace("B", "\u0392")
    one("lookalikes.csv", UNITS + f"U1;{wide};Heron;1\nU2;{cyr};Heron;2\nU3;{greek};Heron;3\n", ["lookalikes"], 3, {"U1": {"vin": v[0]}, "U2": {"vin": v[1]}, "U3": {"vin": v[2]}},
        issues=[issue(3, "noted", "Cyrillic", "VIN", cyr), issue(4, "noted", "Greek", "VIN", greek)], title="letters of other alphabets in VINs")


def files():
    body = "Unit;Modèle;Kilométrage;Dépôt\nU1;Heron;80001;Übersee\nU2;Teal;80002;Nord\n"
    want = {"U1": {"km": [80001], "depot": "Übersee", "model": "Heron"}, "U2": {"km": [80002]}}
    for name, data, points in [
        ("bom.csv", b"\xef\xbb\xbf" + body.encode(), ["bom"]),
        ("bom-before-quote.csv", b"\xef\xbb\xbf" + '"Unit";"Modèle";"Kilométrage";"Dépôt"\n"U1";"Heron";80001;"Übersee"\n"U2";"Teal";80002;"Nord"\n'.encode(), ["bom"]),
        ("utf16le-bom.csv", b"\xff\xfe" + body.encode("utf-16-le"), ["bom"]),
        ("utf16be-bom.csv", b"\xfe\xff" + body.encode("utf-16-be"), ["bom"]),
        ("utf16le-no-bom.csv", body.encode("utf-16-le"), ["bom"]),
        ("utf16be-no-bom.csv", body.encode("utf-16-be"), ["bom"]),
        ("windows-1252.csv", body.encode("cp1252"), ["encoding"]),
        ("tab.tsv", body.replace(";", "\t").encode(), ["delimiter"]),
        ("tab.txt", body.replace(";", "\t").encode(), ["delimiter"]),
        ("comma.csv", body.replace(";", ",").encode(), ["delimiter"]),
        ("bar.csv", body.replace(";", "|").encode(), ["delimiter"]),
        ("crlf.csv", body.replace("\n", "\r\n").encode(), ["ragged"]),
        ("cr-only.csv", body.replace("\n", "\r").encode(), ["cr-only"]),
        ("no-line-end.csv", body.rstrip("\n").encode(), ["ragged"]),
        ("ctrl-z.csv", body.encode() + b"\x1a", ["ragged"]),
    ]:
        one(name, data, points, 2, want)
    one("cp850.csv", body.encode("cp850"), ["encoding"], 2, want, job={"encoding": "cp850"}, title="a code page that the job names")
    one("latin2.csv", "Unit;Model;Przebieg;Oddział\nU1;Heron;80001;Łódź\n".encode("iso-8859-2"), ["encoding", "language"], 1, {"U1": {"depot": "Łódź", "km": [80001]}}, job={"encoding": "iso-8859-2"})
    one("mixed-encodings.csv", "Unit;Model;Depot\nU1;Heron;".encode() + "Übersee".encode("utf-8") + b"\nU2;Teal;" + "Übersee".encode("cp1252") + b"\n", ["encoding"], 2, {"U2": {"depot": "Übersee"}}, title="two encodings in one file")
    one("sep-line.csv", "sep=|\n" + body.replace(";", "|"), ["delimiter"], 2, want, title="the first line names the delimiter")
    one("decimal-comma-cells.csv", "Unit;Model;Engine hours;Odometer\nU1;Heron;1200,5;80001\nU2;Teal;980,25;80002\n", ["delimiter"], 2, {"U1": {"hours": [1200.5], "km": [80001]}, "U2": {"hours": [980.25]}})
    one("unbalanced-quote.csv", 'Unit;Model;Remarks\nU1;Heron;"knocks when hot\nU2;Teal;quiet\nU3;Teal;quiet\n', ["quotes"], 3, {"U1": {"remarks": ['"knocks when hot']}, "U2": {"remarks": ["quiet"]}, "U3": {}},
        issues=[issue(2, "noted", "quotation mark")], title="a quote that is never closed costs nothing but itself")
    one("stray-quotes.csv", 'Unit;Model;Remarks\nU1;Heron;19" wheel\nU2;Teal;"19" wheel"\nU3;Teal;"said ""good"""\n', ["quotes"], 3, {"U1": {"remarks": ['19" wheel']}, "U2": {"remarks": ['"19" wheel"']}, "U3": {"remarks": ['said "good"']}}, issues=[issue(3, "noted", "quotation mark")])
    one("ragged.csv", "Unit;Model;Odometer;Depot\nU1;Heron\nU2;Teal;80002;North;left over\nU3\n\n   \nU4;Teal;80004;North\n", ["ragged"], 4, {"U1": {"model": "Heron"}, "U2": {"depot": "North"}, "U3": {}, "U4": {"row": 7}}, blank=3, issues=[issue(3, "noted", "more cells than headings")], title="short rows, long rows, blank lines")
    one("long-rows.csv", "Unit;Model;Depot\n" + "".join(f"U{i};Heron;North;x\n" for i in range(1, 26)), ["ragged"], 25, {"U25": {"depot": "North"}}, issues=[issue(21, "noted", "more cells than headings")], notes=["25 rows have more cells than headings"], title="many long rows are told of in one note")
    one("line-end-in-cell.csv", 'Unit;Model;Remarks\nU1;Heron;"knocks\nwhen hot"\nU2;Teal;quiet\n', ["ragged"], 2, {"U1": {"remarks": ["knocks\nwhen hot"]}, "U2": {"row": 4}}, title="a line end inside a cell")
    one("nul.csv", b"Unit;Model;Odometer\nU1;Heron;80001\nU2;Te\x00al;80002\nU3;Teal;80003\n", ["nul"], 2, {"U3": {"km": [80003]}}, rejected=1, issues=[issue(3, "rejected", "NUL")])
    one("control-characters.csv", "Unit;Model;Remarks\nU1\x07;He\x1bron;rings\x0bthe bell\n", ["nul"], 1, {"U1": {"model": "Heron", "remarks": ["rings the bell"]}}, title="control characters are cleaned away")
    one("long-cell.csv", "Unit;Model;Remarks\nU1;Heron;" + "knocks when hot " * 2500 + "\n", ["long-cell"], 1, {"U1": {"remarks": [("knocks when hot " * 2500).strip()]}})
    one("german.csv", "Fahrzeug-Nr.;FIN;Modell;km-Stand;Stand vom;Standort\nU1;%s;Heron;80.001;30.09.2026;Nord\nU2;%s;Teal;90.002;1.10.2026;Süd\n" % (vin(1), vin(2)), ["language"], 2, {"U1": {"vin": vin(1), "km": [80001], "days": ["2026-09-30"], "depot": "Nord"}, "U2": {"km": [90002]}})
    one("spanish.csv", "Nº unidad;Bastidor;Modelo;Kilómetros;Fecha lectura;Base\nU1;%s;Heron;80.001;30/09/2026;Norte\n" % vin(1), ["language"], 1, {"U1": {"vin": vin(1), "km": [80001], "depot": "Norte"}})
    one("swedish.csv", "Fordonsnr;Chassinummer;Modell;Mätarställning (mil);Avläst\nU1;%s;Heron;8000;2026-09-30\n" % vin(1), ["language"], 1, {"U1": {"vin": vin(1), "km": [80000], "days": ["2026-09-30"]}})
    one("finnish.csv", "Ajoneuvo nro;Valmistenumero;Malli;Mittarilukema;Pvm\nU1;%s;Heron;80001;30.9.2026\n" % vin(1), ["language"], 1, {"U1": {"vin": vin(1), "km": [80001], "days": ["2026-09-30"]}})
    one("polish.csv", "Nr pojazdu;Nr VIN;Model;Przebieg;Data odczytu\nU1;%s;Heron;80 001;30.09.2026\n" % vin(1), ["language"], 1, {"U1": {"vin": vin(1), "km": [80001], "days": ["2026-09-30"]}})


# What the cells under each real heading may hold, by the name that the collection gives the column; invented.
UNDER = {
    "unit_id": lambda i: f"F{i:03d}", "vin": vin, "vin_prefix": lambda i: f"Z9KHA1{i}B5H", "plate": lambda i: f"NF {i:03d}", "year": lambda i: 2010 + i, "make": lambda i: "Northfold", "model": lambda i: "Heron",
    "mileage": lambda i: 80000 + i, "dept": lambda i: "Harbour", "in_service": lambda i: f"2015-03-{i:02d}", "first_use": lambda i: f"2014-03-{i:02d}", "description": lambda i: "van", "year_make": lambda i: f"{81 + i} Northfold",
    "first_registration": lambda i: f"2014-04-{i:02d}", "build_from": lambda i: "20140101", "build_to": lambda i: "20141231",
}


def headers():
    """The header rows of public files with three invented rows under each."""
    with open(os.path.join(HERE, "..", "headers", "real_headers.json"), encoding="utf-8") as f:
        real = json.load(f)
    for h in real:
        at = {i: name for name, i in h["expected"].items()}
        table = [h["cells"]] + [[UNDER[at[c]](i) if c in at else "" for c in range(len(h["cells"]))] for i in range(1, 4)]
        name = f"headers/{h['id']}.csv"
        write(name, lines(table, "\t"))
        names = set(h["expected"])
        if not names & {"unit_id", "vin", "vin_prefix", "plate"}:
            case(h["id"], name, ["real-headers"], "python", {"": account(aside=4)}, nothing=True, asks=[])
            continue
        call = "unit_id" if "unit_id" in names else "vin" if "vin" in names else "vin_prefix"
        who = UNDER[call](2)
        want = {"row": 3}
        for k, key in (("vin", "vin"), ("model", "model"), ("make", "make"), ("dept", "depot"), ("year", "year")):
            if k in names:
                want[key] = UNDER[k](2)
        if "mileage" in names:
            # the field is a distance in miles only where the heading says so; these say nothing, or MILES
            want["km"] = [round(80002 * 1.609344)] if "MILES" in h["cells"] else [80002]
        case(h["id"], name, ["real-headers"], "python", {"": account(used=3, blank=1)}, {who: want})
