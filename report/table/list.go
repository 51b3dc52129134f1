package table

import (
	"context"
	"io"
	"strings"

	"pitlist/report"
	"pitlist/score/vin"
)

func worklist(ctx context.Context, w io.Writer, d *report.Document) error {
	head := []string{"rank", "unit", "vin", "depot", "make", "model", "model_year", "odometer_km", "odometer_basis",
		"lead_part", "p_worn", "p_fail_next_run", "p_fail_holding", "worth", "cost_of_waiting", "hours", "cumulative_hours",
		"above_line", "stays_above", "injury", "inspect_before_km", "inspect_before_date", "change", "why"}
	out := newRows(ctx, w, d, append(head, deskHead(d)...)...)
	for r := range d.Worklist() {
		workCells(out, &r)
		deskCells(out, d, &r)
		if !out.put() {
			break
		}
	}
	return out.end()
}

// workCells adds what stands in the columns of every desk.
func workCells(out *rows, r *report.WorkRow) {
	judged := r.LeadPart != "" // on a buying desk vehicles stand there of which no part is scored
	out.count(r.Rank)
	out.text(r.Unit, r.VIN, r.Depot, r.Make, r.Model)
	out.stated(r.ModelYear)
	out.known(r.OdometerKnown, r.OdometerKM)
	out.said(r.OdometerBasis)
	out.text(r.LeadPart)
	out.known(judged, r.PWorn, r.FailNext, r.FailHold, r.Worth, r.Waiting)
	out.number(r.Hours, r.Cumulative)
	out.truth(r.Above)
	out.known(r.Stays >= 0, r.Stays)
	out.truth(r.Injury)
	out.known(r.BeforeKM > 0, r.BeforeKM)
	out.day(r.BeforeDate)
	out.said(r.Change, r.Why)
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

// deskCells adds what stands in these columns.
func deskCells(out *rows, d *report.Document, r *report.WorkRow) {
	o := r.Offer
	if o == nil {
		fleetCells(out, r)
		return
	}
	out.known(!o.Unjudged, o.Deduction, o.BillP90)
	out.text(string(o.Verdict), o.Checks())
	out.number(o.Swing, o.Minutes)
	if d.Viewing != nil {
		out.text(o.Lot, o.SaleOrder)
		out.known(o.HasBid, o.BidLimit)
		out.text(o.Lane)
	}
}

func fleetCells(out *rows, r *report.WorkRow) {
	if c := r.Check; c != nil {
		out.text(c.ID)
		out.number(c.Gain)
	} else {
		out.empty(2)
	}
	if s := r.Service; s != nil {
		out.day(s.Day)
		out.truth(s.Better || s.Now)
	} else {
		out.empty(2)
	}
}

func kits(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "part", "part_no", "expected", "hold", "pieces")
	for _, k := range d.Kits {
		out.text(k.Part, k.PartNo)
		out.number(k.Expected)
		out.count(k.Hold, k.Pieces)
		if !out.put() {
			break
		}
	}
	return out.end()
}

func bills(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "unit", "vin", "amount", "probability")
	for r := range d.Bills() {
		out.text(r.Unit, r.VIN)
		out.number(r.Amount, r.Chance)
		if !out.put() {
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
	out := newRows(ctx, w, d, append(head, "evidence")...)
	for r := range d.Findings() {
		out.text(r.Unit, r.VIN, r.Part, string(r.Membership))
		out.said(r.MembershipReason)
		out.number(r.Share)
		out.text(string(r.Axis))
		out.number(r.Distance)
		out.known(r.HasState, r.Immune, r.Sound, r.Worn)
		out.known(r.HasInterval, r.Low, r.High)
		out.known(r.HasState, r.Rectified, r.FailNext, r.FailHold)
		out.known(r.Priced, r.Worth, r.Waiting)
		if d.Buys() {
			out.known(r.HasBill, r.BillMean, r.BillP90)
		}
		out.said(r.Evidence)
		if !out.put() {
			break
		}
	}
	return out.end()
}

func otherChecks(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "unit", "vin", "part", "reason", "check")
	for r := range d.OtherChecks() {
		out.text(r.Unit, r.VIN, r.Part)
		out.said(r.Reason, r.Check)
		if !out.put() {
			break
		}
	}
	return out.end()
}

func rejected(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "file", "sheet", "row", "column", "value", "severity", "reason", "suggestion")
	for r := range d.AllIssues() {
		out.text(r.File, r.Sheet)
		out.stated(r.Row)
		out.text(r.Column, r.Value, string(r.Severity))
		out.said(r.Reason, r.Suggestion)
		if !out.put() {
			break
		}
	}
	return out.end()
}

func vins(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "unit", "vin_as_read", "vin", "finding", "country", "model_year", "suggestion")
	for r := range d.VINs() {
		out.text(r.Unit, r.AsRead, r.VIN, strings.Join(r.Findings, ";"))
		out.said(vin.Named(r.Country))
		out.stated(r.ModelYear)
		out.said(r.Suggestion)
		if !out.put() {
			break
		}
	}
	return out.end()
}

func odometers(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, d, "unit", "vin", "distance_km", "basis", "readings", "finding", "detail")
	for r := range d.Odometers() {
		out.text(r.Unit, r.VIN)
		out.known(r.Known, r.KM)
		out.said(r.Basis)
		out.count(r.Readings)
		out.text(string(r.Finding))
		out.said(r.Detail)
		if !out.put() {
			break
		}
	}
	return out.end()
}
