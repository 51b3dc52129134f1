package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pitlist/score/dtc"
	"pitlist/score/vin"
)

// newVIN looks at single VINs at the counter.
func newVIN(w *world) *cobra.Command {
	var market string
	var year int
	cmd := &cobra.Command{
		Use:     "vin VIN…",
		Short:   "Look at single VINs",
		Long:    "Judges VINs by ISO 3779, ISO 3780 and 49 CFR 565: form, region and country, check digit, model year, likely slips.",
		Example: "  pitlist vin 1M8GDM9AXKP042788 --market us\n  pitlist vin Z8LCA4E2XJB100001 --model-year 2018",
		Args:    exactly(-1, "at least one VIN"),
		RunE: func(_ *cobra.Command, args []string) error {
			if year != 0 && (year < firstYear || year > w.today.Time().Year()+2) {
				return usageError(fmt.Errorf("--model-year %d is no year that a VIN can have", year), "write four figures, such as --model-year 2018")
			}
			m := vin.Market(market)
			if err := m.Validate(); err != nil {
				return usageError(err, "write --market eu, us, ca, cn or other")
			}
			day, err := w.day()
			if err != nil {
				return err
			}
			reports := []judgedVIN{}
			bad := 0
			for _, a := range args {
				r := vin.Judge(a, vin.Context{Market: m, StatedYear: year, Year: day.Time().Year()})
				reports = append(reports, describeVIN(&r))
				if r.SetAside {
					bad++
				}
				if !w.json {
					w.tellVIN(&r)
				}
			}
			if w.json {
				if err := writeJSON(w.out, reports); err != nil {
					return err
				}
			}
			if bad > 0 {
				return &ended{exitRejected}
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&market, "market", "other", "where the vehicle comes from: eu, us, ca, cn or other")
	cmd.Flags().IntVar(&year, "model-year", 0, "the model year that the papers state")
	w.addDay(cmd)
	w.addJSON(cmd)
	return cmd
}

// wholeVIN is the length of one (ISO 3779).
const wholeVIN = 17

// firstYear is the first that VINs of 17 characters give (49 CFR 565).
const firstYear = 1980

// judgedVIN is one VIN as `vin --json` writes it.
type judgedVIN struct {
	AsRead      string         `json:"as_read"`
	Text        string         `json:"text"`
	VIN         string         `json:"vin"`
	Findings    []vin.Finding  `json:"findings"`
	SetAside    bool           `json:"set_aside"`
	Reason      string         `json:"reason,omitempty"`
	Country     string         `json:"country,omitempty"`
	Region      string         `json:"region,omitempty"`
	CheckDigit  string         `json:"check_digit"`
	ModelYear   int            `json:"model_year,omitempty"`
	Candidates  []int          `json:"model_year_candidates"`
	ByLaw       bool           `json:"model_year_by_law"`
	LowVolume   bool           `json:"low_volume_maker"`
	Suggestions []suggestedVIN `json:"suggestions"`
	Notes       []string       `json:"notes"`
}

type suggestedVIN struct {
	VIN string `json:"vin"`
	Why string `json:"why"`
}

func describeVIN(r *vin.Report) judgedVIN {
	j := judgedVIN{
		AsRead: r.Raw, Text: r.Text, VIN: string(r.VIN), Findings: r.Findings, SetAside: r.SetAside, Reason: r.Reason.String(),
		Country: r.Country, Region: r.Region, CheckDigit: string(r.Check), ModelYear: r.ModelYear,
		Candidates: append([]int{}, r.ModelYears...), ByLaw: r.YearBinding, LowVolume: r.LowVolume,
		Suggestions: []suggestedVIN{}, Notes: []string{},
	}
	if len(r.Text) != wholeVIN { // two characters of whatever it is
		j.Country, j.Region = "", ""
	}
	for _, s := range r.Suggestions {
		j.Suggestions = append(j.Suggestions, suggestedVIN{string(s.VIN), s.Why.String()})
	}
	for _, n := range r.Notes {
		j.Notes = append(j.Notes, n.String())
	}
	return j
}

// mostShown is how many characters of an argument are shown.
const mostShown = 40

func (w *world) tellVIN(r *vin.Report) {
	words := make([]string, len(r.Findings))
	for i, f := range r.Findings {
		words[i] = string(f)
	}
	name, reason := oneLine(r.Text, mostShown), r.Reason.String()
	if r.Text == "" {
		name, reason = strconv.Quote(oneLine(r.Raw, mostShown)), "It holds no VIN."
	}
	fmt.Fprintf(w.out, "%s: %s\n", name, strings.Join(words, "; "))
	say := func(name, text string) {
		if text != "" {
			fmt.Fprintf(w.out, "  %-12s %s\n", name, text)
		}
	}
	say("why", reason)
	say("country", describeVIN(r).Country)
	if r.ModelYear != 0 {
		say("model year", fmt.Sprint(r.ModelYear))
	}
	for _, s := range r.Suggestions {
		say("may be", fmt.Sprintf("%s (%s)", s.VIN, s.Why))
	}
	for _, n := range r.Notes {
		say("note", n.String())
	}
}

// coded is one cell of codes as `code --json` writes it.
type coded struct {
	Text    string   `json:"text"`
	Scanned bool     `json:"scanned"`
	Codes   []meant  `json:"codes"`
	Faults  []string `json:"faults"`
}

type meant struct {
	Code     string `json:"code"`
	State    string `json:"state,omitempty"`
	Short    string `json:"short,omitempty"`
	System   string `json:"system,omitempty"`
	Severity string `json:"severity,omitempty"`
	Owner    string `json:"range"`
	Failure  string `json:"failure_type,omitempty"`
	Caution  string `json:"caution,omitempty"`
}

// newCode looks at single trouble codes at the counter.
func newCode(w *world) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "code CODE…",
		Short:   "Look at single trouble codes",
		Long:    "Reads trouble codes of SAE J2012 (with failure type) and J1939 (SPN and FMI) and says what is known of them. A short meaning is no diagnosis.",
		Example: "  pitlist code P0087 P0016-00\n  pitlist code \"SPN 636 FMI 2\"",
		Args:    exactly(-1, "at least one code"),
		RunE: func(_ *cobra.Command, args []string) error {
			var all []coded
			bad := 0
			for _, a := range args {
				c := look(a)
				all = append(all, c)
				if len(c.Codes) == 0 && !c.Scanned || len(c.Faults) > 0 {
					bad++
				}
				if !w.json {
					w.tellCode(&c)
				}
			}
			if w.json {
				if err := writeJSON(w.out, all); err != nil {
					return err
				}
			}
			if bad > 0 {
				return &ended{exitRejected}
			}
			return nil
		},
	}
	w.addJSON(cmd)
	return cmd
}

func look(text string) coded {
	cell := dtc.ParseCell(text, dtc.Options{J1939: true})
	c := coded{Text: text, Scanned: cell.Scanned, Codes: []meant{}, Faults: []string{}}
	for _, r := range cell.Codes {
		m := meant{Code: r.Code.String(), State: string(r.State), Owner: string(dtc.Owner(r.Code)), Failure: dtc.FailureTypeText(r.Code).String(), Caution: dtc.Caution(r.Code).String()}
		if info, ok := dtc.Describe(r.Code); ok {
			m.Short, m.System, m.Severity = info.Short.String(), info.System, string(info.Severity.For(r.State))
		}
		c.Codes = append(c.Codes, m)
	}
	for _, f := range cell.Faults {
		c.Faults = append(c.Faults, fmt.Sprintf("%q: %s", f.Text, f.Reason))
	}
	return c
}

// ownerWords says who decides what a code means.
var ownerWords = map[string]string{
	dtc.OwnerStandard: "the standard's: one meaning for all makes", dtc.OwnerManufacturer: "the maker's: ask the maker's list", dtc.OwnerReserved: "kept free by the standard",
}

func (w *world) tellCode(c *coded) {
	for _, m := range c.Codes {
		short := m.Short
		if short == "" {
			short = "no meaning on record here"
		}
		fmt.Fprintf(w.out, "%s: %s\n", m.Code, short)
		for _, line := range [][2]string{{"system", m.System}, {"severity", m.Severity}, {"range", ownerWords[m.Owner]}, {"failure type", m.Failure}, {"state", m.State}, {"note", m.Caution}} {
			if line[1] != "" {
				fmt.Fprintf(w.out, "  %-12s %s\n", line[0], line[1])
			}
		}
	}
	for _, f := range c.Faults {
		fmt.Fprintf(w.out, "%s\n", f)
	}
	if len(c.Codes) == 0 && len(c.Faults) == 0 {
		fmt.Fprintf(w.out, "%q holds no code\n", c.Text)
	}
}
