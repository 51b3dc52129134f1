package table

import (
	"context"
	"io"
	"strconv"
	"strings"

	"pitlist/report"
	"pitlist/score/vin"
)

func worklist(ctx context.Context, w io.Writer, d *report.Document) error {
	head := []string{"rank", "unit", "vin", "depot", "make", "model", "model_year", "odometer_km", "odometer_basis",
		"lead_part", "p_worn", "p_fail_next_run", "p_fail_holding", "worth", "cost_of_waiting", "hours", "cumulative_hours",
		"above_line", "stays_above", "injury", "inspect_before_km", "inspect_before_date", "change", "why"}
	speaks := d.Run.Speaks()
	out := newRows(ctx, w, append(head, deskHead(d)...)...)
	for r := range d.Worklist() {
		judged := r.LeadPart != "" // on a buying desk vehicles stand there of which no part is scored
		cells := out.begin(strconv.Itoa(r.Rank), Safe(r.Unit), Safe(r.VIN), Safe(r.Depot), Safe(r.Make), Safe(r.Model),
			whole(r.ModelYear), known(r.OdometerKM, r.OdometerKnown), Safe(speaks.Say(r.OdometerBasis)), Safe(r.LeadPart),
			known(r.PWorn, judged), known(r.FailNext, judged), known(r.FailHold, judged), known(r.Worth, judged), known(r.Waiting, judged),
			number(r.Hours), number(r.Cumulative), strconv.FormatBool(r.Above), known(r.Stays, r.Stays >= 0),
			strconv.FormatBool(r.Injury), known(r.BeforeKM, r.BeforeKM > 0), iso(r.BeforeDate), Safe(speaks.Say(r.Change)), Safe(speaks.Say(r.Why)))
		if !out.put(deskCells(cells, d, &r)...) {
			break
		}
	}
	return out.end()
}

// deskHead names the columns that only the run's desk has.
func deskHead(d *report.Document) []string {
	if !d.Buys() {
		return []string{"check_first", "check_gain", "next_service", "open_at_service"}
	}
	head := []string{"deduction", "bill_p90", "verdict", "checks", "swing", "minutes"}
	if d.Viewing != nil {
		head = append(head, "lot", "sale_order", "bid_limit", "lane")
	}
	return head
}

// deskCells appends what stands in these columns.
func deskCells(cells []string, d *report.Document, r *report.WorkRow) []string {
	o := r.Offer
	if o == nil {
		return fleetCells(cells, r)
	}
	cells = append(cells, known(o.Deduction, !o.Unjudged), known(o.BillP90, !o.Unjudged), string(o.Verdict), Safe(o.Checks()), number(o.Swing), number(o.Minutes))
	if d.Viewing != nil {
		cells = append(cells, Safe(o.Lot), Safe(o.SaleOrder), known(o.BidLimit, o.HasBid), Safe(o.Lane))
	}
	return cells
}

func fleetCells(cells []string, r *report.WorkRow) []string {
	if c := r.Check; c != nil {
		cells = append(cells, Safe(c.ID), number(c.Gain))
	} else {
		cells = append(cells, "", "")
	}
	if s := r.Service; s != nil {
		return append(cells, iso(s.Day), strconv.FormatBool(s.Better || s.Now))
	}
	return append(cells, "", "")
}

func kits(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "part", "part_no", "expected", "hold", "pieces")
	for _, k := range d.Kits {
		if !out.put(Safe(k.Part), Safe(k.PartNo), number(k.Expected), strconv.Itoa(k.Hold), strconv.Itoa(k.Pieces)) {
			break
		}
	}
	return out.end()
}

func bills(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin", "amount", "probability")
	for r := range d.Bills() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), number(r.Amount), number(r.Chance)) {
			break
		}
	}
	return out.end()
}

func findings(ctx context.Context, w io.Writer, d *report.Document) error {
	head := []string{"unit", "vin", "part", "membership", "membership_reason", "share", "axis", "distance",
		"p_immune", "p_sound", "p_worn", "p_worn_low", "p_worn_high", "p_rectified", "fail_next_run", "fail_holding",
		"worth", "cost_of_waiting"}
	if d.Buys() {
		head = append(head, "bill_mean", "bill_p90")
	}
	speaks := d.Run.Speaks()
	out := newRows(ctx, w, append(head, "evidence")...)
	for r := range d.Findings() {
		cells := out.begin(Safe(r.Unit), Safe(r.VIN), Safe(r.Part), string(r.Membership), Safe(speaks.Say(r.MembershipReason)),
			number(r.Share), string(r.Axis), number(r.Distance),
			known(r.Immune, r.HasState), known(r.Sound, r.HasState), known(r.Worn, r.HasState),
			known(r.Low, r.HasInterval), known(r.High, r.HasInterval), known(r.Rectified, r.HasState),
			known(r.FailNext, r.HasState), known(r.FailHold, r.HasState),
			known(r.Worth, r.Priced), known(r.Waiting, r.Priced))
		if d.Buys() {
			cells = append(cells, known(r.BillMean, r.HasBill), known(r.BillP90, r.HasBill))
		}
		if !out.put(append(cells, Safe(speaks.Say(r.Evidence)))...) {
			break
		}
	}
	return out.end()
}

func otherChecks(ctx context.Context, w io.Writer, d *report.Document) error {
	speaks := d.Run.Speaks()
	out := newRows(ctx, w, "unit", "vin", "part", "reason", "check")
	for r := range d.OtherChecks() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), Safe(r.Part), Safe(speaks.Say(r.Reason)), Safe(speaks.Say(r.Check))) {
			break
		}
	}
	return out.end()
}

func rejected(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "file", "sheet", "row", "column", "value", "severity", "reason", "suggestion")
	speaks := d.Run.Speaks()
	for r := range d.AllIssues() {
		if !out.put(Safe(r.File), Safe(r.Sheet), whole(r.Row), Safe(r.Column), Safe(r.Value), string(r.Severity),
			Safe(speaks.Say(r.Reason)), Safe(speaks.Say(r.Suggestion))) {
			break
		}
	}
	return out.end()
}

func vins(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin_as_read", "vin", "finding", "country", "model_year", "suggestion")
	speaks := d.Run.Speaks()
	for r := range d.VINs() {
		if !out.put(Safe(r.Unit), Safe(r.AsRead), Safe(r.VIN), strings.Join(r.Findings, ";"), Safe(speaks.Say(vin.Named(r.Country))),
			whole(r.ModelYear), Safe(speaks.Say(r.Suggestion))) {
			break
		}
	}
	return out.end()
}

func odometers(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin", "distance_km", "basis", "readings", "finding", "detail")
	speaks := d.Run.Speaks()
	for r := range d.Odometers() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), known(r.KM, r.Known), Safe(speaks.Say(r.Basis)), strconv.Itoa(r.Readings),
			string(r.Finding), Safe(speaks.Say(r.Detail))) {
			break
		}
	}
	return out.end()
}
