package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// invoke runs the program as a user would and returns what it said.
func invoke(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

// bench is a job folder that works; each test breaks one thing in it.
func workshop(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"job.yaml":  "inputs: [ { path: intake/* } ]\ncatalogue: [parts.yaml]\nusage: { next_run_days: 7 }\nmoney: { bay_hour: 95, off_road_day: 0 }\n",
		"units.csv": "",
		"intake/a.csv": "unit,vin,make,model,model_year,odometer,odometer_date,engine_serial\n" +
			"V1,Z8LCA4E2XJB100001,Northfold,Heron,2017,210000,2026-11-20,HR730000\n" +
			"V2,Z8MHD4E28MA100002,Northfold,Heron,2018,90000,2026-11-20,HR790000\n",
	} {
		if text != "" {
			put(t, filepath.Join(dir, name), []byte(text))
		}
	}
	parts, err := os.ReadFile("../../testdata/fleet/parts.yaml")
	require.NoError(t, err)
	put(t, filepath.Join(dir, "parts.yaml"), parts)
	return dir
}

func put(t *testing.T, path string, data []byte) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, data, 0o666))
}

// book writes a small workbook and returns its bytes.
func book(t *testing.T, password string, rows ...[]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, r := range rows {
		cell, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Sheet1", cell, &r))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, excelize.Options{Password: password}))
	return b.Bytes()
}

var unitRows = [][]any{{"unit", "model", "odometer"}, {"V9", "Heron", 120000}}

// TestBadInput makes each condition and sees its own message, its exit code,
// and that earlier results are untouched.
func TestBadInput(t *testing.T) {
	only := func(t *testing.T, dir, name string, data []byte) {
		require.NoError(t, os.Remove(filepath.Join(dir, "intake/a.csv")))
		put(t, filepath.Join(dir, "intake", name), data)
	}
	for _, c := range []struct {
		name   string
		spoil  func(t *testing.T, dir string)
		code   int
		errors []string // all of them in the error line
		hint   string
	}{
		{"the job is missing", func(t *testing.T, dir string) { require.NoError(t, os.Remove(filepath.Join(dir, "job.yaml"))) }, exitUsage, []string{"job.yaml"}, "job file"},
		{"an input file is missing", func(t *testing.T, dir string) {
			put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: nowhere.xlsx } ]\ncatalogue: [parts.yaml]\n"))
		}, exitUsage, []string{"nowhere.xlsx"}, ""},
		{"the sheet is empty", func(t *testing.T, dir string) { only(t, dir, "e.xlsx", book(t, "")) }, exitFailed, []string{"e.xlsx", "empty"}, "read"},
		{"no column is recognised", func(t *testing.T, dir string) {
			only(t, dir, "n.csv", []byte("colour,weight\nred,12\nblue,14\n"))
		}, exitFailed, []string{"no heading row"}, "columns"},
		{"the password is wrong", func(t *testing.T, dir string) {
			only(t, dir, "p.xlsx", book(t, "right", unitRows...))
			put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: intake/p.xlsx, password_env: PITLIST_TEST_PW } ]\ncatalogue: [parts.yaml]\n"))
			t.Setenv("PITLIST_TEST_PW", "wrong")
		}, exitFailed, []string{"password"}, "password"},
		{"the password is not set", func(t *testing.T, dir string) {
			only(t, dir, "p.xlsx", book(t, "right", unitRows...))
			put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: intake/p.xlsx, password_env: PITLIST_TEST_UNSET } ]\ncatalogue: [parts.yaml]\n"))
		}, exitUsage, []string{"PITLIST_TEST_UNSET"}, "set it"},
		{"the workbook is protected and the job says no password", func(t *testing.T, dir string) { only(t, dir, "p.xlsx", book(t, "right", unitRows...)) }, exitFailed, []string{"password"}, "password_env"},
		{"the workbook is truncated", func(t *testing.T, dir string) {
			b := book(t, "", unitRows...)
			only(t, dir, "t.xlsx", b[:len(b)/2])
		}, exitFailed, []string{"t.xlsx", "incomplete"}, ""},
		{"the workbook is damaged", func(t *testing.T, dir string) {
			b := bytes.Clone(book(t, "", unitRows...))
			for i := 200; i < 260; i++ {
				b[i] ^= 0x5a
			}
			only(t, dir, "d.xlsx", b)
		}, exitFailed, []string{"d.xlsx"}, ""},
		{"an old .xls is named .xlsx", func(t *testing.T, dir string) {
			only(t, dir, "o.xlsx", append([]byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}, make([]byte, 2048)...))
		}, exitFailed, []string{"o.xlsx", ".xls"}, ".xlsx"},
		{"a folder is named like a workbook", func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "intake/a.csv")))
			require.NoError(t, os.MkdirAll(filepath.Join(dir, "intake", "folder.xlsx"), 0o777))
			put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: intake/folder.xlsx } ]\ncatalogue: [parts.yaml]\n"))
		}, 0, []string{"folder"}, ""},
		{"the catalogue is missing", func(t *testing.T, dir string) { require.NoError(t, os.Remove(filepath.Join(dir, "parts.yaml"))) }, exitUsage, []string{"parts.yaml"}, ""},
		{"the catalogue is no YAML", func(t *testing.T, dir string) { put(t, filepath.Join(dir, "parts.yaml"), []byte("parts: [ {")) }, exitUsage, []string{"parts.yaml"}, ""},
		{"no entry of the catalogue fits", func(t *testing.T, dir string) {
			only(t, dir, "x.csv", []byte("unit,model,odometer,odometer_date\nV1,Gannet,120000,2026-11-20\n"))
		}, exitFailed, []string{"no entry of the catalogue fits", "Gannet"}, "fits"},
		{"the output folder is a file", func(t *testing.T, dir string) {
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
			put(t, filepath.Join(dir, "out"), []byte("in the way"))
		}, exitFailed, []string{"out", "cannot be written"}, "permissions"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := workshop(t)
			code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-18")
			require.Equal(t, exitDone, code, "%s%s", out, errOut)
			c.spoil(t, dir)
			before := tree(t, filepath.Join(dir, "out"))
			code, out, errOut = invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
			if c.code != 0 {
				assert.Equal(t, c.code, code)
			} else {
				assert.Contains(t, []int{exitFailed, exitUsage}, code)
			}
			t.Log(errOut)
			line := lineOf(errOut, "error: ")
			for _, want := range c.errors {
				assert.Contains(t, line, want)
			}
			assert.Equal(t, 1, strings.Count("\n"+errOut, "\nerror: "), "one error line")
			assert.Contains(t, lineOf(errOut, "hint: "), c.hint)
			assert.Equal(t, before, tree(t, filepath.Join(dir, "out")), "earlier results untouched, nothing half-written")
			_ = out
		})
	}
}

func lineOf(text, begin string) string {
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(l, begin) {
			return l
		}
	}
	return ""
}

// tree is every file under a folder with its content.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), lockName) {
			return err
		}
		data, err := os.ReadFile(path)
		out[path] = string(data)
		return err
	})
	if !os.IsNotExist(err) {
		require.NoError(t, err)
	}
	return out
}
