"""What people send and the reader took for something else: lines of an invoice that were not delivered, advice beside the work, and further files written with what they ought to be read as
before they were read."""
from make_base import *
from make_reports import sheet, text

N = None
FLEET = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])
BOTH = account(2, blank=1)


def make():
    lines_of_work()
    names()
    figures()
    messages()
    fresh()


def lines_of_work():
    sheet("lines-not-delivered.xlsx", [["Unit", "Date", "Odometer", "Description", "Qty", "Labour hrs", "Price"], ["U1", "2026-03-02", 80000, "Timing chain replaced", 0, N, 0], ["U1", "2026-03-02", 80000, "Oil service", 1, 0.5, 120], ["U2", "2026-03-03", N, "Brake pads replaced", 2, 1, 80],
          ["U2", "2026-03-04", N, "Brake pads replaced", -2, N, -80], ["U2", "2026-03-05", N, "Tyres balanced", 0, 0.5, 20]], ["orders"], {"Units": account(4, aside=1, blank=1), "Fleet": BOTH}, {"U1": {"repairs": ["Oil service"], "km": [80000]}, "U2": {"repairs": ["Brake pads replaced", "Tyres balanced"]}}, more=[FLEET],
          issues=[issue(2, "set aside", "a quantity of 0", "Qty", "0", "Units"), issue(5, "set aside", "takes a line back", "Qty", "-2", "Units")], title="a line of an invoice with a quantity of 0 is no work done, but where somebody worked on it")
    sheet("advice-beside-work.xlsx", [["Fahrzeug-Nr.", "Datum", "Km-Stand", "Ausgeführte Arbeiten", "Empfehlungen"], ["U1", "02.03.2026", 80000, "Ölwechsel", "Steuerkette ersetzen"], ["U2", "03.03.2026", 70000, "Bremsbeläge ersetzt", "keine"], ["U2", "04.03.2026", 70100, N, "Reifen bald fällig"]], ["orders", "language"], {"Units": account(3, blank=1), "Fleet": BOTH},
         {"U1": {"repairs": ["Steuerkette ersetzen", "Ölwechsel"], "statuses": ["recommended", ""], "repair_days": ["2026-03-02", "2026-03-02"]}, "U2": {"repairs": ["Bremsbeläge ersetzt", "Reifen bald fällig"], "statuses": ["", "recommended"], "km": [70100]}}, more=[FLEET], title="what was recommended beside the work was not done")
    sheet("advised-or-done.xlsx", [["Unit", "Date", "Work", "Recommended?"], ["U1", "2026-03-02", "timing chain", "Y"], ["U2", "2026-03-03", "timing chain", "N"], ["U2", "2026-03-04", "tyres", "N"]], ["orders"], {"Units": account(3, blank=1), "Fleet": BOTH}, {"U1": {"statuses": ["recommended"]}, "U2": {"statuses": ["", ""]}}, more=[FLEET], title="a column that says of each line whether it was only recommended")
    text("advice-of-vehicles.csv", "Unit;Model;Odometer;Recommended work\nU1;Heron;80000;timing chain replacement\nU2;Teal;81000;none\n", ["orders"], BOTH, {"U1": {"km": [80000], "repairs": ["timing chain replacement"], "statuses": ["recommended"]}, "U2": {"repairs": []}}, title="recommended work on the row of its vehicle")


def names():
    sheet("unit-with-vin.xlsx", [["Vehicle", "Model", "Odometer"], [f"T-214 / {vin(1)}", "Heron", 80000], [f"{vin(2)} (T-215)", "Teal", 90000], [f"T-216 VIN: {vin(3)}", "Teal", 91000], ["T-217", "Teal", 92000]], ["joined-names", "vin-pieces"], {"Units": account(4, blank=1), "Work": account(2, blank=1)},
          {"T-214": {"vin": vin(1), "km": [80000], "repairs": ["oil service"]}, "T-215": {"vin": vin(2), "repairs": ["tyres"]}, "T-216": {"vin": vin(3)}, "T-217": {"vin": "", "km": [92000]}}, more=[("Work", [["Unit", "Date", "Work"], ["T-214", "2026-03-02", "oil service"], [f"T-215 - {vin(2)}", "2026-03-03", "tyres"]])],
          notes=["3 cells hold a VIN beside the vehicle's number"], title="a vehicle's number and its VIN in one cell")


def figures():
    text("start-and-end-of-month.csv", "Unit;Model;Odometer;\n;;Start of month;End of month\nU1;Heron;80000;82000\nU2;Teal;90000;91500\n", ["two-rows", "distances"], account(2, blank=2), {"U1": {"km": [82000]}, "U2": {"km": [91500]}}, issues=[issue(1, "noted", "both readings of the odometer")],
         title="the beginning and the end of a month under one odometer")
    text("odometer-with-day.csv", "Unit;Model;Odometer\nU1;Heron;80000 (31/10/2026)\nU2;Teal;92.400 km am 30.09.2026\nU3;Teal;2026-09-30: 91000\nU4;Teal;90000 (31/10)\nU5;Teal;91000 (03/04/2026)\nU6;Teal;93000\n", ["distances", "date-text"], account(6, blank=1),
         {"U1": {"km": [80000], "days": ["2026-10-31"]}, "U2": {"km": [92400], "days": ["2026-09-30"]}, "U3": {"km": [91000], "days": ["2026-09-30"]}, "U4": {"km": []}, "U5": {"km": []}, "U6": {"km": [93000]}},
         issues=[issue(5, "noted", "a day that names no year", "Odometer", "90000 (31/10)"), issue(6, "noted", "day first or month first", "Odometer", "91000 (03/04/2026)")], title="a reading and its day in one cell")
    text("encoded-twice.csv", "\ufeffFahrzeug-Nr.;Modell;Kilometerstand;Standort;Störung\nU1;Heron;80000;Köln;Motor läuft rauh, Ölverlust\nU2;Teal;90000;Köln;Prüfung nötig – bald\n".encode().decode("cp1252"), ["encoding"], BOTH, {"U1": {"depot": "Köln", "remarks": ["Motor läuft rauh, Ölverlust"]}, "U2": {"remarks": ["Prüfung nötig – bald"]}},
         notes=["6 cells were encoded twice"], title="UTF-8 that was read as windows-1252 and saved again")


def messages():
    sheet("one-row-each.xlsx", [["Unit", "Date", "Work"], ["U1, U2", "2026-03-02", "oil service"], ["U1 to U2", "2026-03-03", "tyres"], ["all", "2026-03-04", "wash"], ["U1", "02.03.2026 - 05.03.2026", "timing chain replaced"], ["U2", "02-05.03.2026", "brake pads"], ["U2", "2026-03-06", "wash"]], ["joined-names", "date-text"],
          {"Units": account(1, aside=3, rejected=2, blank=1), "Checks": account(1, rejected=1, blank=1), "Fleet": BOTH}, {"U1": {"repairs": []}, "U2": {"repairs": ["wash"]}}, more=[("Checks", [["Unit", "Date", "Part", "Condition"], ["U1", "2026-03-02", "timing chain", "amber"], ["U2", "2026-03-02", "timing chain", "worn"]]), FLEET],
          issues=[issue(2, "set aside", "names several vehicles", value="U1, U2", sheet="Units"), issue(3, "set aside", "names several vehicles", sheet="Units"), issue(4, "set aside", "names several vehicles", sheet="Units"), issue(5, "rejected", "names two days", "Date", sheet="Units"), issue(6, "rejected", "names two days", "Date", sheet="Units"),
                  issue(2, "rejected", "is a colour", "Condition", "amber", "Checks")], title="several vehicles, two days or a colour in a cell")


def fresh():
    """Files written with what they ought to be read as before they were read; these were read otherwise."""
    sheet("drivers-log.xlsx", [["Date", "Vehicle", "Driver", "Start km", "End km", "Notes"], ["2026-09-01", "U1", "A. Berg", 80000, 80120, N], ["2026-09-02", "U1", "A. Berg", 80120, 80260, "knocks when cold"], ["2026-09-01", "U2", "M. Lind", 70000, 70080, N]], ["distances"], {"Units": account(3, blank=1), "Fleet": BOTH},
          {"U1": {"km": [80120], "repair_km": [80260]}, "U2": {"km": [70080]}}, more=[FLEET], issues=[issue(1, "noted", "both readings of the odometer", sheet="Units")], title="a driver's log with the distance at both ends of a day")
    sheet("visits.xlsx", [["Unit", "Date", "Km previous visit", "Km this visit", "Work done"], ["U1", "2026-03-02", 70000, 80000, "oil service"], ["U2", "2026-03-03", 60000, 71000, "tyres"]], ["distances"], {"Units": BOTH, "Fleet": BOTH}, {"U1": {"repair_km": [80000]}, "U2": {"repair_km": [71000]}}, more=[FLEET], title="the odometer at the visit before, and at this one")
    sheet("done-on.xlsx", [["Unit", "Reported", "Job", "Done"], ["U1", "2026-03-02", "timing chain replace", "2026-03-05"], ["U2", "2026-03-03", "brake pads replace", "No - awaiting parts"], ["U2", "2026-04-01", "tyres", N], ["U1", "2026-04-13", "tyres", "4/14/2026"]], ["orders"], {"Units": account(4, blank=1), "Fleet": BOTH},
          {"U1": {"repair_days": ["2026-03-05", "2026-04-14"], "statuses": ["done", "done"]}, "U2": {"repair_days": ["2026-03-03", "2026-04-01"], "statuses": ["declined", "recommended"]}}, more=[FLEET], issues=[issue(4, "noted", 'has nothing in "Done"', "Done", sheet="Units")], title="a column that says whether work was done, mostly by its day")
    sheet("line-types.xlsx", [["Unit", "Date", "Line type", "Description"], ["U1", "2026-03-02", "Labour", "replace timing chain"], ["U1", "2026-03-02", "Part", "timing chain kit"], ["U2", "2026-03-02", "Labour", "replace brake pads"], ["U2", "2026-03-02", "Estimate", "replace timing chain"]], ["orders"],
          {"Units": account(4, blank=1), "Maintenance": BOTH, "Fleet": BOTH}, {"U1": {"statuses": ["", "", ""]}, "U2": {"statuses": ["", "recommended", ""]}}, more=[("Maintenance", [["Unit", "Date", "Maintenance type", "Work"], ["U1", "2026-05-02", "Planned", "oil service"], ["U2", "2026-05-03", "Unplanned", "tyres"]]), FLEET],
          title="an estimate among the lines of labour and parts; planned maintenance is done too")
    text("chain-replaced-on.csv", "Unit;Model;Odometer;Timing chain replaced (date)\nU1;Heron;80000;2025-03-02\nU2;Teal;70000;\n", ["unknown-heading"], BOTH, {"U1": {"km": [80000], "repairs": []}, "U2": {"km": [70000]}}, issues=[issue(1, "noted", "says when something was renewed", "Timing chain replaced (date)")], title="the day of a repair on a list of vehicles")
    sheet("ticks.xlsx", [["Unit", "Date", "Odometer", "Timing chain", "Brake pads"], ["U1", "2026-03-02", 80000, "✓", "✗"], ["U2", "2026-03-03", 70000, "✓", "✓"]], ["unknown-heading"], {"Units": BOTH, "Fleet": BOTH}, {"U1": {"km": [80000]}}, more=[FLEET], issues=[issue(1, "noted", "holds findings, and a part a column cannot be read", sheet="Units")], title="a checklist with ticks, a part a column")
    text("odd-meters.csv", "Unit;Model;Meter\nU1;Heron;80000 km\nU2;Teal;999999\nU3;Teal;1200 h\nU4;Teal;80123456 m\nU5;Teal;70,123 km (actual)\nU6;Teal;60,123 km unwarranted\n", ["distances", "one-figure"], account(6, blank=1),
         {"U1": {"km": [80000]}, "U2": {"km": []}, "U3": {"km": [], "hours": [1200]}, "U4": {"km": []}, "U5": {"km": [70123]}, "U6": {"km": []}},
         issues=[issue(3, "set aside", "what a clock shows at its end", "Meter", "999999"), issue(5, "noted", "metres or miles", "Meter", "80123456 m"), issue(7, "noted", "not to be the true distance", "Meter")], title="figures that are none of the odometer, or more than that")
    text("snapshots.csv", "Snapshot date;Registration;Model;Odometer\n31/08/2026;NF001;Heron;79000\n31/08/2026;NF002;Teal;69000\n30/09/2026;NF001;Heron;80000\n30/09/2026;NF002;Teal;70000\n", ["many-rows"], account(4, blank=1), {"NF001": {"km": [79000, 80000], "days": ["2026-08-31", "2026-09-30"]}, "NF002": {"km": [69000, 70000]}}, title="a vehicle once a month, with the day of the export")
    sheet("us-orders.xlsx", [["Unit", "Opened", "Closed", "Work"], ["U1", "3/15/2026", "3/25/2026", "timing chain replaced"], ["U2", "11/16/2026", N, "timing chain replace"], ["U2", "4/16/2026", "4/26/2026", "tyres"]], ["orders", "date-text"], {"Units": account(3, blank=1), "Fleet": BOTH},
          {"U1": {"repair_days": ["2026-03-25"], "statuses": [""]}, "U2": {"repair_days": ["2026-11-16", "2026-04-26"], "statuses": ["recommended", ""]}}, more=[FLEET], issues=[issue(3, "noted", 'has no day in "Closed"', "Closed", sheet="Units")], title="orders opened and closed on days with the month first")
    sheet("bill-and-work.xlsx", [["Unit", "Invoice date", "Work date", "Odometer", "Work", "Work not done"], ["U1", "15/04/2026", "25/03/2026", 80000, "oil service", "timing chain replacement"], ["U2", "16/04/2026", "26/03/2026", 70000, "tyres", N]], ["orders", "date-text"], {"Units": BOTH, "Fleet": BOTH},
          {"U1": {"repairs": ["timing chain replacement", "oil service"], "repair_days": ["2026-03-25", "2026-03-25"], "statuses": ["recommended", ""]}, "U2": {"repair_days": ["2026-03-26"], "statuses": [""]}}, more=[FLEET], title="the day of the work beside that of the bill, and what was not done")
    sheet("reading-types.xlsx", [["Unit", "Date", "Odometer", "Reading type"], ["U1", "2026-08-31", 79000, "Actual"], ["U1", "2026-09-30", 82500, "Estimated"], ["U2", "2026-09-30", 70000, "Actual"]], ["distances"], {"Units": account(2, aside=1, blank=1), "Fleet": BOTH}, {"U1": {"km": [79000]}, "U2": {"km": [70000]}}, more=[FLEET],
          issues=[issue(3, "noted", "does not show the true distance", "Reading type", sheet="Units")], title="readings that a meter gave, and estimates")
    text("texts-as-formulas.csv", 'Unit,Model,VIN,Odometer\n="0817",Heron,VIN: %s,="80000"\n="0818",Teal,%s,="70000"\n' % (vin(817), vin(818)), ["leading-zeros", "vin-pieces"], BOTH, {"0817": {"vin": vin(817), "km": [80000]}, "0818": {"vin": vin(818), "km": [70000]}}, title="texts that are written as formulas to keep their zeros, and a VIN behind its name")
    text("apostrophes.csv", "Unit;Model;Odometer\n'0917;Heron;'80000\n'0918;Teal;'70000\n", ["leading-zeros"], BOTH, {"0917": {"km": [80000]}, "0918": {"km": [70000]}}, title="the apostrophe by which a program was told that a text follows")
    sheet("tasks.xlsx", [["Unit", "Created", "Due", "Task"], ["U1", "2026-03-02", "2026-12-02", "Replace timing chain"], ["U2", "2026-03-03", "2026-12-03", "Tyres"]], ["orders"], {"Units": BOTH, "Jobs": account(3, blank=1), "Lines": account(3, blank=1), "Fleet": BOTH}, {"U1": {"statuses": ["recommended", "done", "declined"]}, "U2": {"statuses": ["recommended", "recommended", "done", "", ""]}},
          more=[("Jobs", [["Unit", "Date", "Job", "Done"], ["U1", "2026-03-02", "replace timing chain", "x"], ["U2", "2026-03-03", "replace timing chain", N], ["U2", "2026-03-03", "tyres", "X"]]), ("Lines", [["Unit", "Date", "Work", "Deleted"], ["U1", "2026-03-02", "timing chain replaced", "x"], ["U2", "2026-03-03", "tyres", N], ["U2", "2026-03-04", "wash", N]]), FLEET],
          issues=[issue(2, "noted", 'as "Due" says', value="Due", sheet="Units"), issue(3, "noted", 'has nothing in "Done"', "Done", sheet="Jobs")], title="tasks that are due, and crosses for what was done or taken out")
    text("hires.csv", "Booking;Unit;Model;From;To;Km out;Km in\n1;U1;Heron;2026-09-01;2026-09-05;80000;80420\n2;U2;Teal;2026-09-02;2026-09-03;70000;70110\n", ["distances"], BOTH, {"U1": {"km": [80420]}, "U2": {"km": [70110]}}, asks=['"To" (column E)', "To: odometer_date"], title="a list of hires with two days and two readings")
    text("hundreds.csv", "Unit;Model;Odometer (x100 km)\nU1;Heron;800\nU2;Teal;701\n", ["distances"], BOTH, {"U1": {"km": [80000]}, "U2": {"km": [70100]}}, title="an odometer in hundreds of km")
    text("test-list.csv", "Registration;Model;Test date;Result;Odometer;Advisories\nNF001;Heron;2026-03-02;Pass;80000;Front brake pads worn\nNF002;Teal;2026-03-03;Pass;70000;\n", ["unknown-heading"], BOTH, {"NF001": {"km": [80000], "statuses": ["recommended"]}, "NF002": {"repairs": []}}, asks=["Test date", "odometer_date"], title="tests of vehicles with what was advised, and a day under a heading that may be another's")
