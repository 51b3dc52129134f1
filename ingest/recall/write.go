package recall

import (
	"encoding/json"
	"strings"

	"pitlist/ingest/history"
	"pitlist/score"
	"pitlist/score/dtc"
)

// writer turns the fleet's facts into the record's. It remembers what it made
// of lists and details that come again and again.
type writer struct {
	codes   map[string]string
	details map[any]string
	answers map[score.Ref]string // as in Fleet
}

func newWriter() *writer { return &writer{codes: map[string]string{}, details: map[any]string{}} }

// facts lists a vehicle's facts in the order of its slices; Join counts on it.
func (w *writer) facts(v *score.Vehicle) []history.Fact {
	n := len(v.Readings) + len(v.Hours) + len(v.Scans) + len(v.Repairs) + len(v.Inspections) + len(v.Remarks)
	out := make([]history.Fact, 0, n)
	add := func(f history.Fact, r score.Ref) {
		f.Source, f.Row = r.Source-1, r.Row
		if len(w.answers) > 0 && (f.Kind == history.Repair || f.Kind == history.Inspection) {
			f.Answers = w.answers[r]
		}
		out = append(out, f)
	}
	for i := range v.Readings {
		add(reading(history.Reading, &v.Readings[i]), v.Readings[i].Ref)
	}
	for i := range v.Hours {
		add(reading(history.Hours, &v.Hours[i]), v.Hours[i].Ref)
	}
	for i := range v.Scans {
		add(w.scan(&v.Scans[i]), v.Scans[i].Ref)
	}
	for i := range v.Repairs {
		add(w.repair(&v.Repairs[i]), v.Repairs[i].Ref)
	}
	for i := range v.Inspections {
		add(w.inspection(&v.Inspections[i]), v.Inspections[i].Ref)
	}
	for i := range v.Remarks {
		m := &v.Remarks[i]
		add(history.Fact{Kind: history.Remark, Day: int32(m.Day), Undated: !m.Dated, Text: m.Text}, m.Ref)
	}
	return out
}

func reading(kind history.Kind, r *score.Reading) history.Fact {
	return history.Fact{Kind: kind, Key: r.Source, Day: int32(r.Day), Undated: r.Undated, At: history.Number{Value: r.KM, Known: true}, Detail: r.Unit}
}

// scanDetail, repairDetail and inspectionDetail are what is left of a row;
// they are stored as JSON, "" where nothing is left.
type scanDetail struct {
	WarmUps    *float64 `json:"warmups,omitempty"`
	Incomplete *float64 `json:"monitors_incomplete,omitempty"`
	MIL        string   `json:"mil,omitempty"`
}

type repairDetail struct {
	Status string `json:"status,omitempty"`
	PartNo string `json:"part_no,omitempty"`
}

type inspectionDetail struct {
	By       string    `json:"by,omitempty"`
	Measures []measure `json:"measures,omitempty"`
}

type measure struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

func (w *writer) scan(s *score.Scan) history.Fact {
	f := history.Fact{Kind: history.Scan, Day: int32(s.Day), Undated: s.Undated, At: history.Number(s.KM), Number: history.Number(s.SinceClear), Text: w.list(s.Codes)}
	if s.WarmUps.Known || s.Incomplete.Known || s.MIL != "" {
		f.Detail = w.detail([3]any{s.WarmUps, s.Incomplete, s.MIL}, func() any {
			return scanDetail{pointer(s.WarmUps), pointer(s.Incomplete), s.MIL}
		})
	}
	return f
}

func pointer(s score.Stated) *float64 {
	if !s.Known {
		return nil
	}
	return &s.Value
}

// detail writes a detail once for each key.
func (w *writer) detail(key any, make func() any) string {
	if s, ok := w.details[key]; ok {
		return s
	}
	data, err := json.Marshal(make())
	if err != nil { // a number that is none: it cannot be read back either
		return ""
	}
	w.details[key] = string(data)
	return string(data)
}

// list writes codes with their states, "P0087 stored; P0191".
func (w *writer) list(codes []dtc.Reading) string {
	if len(codes) == 0 {
		return ""
	}
	var b strings.Builder
	for i, c := range codes {
		if i > 0 {
			b.WriteString(between)
		}
		b.WriteString(c.Code.String())
		if c.State != "" {
			b.WriteString(" " + string(c.State))
		}
	}
	s := b.String()
	if have, ok := w.codes[s]; ok {
		return have
	}
	w.codes[s] = s
	return s
}

// between stands between the codes of a list, and within between a part and
// its place.
const (
	between = "; "
	within  = "\x1f"
)

func (w *writer) repair(r *score.Repair) history.Fact {
	f := history.Fact{Kind: history.Repair, Day: int32(r.Day), Undated: r.Undated, At: history.Number(r.KM), Number: history.Number(r.Cost), Text: r.Text}
	if r.Status != "" || r.PartNo != "" {
		f.Detail = w.detail([2]string{string(r.Status), r.PartNo}, func() any { return repairDetail{string(r.Status), r.PartNo} })
	}
	return f
}

func (w *writer) inspection(n *score.Inspection) history.Fact {
	f := history.Fact{Kind: history.Inspection, Key: n.Part, Day: int32(n.Day), Undated: n.Undated, At: history.Number(n.KM), Text: string(n.Result)}
	if n.Position != "" {
		f.Key += within + n.Position
	}
	if n.By == "" && len(n.Measures) == 0 {
		return f
	}
	d := inspectionDetail{By: n.By}
	for _, m := range n.Measures {
		d.Measures = append(d.Measures, measure{m.Name, m.Value})
	}
	if data, err := json.Marshal(d); err == nil {
		f.Detail = string(data)
	}
	return f
}

// PartOf is the part that an inspection's key names.
func PartOf(key string) string {
	part, _, _ := strings.Cut(key, within)
	return part
}
