"""What was taken in silence for more than it says: orders that nobody closed, the first of two readings, readings that nobody answers for, estimates; and further files written with what they ought
to be read as before they were read."""
from make_base import *
from make_reports import sheet, text

N = None
FLEET = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])


def make():
    orders()
    ends()
    readings()
    blocks()
    names()
    one_figure()
    pieces()
    fresh()
    fresher()
    sheet_a_vehicle()


def orders():
    sheet("orders-not-closed.xlsx", [["Unit", "Order", "Opened", "Closed", "Work", "Odometer"], ["U1", 1, "2026-03-02", "2026-03-05", "oil service", 79000], ["U1", 2, "2026-11-20", N, "replace timing chain", 91000], ["U2", 3, "2026-04-02", "2026-04-07", "tyres", 70000]], ["orders"],
          {"Units": account(3, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"repairs": ["oil service", "replace timing chain"], "repair_days": ["2026-03-05", "2026-11-20"], "statuses": ["", "recommended"]}, "U2": {"repair_days": ["2026-04-07"], "statuses": [""]}}, more=[FLEET],
          issues=[issue(3, "noted", '1 row has no day in "Closed"', "Closed", sheet="Units")], title="an order without a day of closing is no repair done")
    sheet("orders-completed.xlsx", [["Unit", "Date", "Completed", "Work"], ["U1", "2026-03-02", "2026-03-05", "oil service"], ["U1", "2026-11-20", "2026-11-30", "replace timing chain"], ["U2", "2026-04-02", "2026-04-07", "tyres"]], ["orders"],
          {"Units": account(3, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"repair_days": ["2026-03-05", "2026-11-20"], "statuses": ["", "recommended"]}}, more=[FLEET], title="work that is done after the day of the run is not done")
    sheet("orders-in-and-out.xlsx", [["Unit", "Date in", "Date out", "Work", "Status"], ["U1", "2026-03-02", "2026-03-05", "oil service", "Closed"], ["U1", "2026-11-20", N, "replace timing chain", "WIP"], ["U2", "2026-04-02", "2026-04-07", "tyres", "Closed"], ["U2", "2026-11-21", N, "brake pads", "Awaiting parts"], ["U1", "2026-05-02", "2026-05-03", "tyres", "Closed"],
          ["U2", "2026-11-22", N, "wash", "Done"]], ["orders"], {"Units": account(6, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"repair_days": ["2026-03-05", "2026-11-20", "2026-05-03"], "statuses": ["done", "recommended", "done"]}, "U2": {"statuses": ["done", "recommended", "done"]}}, more=[FLEET],
          title="the days of coming in and going out, and a status that has the last word")
    sheet("orders-one-day.xlsx", [["Unit", "Date completed", "Work"], ["U1", "2026-03-05", "oil service"], ["U1", N, "replace timing chain"], ["U2", "2026-04-07", "tyres"]], ["orders"], {"Units": account(3, blank=1), "Fleet": account(2, blank=1)},
          {"U1": {"statuses": ["", "recommended"]}, "U2": {"statuses": [""]}}, more=[FLEET], issues=[issue(3, "noted", 'no day in "Date completed"', sheet="Units")], title="a list with nothing but the day of completion")
    sheet("orders-rarely-closed.xlsx", [["Unit", "Date", "Completed on", "Work"], ["U1", "2026-03-02", "2026-03-05", "oil service"], ["U1", "2026-03-20", N, "timing chain replaced"], ["U2", "2026-04-02", N, "tyres"]], ["orders"], {"Units": account(3, blank=1), "Fleet": account(2, blank=1)},
          {"U1": {"statuses": ["", ""], "repair_days": ["2026-03-02", "2026-03-20"]}}, more=[FLEET], asks=["blank on most rows", '"Completed on": closed'], title="a day of completion that hardly anybody fills in is asked about")


def ends():
    sheet("odometer-in-and-out.xlsx", [["Unit", "Date", "Work", "Odometer in", "Odometer out"], ["U1", "2026-03-02", "oil service", 79000, 79012], ["U1", "2026-04-02", "tyres", 81000, N], ["U2", "2026-04-02", "tyres", 70000, 70020]], ["distances"], {"Units": account(3, blank=1), "Fleet": account(2, blank=1)},
          {"U1": {"repair_km": [79012, 81000]}, "U2": {"repair_km": [70020]}}, more=[FLEET], issues=[issue(1, "noted", '"Odometer out" shows more and is read', "Odometer out", sheet="Units")], title="the odometer on coming in and on going out")
    text("hire-returns.csv", "Unit;Model;km-Stand Abholung;km-Stand Rückgabe;Datum\nU1;Heron;79000;80000;30.09.2026\nU2;Teal;89000;90000;29.09.2026\n", ["distances", "language"], account(2, blank=1), {"U1": {"km": [80000]}, "U2": {"km": [90000]}}, issues=[issue(1, "noted", "Rückgabe")], title="the odometer at both ends of a hire")
    text("hire-out-and-in.csv", "Unit;Model;Mileage out (miles);Mileage in (miles)\nU1;Heron;49000;50000\nU2;Teal;59000;60000\n", ["distances"], account(2, blank=1), {"U1": {"km": [80467]}, "U2": {"km": [96561]}}, issues=[issue(1, "noted", '"Mileage in (miles)" shows more')], title="a hire desk's out comes before its in")
    text("ends-mixed.csv", "Unit;Model;Odometer in;Odometer out\nU1;Heron;79000;80000\nU2;Teal;90000;89000\n", ["distances"], account(2, blank=1), {"U1": {"km": []}, "U2": {"km": []}}, asks=["neither is used", '"Odometer out": odometer'], title="two readings of which now one shows more, now the other")


def readings():
    v = [vin(n) for n in range(1, 11)]
    lots = [("80000", "Actual", ""), ("90000", "NOT ACTUAL", ""), ("91000", "Exempt", ""), ("92000 TMU", "", ""), ("93000", "", "TMU, sold as is"), ("exempt", "", ""), ("~92,400 km", "", ""), ("ca. 92 400", "", ""), ("92,400 (est.)", "", ""), ("94000", "Exceeds mechanical limits", "")]
    text("odometer-status.csv", "Lot;VIN;Make;Model;Odometer km;Odometer status;Announcements\n" + "".join(f"{n};{v[n - 1]};Northfold;Heron;{km};{status};{told}\n" for n, (km, status, told) in enumerate(lots, 1)), ["distances", "numbers-as-text"], account(10, blank=1),
         {v[0]: {"km": [80000]}, **{x: {"km": []} for x in v[1:]}}, issues=[issue(3, "noted", "3 rows, from this one on", "Odometer status"), issue(6, "noted", "1 row says", "Announcements"), issue(5, "noted", "not to be the true distance", "Odometer km"), issue(7, "noted", "not to be the true distance"),
         issue(8, "noted", "is an estimate"), issue(9, "noted", "is an estimate"), issue(10, "noted", "is an estimate")], title="readings that nobody answers for, and estimates")


def blocks():
    lines = [["Unit", "Date", "Work", "Cost"], ["U1", "2026-03-02", "oil service", 200], [N, "2026-04-25", "timing chain replaced", 900], [N, N, "idler replaced", 50], ["U2", "2026-05-02", "brake pads", 90], [N, "2026-05-03", "tyres", 400], ["U3", "2026-06-01", "wash", 10], ["Total", N, N, 1650]]
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"], ["U3", "Northfold", "Teal"]])
    sheet("blocks.xlsx", lines, ["blocks"], {"Units": account(6, aside=1, blank=1), "Fleet": account(3, blank=1)}, {"U1": {"repairs": ["oil service", "timing chain replaced", "idler replaced"], "repair_days": ["2026-03-02", "2026-04-25", "2026-04-25"]}, "U2": {"repairs": ["brake pads", "tyres"]}, "U3": {"repairs": ["wash"]}},
          more=[fleet], notes=["3 rows below were read as of the vehicle above them"], title="each vehicle is named on the first row of its block")
    sheet("blocks-name-alone.xlsx", [["Unit", "Date", "Odometer"], ["U1", N, N], [N, "2026-03-02", 79000], [N, "2026-04-02", 80000], ["U2", N, N], [N, "2026-03-02", 89000], [N, "2026-04-02", 90000]], ["blocks"], {"Units": account(4, aside=0, rejected=2, blank=1), "Fleet": account(3, blank=1)},
          {"U1": {"km": [79000, 80000]}, "U2": {"km": [89000, 90000]}}, more=[fleet], notes=["4 rows below were read"], title="each vehicle's name alone on the row above its readings")
    sheet("names-forgotten.xlsx", [["Unit", "Date", "Work"], ["U1", "2026-03-02", "oil service"], [N, "2026-04-25", "timing chain replaced"], ["U2", "2026-05-02", "brake pads"], [N, "2026-05-03", "tyres"], ["U1", "2026-06-01", "wash"]], ["blocks"], {"Units": account(3, rejected=2, blank=1), "Fleet": account(3, blank=1)},
          {"U1": {"repairs": ["oil service", "wash"]}, "U2": {"repairs": ["brake pads"]}}, more=[fleet], issues=[issue(3, "rejected", "names no vehicle", sheet="Units")], title="a vehicle that is named twice shows that names were forgotten")


def names():
    text("models-as-powers.csv", "Unit;Make;Model;Model year;Odometer\nU1;Northfold;3.00E+05;MY17;80000\nU2;Northfold;5008.0;17;90000\n", ["spreadsheet-names"], account(2, blank=1), {"U1": {"model": "", "year": 2017}, "U2": {"model": "5008", "year": 0}},
         issues=[issue(2, "noted", "a power of ten", "Model", "3.00E+05"), issue(3, "noted", "no model year", "Model year", "17")], title="models that a spreadsheet program took for numbers, and model years with their mark")
    text("hours-by-month.csv", "Unit;Model;Jan 2026;Feb 2026;Mar 2026\nU1;Heron;8000;8150;8290\nU2;Teal;6400;6580;6700\n", ["pivot"], account(2, blank=1), {"U1": {"km": []}, "U2": {"km": []}}, asks=["Jan 2026", "ignore"], title="figures that rise by no more than the hours of a month may be an hour meter's")


def one_figure():
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])
    signals = [["Unit", "Date", "Metric", "Value", "Unit of measure"], ["U1", "2026-09-30", "Odometer", 80000, "km"], ["U1", "2026-09-30", "Engine hours", 1200, "h"], ["U1", "2026-09-30", "Fuel level", 44, "%"], ["U2", "2026-09-30", "Odometer", 50000, "mi"], ["U2", "2026-09-30", "Battery voltage", 12.4, "V"]]
    sheet("one-figure-a-row.xlsx", signals, ["one-figure"], {"Units": account(3, aside=2, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"km": [80000], "hours": [1200]}, "U2": {"km": [80467], "hours": []}}, more=[fleet], notes=['nothing is read of "Battery voltage" (1 row), "Fuel level" (1 row)'], title="one figure a row, and beside it what it is")
    v = [vin(n) for n in (1, 2)]
    text("signals-alone.csv", "VIN;Model;Timestamp;Signal;Reading\n" + "".join(f"{u};{m};2026-09-30T05:00:00Z;{what};{x}\n" for u, m, what, x in ((v[0], "Heron", "Total distance (km)", "80000.4"), (v[0], "Heron", "Engine hours", "1200"), (v[1], "Teal", "Total distance (km)", "90000"), (v[1], "Teal", "DTC", "P0299"))),
         ["one-figure"], account(3, merged=1, blank=1), {v[0]: {"model": "Heron", "km": [80000.4], "hours": [1200]}, v[1]: {"km": [90000]}}, notes=['nothing is read of "DTC" (1 row)'], title="signals of a telematics unit and no other list")
    sheet("units-of-measure.xlsx", [["Unit", "Reading date", "Reading", "UoM"], ["U1", "2026-09-30", 80000, "km"], ["U1", "2026-09-30", 1200, "h"], ["U2", "2026-09-30", 90000, "km"]], ["one-figure"], {"Units": account(3, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"km": [80000], "hours": [1200]}, "U2": {"km": [90000]}}, more=[fleet],
          title="the unit tells an hour meter from an odometer")
    sheet("hours-among-km.xlsx", [["Unit", "Model", "Odometer", "Odometer unit"], ["U1", "Heron", 80000, "km"], ["U2", "Teal", 1200, "h"], ["U3", "Teal", 90000, "km"], ["U4", "Teal", 91000, "km"], ["U5", "Teal", 92000, "km"]], ["one-figure"], account(5, blank=1), {"U1": {"km": [80000], "hours": []}, "U2": {"km": [], "hours": [1200]}},
          title="hours under a column of odometers")


def pieces():
    text("vin-serial-zeros.csv", "Unit;VIN 1-11;VIN 12-17;Model;Odometer\nU1;Z9KHA11B5HK;100001;Heron;80000\nU2;Z9KHA11B5HK;1234;Teal;90000\nU3;Z9KHA11B5HK;100003;Teal;91000\n", ["vin-pieces"], account(3, blank=1), {"U2": {"vin": "Z9KHA11B5HK001234"}, "U3": {"vin": vin(3)}}, issues=[issue(1, "noted", "has lost zeros", "VIN 12-17")],
         notes=["hold pieces of a VIN"], title="the serial of a VIN in pieces has lost its zeros")
    text("financial-years.csv", "Unit;Model;FY25/26 Q1;FY25/26 Q2;FY25/26 Q3\nU1;Heron;80000;83000;86000\nU2;Teal;90000;94000;99000\n", ["pivot"], account(2, blank=1), {"U1": {"km": []}}, asks=["financial years", "FY25/26 Q1"], title="quarters of a financial year")


def fresh():
    """Files written with what they ought to be read as before they were read; these were read otherwise."""
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"], ["U3", "Northfold", "Teal"]])
    both = lambda n: {"Units": account(n, blank=1), "Fleet": account(3, blank=1)}
    sheet("miles-and-days.xlsx", [["Fleet list"], ["Fleet No", "Model", "Odo (mi) 31/10/26", "Odo (mi) 30/11/26"], ["U1", "Heron", 80000, 81000], ["U2", "Teal", 50000, 50900]], ["pivot"], account(2, blank=2), {"U1": {"km": [128748, 130357], "days": ["2026-10-31", "2026-11-25"]}, "U2": {"km": [80467, 81916]}}, title="miles before a day are no Wednesday")
    text("padded-thousands.csv", "Lot,VIN,Make,Model,Miles\n1,%s,Northfold,Heron,82K\n2,%s,Northfold,Heron,\"082,000\"\n3,%s,Northfold,Teal,82k mi\n" % (vin(1), vin(2), vin(3)), ["numbers-as-text"], account(3, blank=1), {v: {"km": [131966]} for v in (vin(1), vin(2), vin(3))}, title="thousands with a zero in front, and thousands as K")
    sheet("document-types.xlsx", [["Unit", "Date", "Doc type", "Doc no", "Description", "Amount"], ["U1", "2026-03-02", "Invoice", "I1", "timing chain replaced", 900], ["U2", "2026-03-03", "Estimate", "E1", "timing chain replaced", 900], ["U3", "2026-03-04", "Quote", "E2", "timing chain replaced", 900], ["U3", "2026-03-05", "Credit note", "C2", "timing chain replaced", -900]],
          ["orders"], both(4), {"U1": {"statuses": ["done"]}, "U2": {"statuses": ["recommended"]}, "U3": {"statuses": ["recommended", "declined"]}}, more=[fleet], title="estimates and credit notes among invoices")
    sheet("approved.xlsx", [["Unit", "Date", "Work", "Approved?"], ["U1", "2026-03-02", "timing chain replaced", "Y"], ["U2", "2026-03-03", "timing chain replaced", "N"]], ["orders"], both(2), {"U1": {"statuses": [""]}, "U2": {"statuses": ["declined"]}}, more=[fleet], title="work that was not approved")
    sheet("claims.xlsx", [["Unit", "Claim date", "Claim status", "Repair description"], ["U1", "2026-03-02", "Approved", "timing chain replaced"], ["U2", "2026-03-03", "Rejected", "timing chain replaced"], ["U3", "2026-03-04", "Submitted", "timing chain replaced"]], ["orders"], both(3), {"U1": {"statuses": [""], "repair_days": ["2026-03-02"]}, "U2": {"statuses": ["declined"]}, "U3": {"statuses": ["recommended"]}},
          more=[fleet], title="warranty claims by how they stand")
    sheet("defect-log.xlsx", [["Date", "Unit", "Defect", "Rectified?"], ["2026-09-01", "U1", "brake squeal", "N"], ["2026-09-02", "U2", "wiper torn", "Y"]], ["orders", "unknown-heading"], both(2), {"U1": {"repairs": ["brake squeal"], "statuses": ["declined"]}, "U2": {"statuses": ["done"]}}, more=[fleet], holds={"Units": ["repairs"]}, title="a driver's log of defects")
    text("query-output.csv", "Unit,Model,Odometer\n----,-----,--------\nU1,Heron,80000\nU2,Teal,NULL\n\n(2 rows affected)\n\nCompletion time: 2026-11-25T08:00:00\n", ["totals"], account(2, aside=2, blank=4), {"U1": {"km": [80000]}, "U2": {"km": []}}, title="what a database program writes around a table")
    text("ruled-table.txt", "-----------------------------------------\n| Equipment | Modell | Zählerstand | Einh. | Datum      |\n-----------------------------------------\n| U1        | Heron  |  80.000,000 | KM    | 30.09.2026 |\n| U2        | Teal   |  90.000,000 | KM    | 29.09.2026 |\n-----------------------------------------\n", ["totals"], account(2, blank=4),
         {"U1": {"km": [80000], "days": ["2026-09-30"]}, "U2": {"km": [90000]}}, title="a table drawn with strokes")
    text("broken-headings.csv", '"Fleet\nNo.*";"Kilo-\nmeter-\nstand²";"Modell¹";"Datum\nkm-Stand"\nU1;80000;Heron;30.09.2026\nU2;90000;Teal;29.09.2026\n', ["unknown-heading"], account(2, blank=1), {"U1": {"km": [80000], "model": "Heron", "days": ["2026-09-30"]}}, title="headings with words broken at the line's end, and marks of foot notes")
    sheet("fuel-card.xlsx", [["Card", "Unit", "Date", "Product", "Litres", "Odometer entered"], ["1", "U1", "2026-09-01", "Diesel", 50, 80000], ["1", "U1", "2026-09-08", "Diesel", 50, 0], ["1", "U1", "2026-09-22", "Diesel", 50, 81500], ["2", "U2", "2026-09-22", "Diesel", 50, 5000]], ["distances"], {"Units": account(3, aside=1, blank=1), "Fleet": account(3, blank=1)},
          {"U1": {"km": [80000, 81500]}, "U2": {"km": [5000]}}, more=[fleet], issues=[issue(3, "noted", "an odometer of 0", "Odometer entered", sheet="Units")], title="what drivers enter at the pump")
    text("km-and-hours.csv", "Unit;Model;Odometer / hours\nU1;Heron;80000 km / 1200 h\nU2;Teal;90000 km\nU3;Teal;1300 h\n", ["one-figure"], account(3, blank=1), {"U1": {"km": [], "hours": []}}, asks=["names a distance and hours"], title="distances and hours in one column")
    text("units-as-days.csv", "Unit;Model;Odometer\n10-Mar;Heron;Km 80000\nU2;Teal;90000KM.\n", ["spreadsheet-names"], account(2, blank=1), {"10-Mar": {"km": [80000]}, "U2": {"km": [90000]}}, issues=[issue(2, "noted", "taken for the unit as it stands", "Unit", "10-Mar")], title="a unit that a spreadsheet program turned into a day, and units in front of figures")


def fresher():
    """A second round of the same."""
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])
    both = lambda n, **more: {"Units": account(n, blank=more.pop("blank", 1), **more), "Fleet": account(2, blank=1)}
    sheet("quotation.xlsx", [["Quotation 4711"], ["Unit", "Date", "Description", "Price"], ["U1", "2026-03-02", "timing chain replaced", 900], ["U2", "2026-03-03", "brake pads replaced", 200]], ["orders"], both(2, blank=2), {"U1": {"statuses": ["recommended"]}, "U2": {"statuses": ["recommended"]}}, more=[fleet],
          issues=[issue(3, "noted", 'as "Quotation 4711" says', sheet="Units")], title="a quotation is no work done")
    sheet("planned-dates.xlsx", [["Unit", "Planned date", "Work"], ["U1", "2026-03-02", "timing chain replacement"], ["U2", "2026-12-03", "timing chain replacement"]], ["orders"], both(2), {"U1": {"statuses": ["recommended"]}, "U2": {"statuses": ["recommended"]}}, more=[fleet], issues=[issue(2, "noted", 'as "Planned date" says', sheet="Units")],
          title="work that has nothing but a planned day")
    sheet("planned-maintenance.xlsx", [["Planned maintenance 2026"], ["Unit", "Date", "Work"], ["U1", "2026-03-02", "timing chain replacement"], ["U2", "2026-03-03", "oil service"]], ["orders"], both(2, blank=2), {"U1": {"statuses": [""]}, "U2": {"statuses": [""]}}, more=[fleet], title="planned maintenance is done too")
    sheet("void-rows.xlsx", [["Unit", "Date", "Work", "Void"], ["U1", "2026-03-02", "timing chain replaced", "Y"], ["U2", "2026-03-03", "timing chain replaced", "N"]], ["orders"], both(2), {"U1": {"statuses": ["declined"]}, "U2": {"statuses": [""]}}, more=[fleet], title="rows that were made void")
    sheet("codes-numbered.xlsx", [["Unit", "Date", "DTC1", "DTC2", "DTC Count", "Odometer"], ["U1", "2026-09-01", "P0299", "P0301", 2, 80000], ["U2", "2026-09-01", N, N, 0, 90000]], ["unknown-heading"], both(2), {"U1": {"codes": 2}, "U2": {"codes": 0, "km": [90000]}}, more=[fleet], holds={"Units": ["codes"]}, title="codes in numbered columns")
    text("tests.csv", "Reg;Model;Test date;Test mileage (miles);Test result\nAB12CDE;Heron;2026-09-01;50000;PASS\nAB13CDE;Teal;2026-09-02;60000;FAIL\n", ["distances"], account(2, blank=1), {"AB12CDE": {"km": [80467], "days": ["2026-09-01"]}, "AB13CDE": {"days": ["2026-09-02"]}}, title="the day of a test is that of the mileage at the test")
    text("groups-with-figures.csv", "Unit;Model;Odometer\nDepot North;;\nU1;Heron;80000\nSubtotal North;;80000\nDepot South 2;;\nU2;Teal;90000\nSubtotal South 2;;90000\nGrand total;;170000\n", ["totals"], account(2, aside=5, blank=1), {"U1": {}, "U2": {"km": [90000]}}, title="the heading of a group with a figure in it")
    text("status-with-day.csv", "Unit;Model;Odometer;Status\nU1;Heron;80000;Sold 03/2026\nU2;Teal;90000;VOR since 12/11\nU3;Teal;91000;In use\n", ["numbers-in-text"], account(2, aside=1, blank=1), {"U2": {"km": [90000]}, "U3": {"km": [91000]}}, issues=[issue(2, "set aside", "sold: listed nowhere")], title="statuses with their day")
    sheet("percent-complete.xlsx", [["Unit", "Date", "Work", "% complete"], ["U1", "2026-03-02", "timing chain replaced", 100], ["U2", "2026-03-03", "timing chain replaced", 0], ["U1", "2026-03-04", "tyres", 50]], ["orders"], both(3), {"U1": {"statuses": ["done", "recommended"]}, "U2": {"statuses": ["recommended"]}}, more=[fleet], title="how much of the work was done")
    text("units-of-meters.csv", "Unit;Model;Meter reading;Meter unit\nU1;Heron;80000;KM\nU2;Teal;1200;HR\nU3;Teal;50000;MI\n", ["one-figure"], account(3, blank=1), {"U1": {"km": [80000]}, "U2": {"km": [], "hours": [1200]}, "U3": {"km": [80467]}}, title="kilometres, hours and miles by a column of units")
    text("mileage-as-at.csv", "Unit;Model;Mileage as at 30/09/2026 (miles)\nU1;Heron;50000\nU2;Teal;60000\n", ["distances"], account(2, blank=1), {"U1": {"km": [80467], "days": ["2026-09-30"]}, "U2": {"km": [96561]}}, title="the odometer's heading states its day")
    text("reading-of-a-day.csv", "Fzg.-Nr.;Modell;km-Stand vom 30.09.2026\nU1;Heron;80000\nU2;Teal;90000\n", ["distances"], account(2, blank=1), {"U1": {"km": [80000], "days": ["2026-09-30"]}}, title="the same in German")
    sheet("scan-failed.xlsx", [["Unit", "Date", "Codes", "Scan status"], ["U1", "2026-09-01", "none", "OK"], ["U2", "2026-09-01", "none", "No communication"], ["U1", "2026-09-02", "P0299", "Failed on body module"]], ["codes-in-one-cell"], {"Units": account(2, aside=1, blank=1), "Fleet": account(2, blank=1)}, {"U1": {"scans": 2, "codes": 1}, "U2": {"scans": 0}}, more=[fleet],
          issues=[issue(3, "set aside", "said to have failed", sheet="Units")], title="a scan that failed found nothing, and that says nothing")


def sheet_a_vehicle():
    fleet = ("Fleet", [["Fleet no.", "Make", "Model"], ["U1", "Northfold", "Heron"], ["U2", "Northfold", "Teal"]])
    jobs = lambda n: [["Date", "Odometer", "Work"], ["2026-03-02", n, "oil service"], ["2026-04-02", n + 1000, "timing chain replaced"]]
    write("sheet-a-vehicle.xlsx", book([(n, sheet_xml(rows(t))) for n, t in (fleet, ("U1", jobs(79000)), ("U2", jobs(89000)), ("U9", jobs(1000)), ("Sheet1", jobs(2000)))]))
    case("a sheet a vehicle, called after it", "sheet-a-vehicle.xlsx", ["one-vehicle"], "by hand", {"Fleet": account(2, blank=1), "U1": account(2, blank=1), "U2": account(2, blank=1), "U9": account(0, aside=2, blank=1), "Sheet1": account(0, aside=3)},
         {"U1": {"repairs": ["oil service", "timing chain replaced"], "repair_km": [79000, 80000]}, "U2": {"repair_km": [89000, 90000]}}, notes=["the name of the sheet is taken for its unit: U1"], issues=[issue(2, "set aside", "unit U9 is on no vehicle sheet", sheet="U9"), issue(1, "set aside", "no column says which vehicle", sheet="Sheet1")])
    card = lambda unit, n: [["Vehicle card"], ["Fleet no.:", unit], ["Make:", "Northfold"], [N], ["Date", "Odometer", "Work"], ["2026-03-02", n, "oil service"], ["2026-04-02", n + 1000, "timing chain replaced"]]
    sheet("vehicle-card.xlsx", card("U1", 79000), ["one-vehicle"], {"Units": account(2, blank=5), "Fleet": account(2, blank=1)}, {"U1": {"repairs": ["oil service", "timing chain replaced"]}, "U2": {"repairs": []}}, more=[fleet], notes=["the one named above the table: U1"], title="a card that names its vehicle above the table")
    text("card.csv", "Registration: AB12 CDE;;\nDate;Odometer;Work\n2026-03-02;79000;tyres\n", ["one-vehicle"], account(0, aside=1, blank=2), {}, nothing=True, notes=["the one named above the table: AB12 CDE"], issues=[issue(3, "set aside", "registration AB12 CDE is on no vehicle sheet")], title="a card of a vehicle that is on no list")
