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
    text("encoded-twice.csv", "Fahrzeug-Nr.;Modell;Kilometerstand;Standort;Störung\nU1;Heron;80000;Köln;Motor läuft rauh, Ölverlust\nU2;Teal;90000;Köln;Prüfung nötig – bald\n".encode().decode("cp1252"), ["encoding"], BOTH, {"U1": {"depot": "Köln", "remarks": ["Motor läuft rauh, Ölverlust"]}, "U2": {"remarks": ["Prüfung nötig – bald"]}},
         notes=["5 cells were encoded twice"], title="UTF-8 that was read as windows-1252 and saved again")


def messages():
    sheet("one-row-each.xlsx", [["Unit", "Date", "Work"], ["U1, U2", "2026-03-02", "oil service"], ["U1 to U2", "2026-03-03", "tyres"], ["all", "2026-03-04", "wash"], ["U1", "02.03.2026 - 05.03.2026", "timing chain replaced"], ["U2", "02-05.03.2026", "brake pads"], ["U2", "2026-03-06", "wash"]], ["joined-names", "date-text"],
          {"Units": account(1, aside=3, rejected=2, blank=1), "Checks": account(1, rejected=1, blank=1), "Fleet": BOTH}, {"U1": {"repairs": []}, "U2": {"repairs": ["wash"]}}, more=[("Checks", [["Unit", "Date", "Part", "Condition"], ["U1", "2026-03-02", "timing chain", "amber"], ["U2", "2026-03-02", "timing chain", "worn"]]), FLEET],
          issues=[issue(2, "set aside", "names several vehicles", value="U1, U2", sheet="Units"), issue(3, "set aside", "names several vehicles", sheet="Units"), issue(4, "set aside", "names several vehicles", sheet="Units"), issue(5, "rejected", "names two days", "Date", sheet="Units"), issue(6, "rejected", "names two days", "Date", sheet="Units"),
                  issue(2, "rejected", "is a colour", "Condition", "amber", "Checks")], title="several vehicles, two days or a colour in a cell")
