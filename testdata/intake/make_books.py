"""Workbooks whose cells are odd: by hand, where a program would put them right."""
from make_base import *

UNITS = ["Unit", "VIN", "Model", "Odometer"]


def one(name, table, points, sheets, vehicles, title=None, data=None, **more):
    write(name, data if data is not None else plain_book(table))
    case(title or name, name, points, "by hand", sheets, vehicles, **more)


def make():
    one("serial-or-distance.xlsx", [["Unit", "Model", "Odometer", "Odometer date"], ["U1", "Heron", 45000, 45000], ["U2", "Teal", 46000, 46000]], ["no-style"],
        {"Units": account(used=2, blank=1)}, {"U1": {"km": [45000], "days": ["2023-03-15"]}, "U2": {"km": [46000], "days": ["2025-12-09"]}},
        title="45000 is a date under one heading and a distance under another")
    one("vin-as-number.xlsx", [UNITS, ["U1", ("", "<v>1.2345678901234501E16</v>"), "Heron", 81000], ["U2", ("", "<v>12345678901234500</v>"), "Heron", 82000], [None, ("", "<v>1.2345678901234501E16</v>"), "Heron", 83000], ["U4", vin(4), "Heron", 84000]],
        ["vin-number"], {"Units": account(used=3, rejected=1, blank=1)}, {"U1": {"vin": "", "km": [81000]}, "U2": {"vin": "", "km": [82000]}, "U4": {"vin": vin(4)}},
        issues=[issue(2, "set aside", "was not text", "VIN", "1.2345678901234501E16", "Units"), issue(3, "set aside", "was not text", "VIN", "12345678901234500", "Units"),
                issue(4, "rejected", "was not text", "VIN", "1.2345678901234501E16", "Units")])
    zeros = book([("Units", sheet_xml(rows([["Unit", "Model"], [123, "Heron"], [4567, "Teal"]]))),
                  ("Repairs", sheet_xml(rows([["Unit", "Date", "Work"], ["00123", "2026-03-02", "oil service"], ["04567", "2026-03-03", "tyres"]])))])
    one("leading-zeros.xlsx", None, ["leading-zeros"], {"Units": account(used=2, blank=1), "Repairs": account(used=2, blank=1)},
        {"123": {"repairs": ["oil service"]}, "4567": {"repairs": ["tyres"]}}, data=zeros)
    floats = [["Unit", "Model", "Odometer", "Engine hours"], ["U1", "Heron", ("", "<v>123456.00000000001</v>"), ("", "<v>0.30000000000000004</v>")], ["U2", "Heron", ("", "<v>1E5</v>"), ("", "<v>1.2345E3</v>")]]
    one("raw-floats.xlsx", floats, ["raw-floats"], {"Units": account(used=2, blank=1)}, {"U1": {"km": [123456], "hours": [0.3]}, "U2": {"km": [100000], "hours": [1234.5]}})
    odd = [["Unit", "Date", "Odometer"], ["U1", 60, 80000], ["U1", 0.5, 80100], ["U1", ("d", "<v>2026-03-02T00:00:00</v>"), 80200], ["U1", ("d", "<v>2026-03-03</v>"), 80300]]
    one("odd-serials.xlsx", None, ["serial-60"], {"Units": account(used=1, blank=1), "Readings": account(used=2, rejected=2, blank=1)},
        {"U1": {"km": [80200, 80300], "days": ["2026-03-02", "2026-03-03"]}}, data=book([("Units", sheet_xml(rows([["Unit", "Model"], ["U1", "Heron"]]))), ("Readings", sheet_xml(rows(odd)))]),
        issues=[issue(2, "rejected", "29 February 1900", "Date", "60", "Readings"), issue(3, "rejected", "time", "Date", "0.5", "Readings")])
    errors = [UNITS + ["Runs"], [("str", "<f>A9</f><v>U1</v>"), ("e", "<v>#N/A</v>"), ("e", "<v>#REF!</v>"), ("e", "<v>#DIV/0!</v>"), ("b", "<v>1</v>")], ["U2", vin(2), ("e", "<v>#NAME?</v>"), 82000, ("b", "<v>0</v>")]]
    one("error-cells.xlsx", errors, ["error-cells"], {"Units": account(used=2, blank=1)}, {"U1": {"vin": "", "model": "", "km": []}, "U2": {"vin": vin(2), "model": "", "km": [82000]}},
        notes=['1 cell of "VIN" holds a spreadsheet error', '2 cells of "Model" hold a spreadsheet error'])
    gaps = rows([["Unit", "Model", "Depot", "Odometer"], ["U1", "Heron"], ["U2", None, "North"], ["U3", "Teal", None, 83000]], [3, 5, 9, 10])
    one("gaps.xlsx", None, ["gaps"], {"Units": account(used=3, blank=1)}, {"U1": {"model": "Heron", "row": 5}, "U2": {"depot": "North", "row": 9}, "U3": {"km": [83000], "row": 10}}, data=book([("Units", sheet_xml(gaps))]))
    styled = rows([UNITS, ["U1", vin(1), "Heron", 80001]]) + "".join(f'<row r="{n}" ht="15" customHeight="1"><c r="A{n}" s="0"/><c r="B{n}" s="0"/></row>' for n in range(3, 2003))
    one("styled-blank-rows.xlsx", None, ["blown-up"], {"Units": account(used=1, blank=2001)}, {"U1": {"km": [80001]}}, data=book([("Units", sheet_xml(styled))]))
    for name, ref in (("small", "A1"), ("large", "A1:XFD1048576"), ("nonsense", "Q9:B2")):
        body = sheet_xml(rows([UNITS] + [[f"U{n}", vin(n), "Heron", 80000 + n] for n in range(1, 4)]), before=f'<dimension ref="{ref}"/>')
        one(f"dimension-{name}.xlsx", None, ["dimension"], {"Units": account(used=3, blank=1)}, {"U3": {"vin": vin(3), "km": [80003]}}, data=book([("Units", body)]))
    strings = ("<si><r><rPr><b/></rPr><t>Her</t></r><r><t>on</t></r></si><si><t>oil_x000D_ service</t></si><si><t>north</t><rPh sb=\"0\" eb=\"1\"><t>ノース</t></rPh></si>"
               "<si><t xml:space=\"preserve\">knocks\nwhen hot</t></si><si><t>_x0041_1</t></si>")
    rich = [["Unit", "Model", "Depot", "Remarks"], ["U1", ("s", "<v>0</v>"), ("s", "<v>2</v>"), ("s", "<v>3</v>")], [("s", "<v>4</v>"), ("inlineStr", "<is><r><t>Te</t></r><r><t>al</t></r></is>"), "north", ("s", "<v>1</v>")]]
    one("rich-text.xlsx", None, ["rich-text"], {"Units": account(used=2, blank=1)},
        {"U1": {"model": "Heron", "depot": "north", "remarks": ["knocks\nwhen hot"]}, "A1": {"model": "Teal", "remarks": ["oil service"]}}, data=book([("Units", sheet_xml(rows(rich)))], strings=strings))
    one("no-references.xlsx", None, ["no-reference"], {"Units": account(used=2, blank=1)}, {"U2": {"vin": vin(2), "km": [80002]}},
        data=book([("Units", sheet_xml(rows([UNITS, ["U1", vin(1), "Heron", 80001], ["U2", vin(2), "Teal", 80002]], refs=False)))]))
    title = [["Harbour and Island Transport"], ["Fleet, as of 30.09.2026"], None, ["Unit", "Model", "Odometer"], ["U1", "Heron", 80001], ["U2", "Teal", 80002]]
    one("title-above.xlsx", title, ["not-in-row-1"], {"Units": account(used=2, blank=3)}, {"U1": {"km": [80001], "days": ["2026-09-30"]}}, heading={"Units": 4})
    totals = [["Unit", "Model", "Odometer"], ["U1", "Heron", 80000], ["U2", "Teal", 90000], ["Total", None, 170000], ["Average", None, 85000], ["N = 2"], ["* readings as the drivers gave them"]]
    one("totals.xlsx", totals, ["totals"], {"Units": account(used=2, aside=4, blank=1)}, {"U1": {}, "U2": {}},
        issues=[issue(4, "set aside", "totals", sheet="Units"), issue(5, "set aside", "totals", sheet="Units"), issue(6, "set aside", "totals", sheet="Units"), issue(7, "set aside", "foot note", sheet="Units")])
    two = [["Vehicles"], ["Unit", "Model", "Odometer"], ["U1", "Heron", 80000], ["U2", "Teal", 90000], None, ["Repairs"], ["Unit", "Date", "Work"], ["U1", "2026-03-02", "oil service"], ["U2", "2026-04-25", "tyres"]]
    one("two-tables.xlsx", two, ["several-tables"], {"Units": account(used=2, blank=2), "Units, from row 6": account(used=2, blank=2)},
        {"U1": {"km": [80000], "repairs": ["oil service"]}, "U2": {"km": [90000], "repairs": ["tyres"]}}, holds={"Units": ["vehicles"], "Units, from row 6": ["repairs"]})
    beside = [["Vehicles", None, None, None, "Repairs"], ["Unit", "Model", "Odometer", None, "Unit", "Date", "Work", "Odometer"], ["U1", "Heron", 80000, None, "U1", "2026-03-02", "oil service", 79000],
              ["U2", "Teal", 90000, None, "U1", "2026-04-25", "tyres", 79900], [None, None, None, None, "U2", "2026-05-02", "brake pads", 88000]]
    one("side-by-side.xlsx", beside, ["several-tables"], {"Units": account(used=2, blank=3), "Units, from column E": account(used=3, blank=2)},
        {"U1": {"km": [80000], "repairs": ["oil service", "tyres"]}, "U2": {"km": [90000], "repairs": ["brake pads"]}}, holds={"Units": ["vehicles"], "Units, from column E": ["repairs"]},
        notes=["another table stands beside this one, from column E on"])
    months = [["Unit", "Model", "Jan 2026", "Feb 2026", "Mar 2026", "Apr 2026"], ["U1", "Heron", 80000, 81200, 82600, 83900], ["U2", "Teal", 40000, 40700, None, 42300]]
    one("month-columns.xlsx", months, ["pivot"], {"Units": account(used=2, blank=1)},
        {"U1": {"km": []}, "U2": {"km": []}}, asks=["Jan 2026", "sums of money", "odometer_by_month"],
        title="figures that rise with one column a month, and nothing says that they are readings")
    one("month-columns-odometer.xlsx", [["Odometer"]] + months, ["pivot"], {"Units": account(used=2, blank=2)},
        {"U1": {"km": [80000, 81200, 82600, 83900], "days": ["2026-01-31", "2026-02-28", "2026-03-31", "2026-04-30"]}, "U2": {"km": [40000, 40700, 42300], "days": ["2026-01-31", "2026-02-28", "2026-04-30"]}},
        title="a history of clock readings with one column a month")
    driven = [["Unit", "Model", "Odometer", "2026-01", "2026-02", "2026-03"], ["U1", "Heron", 80000, 1200, 1400, 1300], ["U2", "Teal", 40000, 700, 800, 800]]
    one("month-columns-driven.xlsx", driven, ["pivot"], {"Units": account(used=2, blank=1)}, {"U1": {"km": [80000]}, "U2": {"km": [40000]}}, asks=["2026-01", "what was driven"],
        title="figures by month that do not rise are not taken for readings")
    long = "knocks when hot " * 2500
    one("long-cell.xlsx", [["Unit", "Model", "Remarks"], ["U1", "Heron", long]], ["long-cell"], {"Units": account(used=1, blank=1)}, {"U1": {"remarks": [long.strip()]}})
