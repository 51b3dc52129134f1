"""Reports and exports as planners, workshops, leasing firms and auction houses send them, which once fooled the reader: what looks like an odometer and is none,
rows that are no vehicles, headings in odd places."""
from make_base import *

N = None


def sheet(name, table, points, sheets, vehicles, more=(), **rest):
    write(name, book([("Units", sheet_xml(rows(table)))] + [(n, sheet_xml(rows(t))) for n, t in more]))
    case(rest.pop("title"), name, points, "by hand", sheets if isinstance(sheets, dict) else {"Units": sheets}, vehicles, **rest)


def text(name, body, points, read, vehicles, **rest):
    write(name, body)
    case(rest.pop("title"), name, points, "python", {"": read}, vehicles, **rest)


def make():
    histories()
    side_by_side()
    reports()
    headings()
    figures()


def histories():
    none = {"U1": {"km": []}, "U2": {"km": []}}
    sheet("fuel-by-month.xlsx", [["Fuel used, litres, since new"], ["Unit", "Model", "Jan 2026", "Feb 2026", "Mar 2026"], ["U1", "Heron", 61000, 63100, 65300], ["U2", "Teal", 42000, 43400, 44900]], ["pivot"], account(2, blank=2), none,
          issues=[issue(2, "noted", "fuel", sheet="Units")], title="litres since new rise as an odometer does, and the title says what they are")
    sheet("cost-by-month.xlsx", [["Unit", "Model", "Maintenance cost to date (EUR)"], [N, N, "2026-01", "2026-02", "2026-03"], ["U1", "Heron", 5200, 5900, 7100], ["U2", "Teal", 8000, 8040, 9000]], ["pivot", "two-rows"], account(2, blank=2), none,
          issues=[issue(1, "noted", "cost", sheet="Units")], title="the heading over the months says that they are money")
    text("since-january.csv", "Unit;Model;Jan 2026;Feb 2026;Mar 2026\nU1;Heron;6200;11900;18000\nU2;Teal;3100;6100;9500\nU3;Teal;4000;8100;12300\n", ["pivot"], account(3, blank=1), {"U1": {"km": []}, "U3": {"km": []}}, asks=["Jan 2026", "ignore"],
         title="figures that begin with one month's driving are sums since January, or new vehicles")
    text("month-sums.csv", "Unit;Model;Jan 2026;Feb 2026;Mar 2026;Total\nU1;Heron;5200;5600;6100;16900\nU2;Teal;4300;4400;5200;13900\n", ["pivot"], account(2, blank=1), none, asks=["Jan 2026", "ignore"], title="what a column beside adds up is no reading")
    sheet("month-miles.xlsx", [["Unit", "Model", "Odometer (miles)"], [N, N, "Jan 2026", "Feb 2026", "Mar 2026"], ["U1", "Heron", 80000, 81000, 82000], ["U2", "Teal", 40000, 40500, 41000]], ["pivot", "two-rows"], account(2, blank=2),
          {"U1": {"km": [128748, 130357, 131966], "days": ["2026-01-31", "2026-02-28", "2026-03-31"]}, "U2": {"km": [64374, 65178, 65983]}}, title="the unit of a history stands above its months")
    sheet("month-ends.xlsx", [["Unit", "Model", 46053, 46081, 46112], ["U1", "Heron", 80000, 81000, 82500], ["U2", "Teal", 40000, 40500, 41200]], ["pivot"], account(2, blank=1),
          {"U1": {"km": []}, "U2": {"km": []}}, asks=["2026-01-31", "odometer_by_month"], title="months headed by days as a workbook stores them; nothing says what the figures are")
    text("odometer-by-month.csv", "Unit;Model;Odometer Jan 2026;Odometer Feb 2026;Odometer Mar 2026\nU1;Heron;80000;81200;82600\nU2;Teal;40000;40700;41500\n", ["pivot"], account(2, blank=1), {"U1": {"km": [80000, 81200, 82600]}, "U2": {"days": ["2026-01-31", "2026-02-28", "2026-03-31"]}},
         title="the odometer and the month in one heading")


def side_by_side():
    two = [["Unit", "Model", "Odometer", N, N, "Unit", "Workshop visit"], [N, N, "km", "date", N, N, "Date", "Work done", "Odometer km"], ["U1", "Heron", 80000, "2026-09-30", N, "U1", "2026-03-02", "oil service", 79000],
           ["U2", "Teal", 90000, "2026-09-29", N, "U1", "2026-04-25", "tyres", 79900], [N, N, N, N, N, "U2", "2026-05-02", "brake pads", 88000]]
    sheet("side-by-side-two-rows.xlsx", two, ["several-tables", "two-rows"], {"Units": account(2, blank=3), "Units, from column F": account(3, blank=2)}, {"U1": {"km": [80000], "repairs": ["oil service", "tyres"]}, "U2": {"km": [90000], "repairs": ["brake pads"]}},
          holds={"Units": ["vehicles"], "Units, from column F": ["repairs"]}, title="two tables side by side, each with a heading of two rows")
    low = [["Unit", "Model", "Odometer"], ["U1", "Heron", 80000], ["U2", "Teal", 90000, N, "Unit", "Date", "Work done"], ["U3", "Teal", 91000, N, "U1", "2026-03-02", "oil service"], ["U4", "Teal", 92000, N, "U2", "2026-04-25", "tyres"]]
    sheet("side-by-side-lower.xlsx", low, ["several-tables"], {"Units": account(4, blank=1), "Units, from column E": account(2, blank=3)}, {"U1": {"km": [80000], "repairs": ["oil service"]}, "U4": {"km": [92000]}}, title="the table to the right begins lower")


def reports():
    head = [["Vehicle", N, N, N, "Odometer", N, "Depot"], ["No.", "VIN", "Make", "Model", "km", "date", "name"]]
    planner = [["NORTHFOLD COUNTY TRANSPORT"], ["Fleet report as of 30.09.2026"], *head, ["U1", vin(1), "Northfold", "Heron", 80000, "2026-09-30", "North"], ["U2", vin(2), "Northfold", "Teal", 90000, "2026-09-29", "North"],
               ["North Total", N, N, N, 170000], ["Page 2"], *head, ["U3", vin(3), "Northfold", "Teal", 91000, "2026-09-28", "South"], ["South Total", N, N, N, 91000], ["Grand Total", N, N, N, 261000], ["Note: readings by the drivers."], ["Approved: M. Berg"]]
    sheet("planner.xlsx", planner, ["totals", "repeated-heading", "two-rows"], account(3, aside=6, blank=6), {"U1": {"vin": vin(1), "make": "Northfold", "km": [80000], "days": ["2026-09-30"], "depot": "North"}, "U3": {"km": [91000], "depot": "South"}},
          issues=[issue(7, "set aside", "totals", sheet="Units"), issue(15, "set aside", "alone on its row", sheet="Units")], title="a report of several pages with totals of its groups")
    text("group-totals.csv", "Unit;Model;Odometer\nU1;Heron;80.000\nTotal North;;80.000\nU2;Teal;90.500\nNord Ergebnis;;90.500\nSubtotal South;;90.500\nTotal général;;170.500\nGesamtergebnis;;170.500\n", ["totals"], account(2, aside=5, blank=1), {"U1": {"km": [80000]}, "U2": {"km": [90500]}},
         title="totals of groups as spreadsheets name them")
    text("groups-and-notes.csv", "Unit;Model;Odometer\nNorth depot;;\nU1;Heron;80000\nSouth depot;;\nU2;Teal;90000\n\nApproved: M. Berg\nFleet office, ext. 4411\nConfidential\n", ["totals"], account(2, aside=5, blank=2), {"U1": {}, "U2": {}},
         issues=[issue(2, "set aside", "alone on its row"), issue(8, "set aside", "alone on its row")], title="headings of groups, and notes below, are no vehicles")


def headings():
    text("numbered-columns.csv", "Unit;VIN;Model;Odometer\n1;2;3;4\nU1;%s;Heron;80000\nU2;%s;Teal;90000\n" % (vin(1), vin(2)), ["two-rows"], account(2, blank=2), {"U1": {"km": [80000]}, "U2": {"km": [90000]}}, title="a row that numbers the columns")
    sheet("units-row.xlsx", [["Unit", "Model", "Odometer", "Odometer date", "Engine hours"], ["-", "-", "[mi]", "[dd.mm.yyyy]", "[h]"], ["U1", "Heron", 80000, "01.02.2026", 120.5], ["U2", "Teal", 90000, "03.04.2026", 99]], ["two-rows"], account(2, blank=2),
          {"U1": {"km": [128748], "days": ["2026-02-01"], "hours": [120.5]}, "U2": {"days": ["2026-04-03"]}}, title="units in a row of their own under the heading")
    sheet("three-row-heading.xlsx", [["Unit", "Model", "Odometer"], [N, N, "reading"], [N, N, "mi", "date"], ["U1", "Heron", 80000, "2026-09-30"], ["U2", "Teal", 90000, "2026-09-29"]], ["two-rows"], account(2, blank=3), {"U1": {"km": [128748], "days": ["2026-09-30"]}},
          title="a heading of three rows")
    sheet("on-its-side.xlsx", [["Unit", "U1", "U2", "U3"], ["VIN", vin(1), vin(2), vin(3)], ["Model", "Heron", "Teal", "Teal"], ["Odometer", 80000, 90000, 91000]], ["on-its-side"], account(aside=4), {}, nothing=True,
          issues=[issue(1, "set aside", "one below the other", sheet="Units")], title="a table that lies on its side")
    text("dutch.csv", "Voertuignummer;Kenteken;Chassisnummer;Merk;Model;Km-stand;Datum stand;Vestiging;Bouwjaar\nU1;NF-01-A;%s;Northfold;Heron;185.300;30-9-2026;Noord;2017\nU2;NF-02-B;%s;Northfold;Teal;92.400;1-10-2026;Zuid;2018\n" % (vin(1), vin(2)), ["language"], account(2, blank=1),
         {"U1": {"vin": vin(1), "make": "Northfold", "km": [185300], "days": ["2026-09-30"], "depot": "Noord", "year": 2017}, "U2": {"km": [92400]}}, title="Dutch headings")
    text("diagnosis.csv", "Unit;Model;Odometer;Diag result\nU1;Heron;80000;P0087\nU2;Teal;90000;P0191, P0087\nU3;Teal;91000;no faults\n", ["unknown-heading"], account(3, blank=1), {"U1": {"scans": 0}}, asks=["Diag result", "codes"], title="trouble codes under a heading that is not known")
    text("checklist.csv", "Unit;Model;Odometer;Brakes;Tyres;Chain guide\nU1;Heron;79000;OK;worn;OK\nU2;Teal;88000;OK;OK;worn\n", ["unknown-heading"], account(2, blank=1), {"U1": {"km": [79000]}}, issues=[issue(1, "noted", "a part a column")], title="findings with a part a column are told of")


def figures():
    text("thousands-comma.csv", "Unit,Model,Odometer,Odometer date\nU1,Heron,185,300,2026-09-30\nU2,Teal,92,400,2026-09-29\nU3,Teal,91500,2026-09-28\n", ["delimiter", "numbers-as-text"], account(1, rejected=2, blank=1), {"U3": {"km": [91500]}},
         issues=[issue(2, "rejected", "thousands comma", "Odometer", "185,300")], title="a thousands comma in a file with commas")
    trips = [["Vehicle No.", "Start time", "End time", "Start odometer", "End odometer", "Distance (km)"]] + [["U1", f"2026-09-0{d} 06:00", f"2026-09-0{d} 14:00", at, at + 120, 120] for d, at in ((1, 80000), (2, 80120), (3, 80240))]
    sheet("trips.xlsx", [["Unit", "Model"], ["U1", "Heron"]], ["distances"], {"Units": account(1, blank=1), "Trips": account(3, blank=1)}, {"U1": {"km": [80120, 80240, 80360], "days": ["2026-09-01", "2026-09-02", "2026-09-03"]}}, more=[("Trips", trips)],
          title="trips, where the later reading counts and the distance does not")
    text("driven-by-day.csv", "Unit;Date;Distance (km)\nU1;2026-09-01;120\nU1;2026-09-02;80\nU1;2026-09-03;310\nU2;2026-09-01;55\nU2;2026-09-02;60\nU2;2026-09-03;20\n", ["distances"], account(aside=7), {}, nothing=True, asks=["Distance (km)", "ignore"], title="what was driven each day is no reading")
    text("metres.csv", "Unit;Model;Odometer (m);Odometer date\nU1;Heron;1853000;2026-09-30\nU2;Teal;924000;2026-09-30\n", ["distances"], account(2, blank=1), {"U1": {"km": []}, "U2": {"km": []}}, asks=["metres or in miles"], title="an odometer in metres, or in miles")
    text("mileage.csv", "Unit,Model,Mileage\nU1,Heron,115140\nU2,Teal,57415\n", ["distances"], account(2, blank=1), {"U1": {"km": [115140]}}, asks=["Mileage", "odometer_unit: km"], title="a mileage that says neither km nor miles")
    text("one-letter-units.csv", "Reg;Make;Model;Mileage;Mls/Km\nNF 001;Northfold;Heron;87412;M\nNF 002;Northfold;Teal;92400;K\n", ["distances", "units-change"], account(2, blank=1), {"NF 001": {"km": [140676]}, "NF 002": {"km": [92400]}}, title="M for miles and K for km in a column beside")
