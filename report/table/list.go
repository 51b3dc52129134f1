package table

import (
	"context"
	"io"
	"strconv"
	"strings"

	"pitlist/report"
)

func worklist(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "rank", "unit", "vin", "depot", "make", "model", "model_year", "odometer_km", "odometer_basis",
		"lead_part", "p_worn", "p_fail_next_run", "p_fail_holding", "worth", "cost_of_waiting", "hours", "cumulative_hours",
		"above_line", "stays_above", "injury", "inspect_before_km", "inspect_before_date", "change", "why")
	for r := range d.Worklist() {
		if !out.put(strconv.Itoa(r.Rank), Safe(r.Unit), Safe(r.VIN), Safe(r.Depot), Safe(r.Make), Safe(r.Model),
			whole(r.ModelYear), known(r.OdometerKM, r.OdometerKnown), Safe(r.OdometerBasis), Safe(r.LeadPart),
			number(r.PWorn), number(r.FailNext), number(r.FailHold), number(r.Worth), number(r.Waiting),
			number(r.Hours), number(r.Cumulative), strconv.FormatBool(r.Above), known(r.Stays, r.Stays >= 0),
			strconv.FormatBool(r.Injury), known(r.BeforeKM, r.BeforeKM > 0), iso(r.BeforeDate), Safe(r.Change), Safe(r.Why)) {
			break
		}
	}
	return out.end()
}

func findings(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin", "part", "membership", "membership_reason", "share", "axis", "distance",
		"p_immune", "p_sound", "p_worn", "p_worn_low", "p_worn_high", "p_rectified", "fail_next_run", "fail_holding",
		"worth", "cost_of_waiting", "evidence")
	for r := range d.Findings() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), Safe(r.Part), string(r.Membership), Safe(r.MembershipReason),
			number(r.Share), string(r.Axis), number(r.Distance),
			known(r.Immune, r.HasState), known(r.Sound, r.HasState), known(r.Worn, r.HasState),
			known(r.Low, r.HasInterval), known(r.High, r.HasInterval), known(r.Rectified, r.HasState),
			known(r.FailNext, r.HasState), known(r.FailHold, r.HasState),
			known(r.Worth, r.Priced), known(r.Waiting, r.Priced), Safe(r.Evidence)) {
			break
		}
	}
	return out.end()
}

func otherChecks(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin", "part", "reason", "check")
	for r := range d.OtherChecks() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), Safe(r.Part), Safe(r.Reason), Safe(r.Check)) {
			break
		}
	}
	return out.end()
}

func rejected(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "file", "sheet", "row", "column", "value", "severity", "reason", "suggestion")
	for r := range d.AllIssues() {
		if !out.put(Safe(r.File), Safe(r.Sheet), whole(r.Row), Safe(r.Column), Safe(r.Value), string(r.Severity),
			Safe(r.Reason), Safe(r.Suggestion)) {
			break
		}
	}
	return out.end()
}

func vins(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin_as_read", "vin", "finding", "country", "model_year", "suggestion")
	for r := range d.VINs() {
		if !out.put(Safe(r.Unit), Safe(r.AsRead), Safe(r.VIN), strings.Join(r.Findings, ";"), Safe(r.Country),
			whole(r.ModelYear), Safe(r.Suggestion)) {
			break
		}
	}
	return out.end()
}

func odometers(ctx context.Context, w io.Writer, d *report.Document) error {
	out := newRows(ctx, w, "unit", "vin", "distance_km", "basis", "readings", "finding", "detail")
	for r := range d.Odometers() {
		if !out.put(Safe(r.Unit), Safe(r.VIN), known(r.KM, r.Known), Safe(r.Basis), strconv.Itoa(r.Readings),
			string(r.Finding), Safe(r.Detail)) {
			break
		}
	}
	return out.end()
}
