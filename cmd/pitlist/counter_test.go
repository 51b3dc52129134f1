package main

import (
	"context"
	"errors"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestOddArguments: each is answered in the user's words, with what to do, and never taken for something else.
func TestOddArguments(t *testing.T) {
	dir := workshop(t)
	job := filepath.Join(dir, "job.yaml")
	put(t, filepath.Join(dir, "book.xlsx"), book(t, "", []any{"Unit"}))
	for _, c := range []struct {
		name string
		args []string
		code int
		says []string
		not  string
	}{
		{"a VIN that is empty", []string{"vin", ""}, exitRejected, []string{`"": length`, "It holds no VIN."}, "cell"},
		{"a hyphen", []string{"vin", "-"}, exitRejected, []string{`"-": length`}, "cell"},
		{"a few characters are of no country", []string{"vin", "12345"}, exitRejected, []string{"five characters"}, "country"},
		{"nor in JSON", []string{"vin", "12345", "--json"}, exitRejected, []string{`"length"`}, "country"},
		{"a very long one", []string{"vin", strings.Repeat("A", 5000)}, exitRejected, []string{"It has 5000 characters"}, strings.Repeat("A", 50)},
		{"a year before VINs", []string{"vin", "ZSNHV2D44JK110000", "--model-year", "1850"}, exitUsage, []string{"--model-year 1850", "hint: write four figures"}, "good"},
		{"a year that is no number", []string{"vin", "ZSNHV2D44JK110000", "--model-year", "abc"}, exitUsage, []string{"--model-year wants a whole number"}, "strconv"},
		{"who decides what a code means", []string{"code", "P1234", "p0087"}, exitDone, []string{"the maker's: ask", "the standard's: one meaning"}, "iso_sae"},
		{"what to bear in mind of a range", []string{"code", "C3000"}, exitDone, []string{"note         C3000 lies in a range that SAE J2012 reserves: check how it was typed"}, ""},
		{"a day that a script's variable left empty", []string{"run", job, "--as-of", ""}, exitUsage, []string{`"" is no day`, "hint: write it as"}, "rows read"},
		{"the same of a backtest", []string{"backtest", job, "--from", " "}, exitUsage, []string{`" " is no day`}, "rows read"},
		{"a spreadsheet for a job", []string{"run", filepath.Join(dir, "book.xlsx")}, exitUsage, []string{"is a spreadsheet, and no job", "inputs:"}, "control character"},
		{"the same to lint", []string{"lint", filepath.Join(dir, "book.xlsx")}, exitUsage, []string{"is a spreadsheet"}, "control character"},
		{"the same to the schedule", []string{"schedule", filepath.Join(dir, "book.xlsx")}, exitUsage, []string{"is a spreadsheet"}, "control character"},
		{"a catalogue for a job", []string{"run", filepath.Join(dir, "parts.yaml")}, exitUsage, []string{"parts stand in a catalogue, which a job names"}, ""},
		{"a job without a command", []string{"weekly.yaml"}, exitUsage, []string{"to run a job: pitlist run weekly.yaml"}, ""},
		{"one argument of two", []string{"explain", job}, exitUsage, []string{"got 1 argument\n"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errOut := invoke(t, c.args...)
			assert.Equal(t, c.code, code)
			for _, want := range c.says {
				assert.Contains(t, out+errOut, want)
			}
			if c.not != "" {
				assert.NotContains(t, out+errOut, c.not)
			}
		})
	}
}

// full takes nothing.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// TestAnswerThatIsLost: where all a command does is to print, not being able to is a failure.
func TestAnswerThatIsLost(t *testing.T) {
	job := filepath.Join(workshop(t), "job.yaml")
	for _, args := range [][]string{{"vin", "ZSNHV2D44JK110000"}, {"vin", "12345"}, {"code", "P0087"}, {"code", "P0087", "--json"}, {"lint", job}, {"read", job}, {"explain", job, "V1"}} {
		var said strings.Builder
		code := run(context.Background(), args, strings.NewReader(""), full{}, &said)
		assert.Equal(t, exitFailed, code, args)
		assert.Contains(t, said.String(), "no space left", args)
	}
	assert.Equal(t, exitDone, run(context.Background(), []string{"run", job}, strings.NewReader(""), full{}, io.Discard), "a run's folder is its result")
}
