package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/gofrs/flock"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// everything reads all files below a folder, the parts of workbooks expanded.
func everything(t *testing.T, root string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		all[rel] = data
		if z, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
			for _, f := range z.File {
				r, err := f.Open()
				require.NoError(t, err)
				text, err := io.ReadAll(r)
				require.NoError(t, err)
				all[rel+"!"+f.Name] = text
			}
		}
		return nil
	}))
	return all
}

// TestPasswordsStayInTheEnvironment: right, wrong or missing, no password gets
// into what is said, written or remembered.
func TestPasswordsStayInTheEnvironment(t *testing.T) {
	const right, wrong = "M4rk3r-0f-th3-quay", "Wr0ng-m4rk3r-pier"
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	for _, password := range []string{right, wrong, ""} {
		dir := workshop(t)
		put(t, filepath.Join(dir, "intake", "p.xlsx"), book(t, right, unitRows...))
		put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: intake/a.csv }, { path: intake/p.xlsx, password_env: PITLIST_TEST_PW } ]\ncatalogue: [parts.yaml]\nhistory: memory.db\n"))
		t.Setenv("PITLIST_TEST_PW", password)
		put(t, filepath.Join(dir, "job.yaml"), append(mustRead(t, filepath.Join(dir, "job.yaml")), []byte("schedule: { cron: \"@yearly\", time_zone: UTC, settle_seconds: 0, wait_minutes: 0 }\nmetrics: told.prom\n")...))
		for _, args := range [][]string{{"run"}, {"run"}, {"read"}, {"read", "--draft"}, {"read", "--json"}, {"explain"}, {"lint"}, {"fit"}, {"backtest", "--from", "2026-01-01"}, {"schedule", "--once", "--debug"}, {"schedule", "--once", "--debug", "--log", "json"}} {
			call := append([]string{args[0], filepath.Join(dir, "job.yaml")}, args[1:]...)
			if args[0] == "explain" {
				call = append(call, "V1")
			}
			_, out, errOut := invoke(t, call...)
			for _, p := range []string{right, wrong} {
				assert.NotContains(t, out+errOut, p, "%v", args)
			}
		}
		assert.NoError(t, os.Remove(filepath.Join(dir, "intake", "p.xlsx")))
		for _, where := range []string{dir, tmp} {
			for name, data := range everything(t, where) {
				for _, p := range []string{right, wrong} {
					assert.False(t, bytes.Contains(data, []byte(p)) || bytes.Contains(data, wide(p)), "%s holds a password", name)
				}
			}
		}
	}
}

// wide is a text in UTF-16LE, as office files and databases may hold it.
func wide(s string) []byte {
	var out []byte
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u), byte(u>>8))
	}
	return out
}

// TestLinksBelowAPattern: whoever fills the intake folder cannot have files of other
// folders read; the job can, by naming the folder.
func TestLinksBelowAPattern(t *testing.T) {
	dir, outside := workshop(t), t.TempDir()
	put(t, filepath.Join(outside, "secret.csv"), []byte("unit,make,model\nSECRET,Northfold,Heron\n"))
	if err := os.Symlink(outside, filepath.Join(dir, "intake", "north")); err != nil {
		t.Skip("no links here: ", err)
	}
	job := func(inputs string) (int, string) {
		put(t, filepath.Join(dir, "job.yaml"), []byte("inputs: "+inputs+"\ncatalogue: [parts.yaml]\n"))
		code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
		return code, out + errOut
	}
	_, said := job("[intake/a.csv, 'intake/*/*.csv']")
	assert.Contains(t, said, "intake/north/secret.csv: a link that leads out of its folder; it is not followed")
	assert.NotContains(t, said, outside)
	for name, data := range everything(t, filepath.Join(dir, "out")) {
		assert.False(t, bytes.Contains(data, []byte("SECRET")), name)
	}
	code, said := job("[intake/a.csv, 'intake/north/*.csv']")
	assert.Equal(t, exitDone, code, said)
}

// evil are texts that would do harm if they became a path, a formula, markup
// or a command of the terminal. Each bears the word marker.
var evil = []string{
	"../../marker", `..\..\marker`, "/tmp/marker", "marker:x", "CON", "marker\x1b[2J",
	"=1+1+cmd|'/c marker'!A1", "+marker(1)", "-marker(1)", "@marker(1)", "\t=marker(1)", "＝marker(1)", "=HYPERLINK(\"http://192.0.2.1/marker\",\"x\")",
	"<script>marker</script>", "<img src=x onerror=marker>", "[marker](http://192.0.2.1)", "&marker;", "]]>marker", "{{marker}}", "${marker}", "%s%n marker", "'; DROP TABLE marker; --",
	"marker;=marker(1)", "marker\n=marker(1)", "marker; \"+marker(1)\"",
}

// harmful is a workshop whose every text is evil.
func harmful(t *testing.T) string {
	t.Helper()
	dir := workshop(t)
	quoted := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	var units, repairs strings.Builder
	units.WriteString("unit,registration,make,model,depot,model_year,odometer,odometer_date,engine_serial,remarks,codes\n")
	repairs.WriteString("unit,date,odometer,text,part_no\n")
	for i, e := range evil {
		q := quoted(e)
		units.WriteString(strings.Join([]string{q, q, "Northfold", "Heron", q, "2017", "21000" + string(rune('0'+i%10)), "2026-11-20", "HR730000", q, q}, ",") + "\n")
		repairs.WriteString(strings.Join([]string{q, "2026-01-05", "200000", q, q}, ",") + "\n")
		repairs.WriteString(strings.Join([]string{q, q, q, q, q}, ",") + "\n")
	}
	put(t, filepath.Join(dir, "intake", "a.csv"), []byte(units.String()))
	put(t, filepath.Join(dir, "intake", "repairs.csv"), []byte(repairs.String()))
	return dir
}

// TestUnitNumbersReachNoFileName: whatever a unit is called, a run makes the
// files that every run makes, and no other anywhere.
func TestUnitNumbersReachNoFileName(t *testing.T) {
	root := t.TempDir()
	t.Setenv("TMPDIR", root)
	plain, bad := workshop(t), harmful(t)
	names := func(dir string) []string {
		code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
		require.Contains(t, []int{exitDone, exitRejected}, code, "%s%s", out, errOut)
		var all []string
		for name := range everything(t, filepath.Join(dir, "out")) {
			name, _, _ = strings.Cut(name, "!")
			all = append(all, name)
		}
		return sortedSet(all)
	}
	assert.Equal(t, names(plain), names(bad))
	for name := range everything(t, filepath.Dir(bad)) {
		assert.NotContains(t, name, "marker")
	}
	assert.NoFileExists(t, "/tmp/marker")
}

func sortedSet(list []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, s := range list {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return out
}

// formulaBegins are the characters by which a spreadsheet takes a text for a
// formula, also full-width (common practice).
var formulaBegins = regexp.MustCompile(`^[=+@\t\r＝＋＠－-]`)

// number is what may begin with a sign all the same.
var number = regexp.MustCompile(`^[-+]?[0-9.]+(e[-+]?[0-9]+)?$`)

// TestNoTextBecomesAFormula: in every format that a run writes, text from the
// inputs stays text. A new format fails here until it is looked at.
func TestNoTextBecomesAFormula(t *testing.T) {
	for _, desk := range []string{"fleet", "auction", "trade-in"} {
		t.Run(desk, func(t *testing.T) { noFormula(t, desk) })
	}
}

func noFormula(t *testing.T, desk string) {
	dir := harmful(t)
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	put(t, job, append(text, []byte("desk: "+desk+"\n")...))
	// The names of a file and of a sheet are other people's words too.
	put(t, filepath.Join(dir, "intake", "=marker(1).csv"), []byte("unit,make,model\n=marker(2),Northfold,Heron\n"))
	put(t, filepath.Join(dir, "intake", "@marker.csv"), []byte("\x00"))
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "=marker(1)"))
	require.NoError(t, f.SetSheetRow("=marker(1)", "A1", &[]any{"unit", "model", "odometer", "=marker(3)"}))
	require.NoError(t, f.SetSheetRow("=marker(1)", "A2", &[]any{"V7", "Heron", "=marker(4)", "+marker"}))
	require.NoError(t, f.SaveAs(filepath.Join(dir, "intake", "-marker.xlsx")))

	var out, errOut string
	for _, command := range [][]string{{"run", "--as-of", "2026-11-25"}, {"fit", "--as-of", "2026-11-25"}, {"backtest", "--as-of", "2026-11-25", "--from", "2026-10-01"}, {"read"}, {"read", "--draft"}, {"read", "--json"}, {"explain", evil[0]}} {
		code, o, e := invoke(t, append([]string{command[0], job}, command[1:]...)...)
		if command[0] == "run" {
			require.Equal(t, exitRejected, code, "%s%s", o, e)
		}
		out, errOut = out+o, errOut+e
	}
	assert.NotContains(t, out+errOut, "\x1b", "no text commands the terminal")
	said := 0
	for name, data := range everything(t, filepath.Join(dir, "out")) {
		said += bytes.Count(data, []byte("marker"))
		switch file, part, _ := strings.Cut(name, "!"); {
		case strings.HasSuffix(part, ".xml") || strings.HasSuffix(part, ".rels"):
			for _, f := range regexp.MustCompile(`<(?:c:)?(?:f|formula|formula1|definedName)(?: [^>]*)?>([^<]*)<`).FindAllSubmatch(data, -1) {
				assert.NotContains(t, string(f[1]), "marker", "%s: a formula", name)
			}
			assert.NotRegexp(t, `Target="[^"]*(marker|192\.0\.2\.1)`, string(data), "%s: a link", name)
			assert.NotContains(t, string(data), "<script>marker")
		case strings.HasSuffix(part, ".vml"), part != "":
		case strings.HasSuffix(file, ".csv"):
			assertSafeCSV(t, name, data)
		case strings.HasSuffix(file, ".txt"), strings.HasSuffix(file, ".yaml"): // of studies
			assert.NotContains(t, string(data), "\x1b", name)
		case strings.HasSuffix(file, ".json"):
			assert.True(t, json.Valid(data), name)
			assert.NotContains(t, string(data), "\x1b")
		case strings.HasSuffix(file, ".xlsx"), filepath.Base(file) == "latest", strings.HasPrefix(filepath.Base(file), ".pitlist"):
		default:
			t.Errorf("%s: a format whose safety nobody has looked at", name)
		}
	}
	assert.Greater(t, said, 20, "the texts are in the results")
}

func assertSafeCSV(t *testing.T, name string, data []byte) {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))).ReadAll()
	require.NoError(t, err, name)
	for _, r := range rows {
		for _, cell := range r {
			assert.False(t, formulaBegins.MatchString(cell) && !number.MatchString(cell), "%s: %q", name, cell)
			assert.NotContains(t, cell, "\x1b", name)
			for _, piece := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(";\t\r\n", r) }) { // as where cells are parted by these
				assert.NotRegexp(t, `^[ "]*[=+@＝＋＠-]marker`, piece, name)
			}
		}
	}
}

// TestNoTextBecomesAFormulaInWhatIsTold: the metrics file, the notice of the command
// and the e-mail, of a run that is done and of one that fails over a file's name.
func TestNoTextBecomesAFormulaInWhatIsTold(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the command is one of a Unix system, and so are the names")
	}
	for _, c := range []struct{ rule, more, outcome string }{
		{"done", "", outcomePart},
		{"failed", "strict: true\n", outcomeFailed},
	} {
		t.Run(c.rule, func(t *testing.T) {
			dir := harmful(t)
			quick(t, dir)
			put(t, filepath.Join(dir, "intake", "=marker\n=marker\r\nBcc: marker@192.0.2.1\x1b[2J.xlsx"), []byte("no workbook"))
			p, port, ca := openPostOffice(t, true, false)
			job := filepath.Join(dir, "job.yaml")
			put(t, job, append(mustRead(t, job), fmt.Appendf(nil, "%sschedule: { cron: \"@yearly\", time_zone: UTC, settle_seconds: 0, wait_minutes: 0 }\nmetrics: told.prom\nnotify: { command: [tee, told.json], mail: { server: localhost, port: %d, tls: implicit, from: a@example.org, to: b@example.org, attach: true, ca_file: %s } }\n", c.more, port, ca)...))
			_, _, errOut := invoke(t, "schedule", job, "--once")
			assert.NotContains(t, errOut, "\x1b")

			require.FileExists(t, filepath.Join(dir, "told.prom"), errOut)
			samples := checkExposition(t, string(mustRead(t, filepath.Join(dir, "told.prom"))))
			assert.NotEmpty(t, samples)
			assert.NotContains(t, string(mustRead(t, filepath.Join(dir, "told.prom"))), "marker", "no label comes from an input")

			told := mustRead(t, filepath.Join(dir, "told.json"))
			assert.NotContains(t, string(told), "\x1b")
			var n any
			require.NoError(t, json.Unmarshal(told, &n), errOut)
			assert.Equal(t, c.outcome, n.(map[string]any)["outcome"])
			assertSafeJSON(t, "told", n)

			select {
			case session := <-p.letters:
				assertSafeMail(t, strings.Join(session, "\r\n"))
			case <-time.After(time.Minute):
				t.Fatalf("no e-mail: %s", errOut)
			}
		})
	}
}

// assertSafeJSON looks at each text, line by line, as where it is put into a cell.
func assertSafeJSON(t *testing.T, at string, v any) {
	t.Helper()
	switch v := v.(type) {
	case map[string]any:
		for k, v := range v {
			assertSafeJSON(t, at, k)
			assertSafeJSON(t, at+"."+k, v)
		}
	case []any:
		for _, v := range v {
			assertSafeJSON(t, at, v)
		}
	case string:
		assertSafeLines(t, at, v)
	}
}

func assertSafeLines(t *testing.T, at, text string) {
	t.Helper()
	for line := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == '\n' || r == '\r' }) {
		assert.False(t, formulaBegins.MatchString(line) && !number.MatchString(line), "%s: %q", at, line)
	}
	assert.NotRegexp(t, `[\x00-\x08\x0b\x0c\x0e-\x1f]`, text, at)
}

// assertSafeMail opens the message of a session: its headers are ours, its texts are safe.
func assertSafeMail(t *testing.T, session string) {
	t.Helper()
	_, data, found := strings.Cut(session, "DATA\r\n")
	require.True(t, found)
	msg, err := mail.ReadMessage(strings.NewReader(data))
	require.NoError(t, err)
	for name, values := range msg.Header {
		for _, v := range values {
			assert.NotContains(t, v, "marker", name)
		}
	}
	assert.Empty(t, msg.Header.Get("Bcc"))
	subject, err := new(mime.WordDecoder).DecodeHeader(msg.Header.Get("Subject"))
	require.NoError(t, err)
	assertSafeLines(t, "subject", subject)
	kind, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	require.NoError(t, err)
	body := io.Reader(msg.Body)
	if strings.HasPrefix(kind, "multipart/") {
		part, err := multipart.NewReader(body, params["boundary"]).NextPart()
		require.NoError(t, err)
		body = part
	}
	if strings.EqualFold(msg.Header.Get("Content-Transfer-Encoding"), "quoted-printable") {
		body = quotedprintable.NewReader(body)
	}
	text, err := io.ReadAll(body)
	require.NoError(t, err)
	assert.NotEmpty(t, text)
	assertSafeLines(t, "mail", string(text))
}

// TestNothingCommandsTheTerminal: what the caller hands in is told again without its
// controls, on both outputs.
func TestNothingCommandsTheTerminal(t *testing.T) {
	const hidden = "a\x1b[2J\u202eb\u2066\x07\x9b.yaml"
	_, out, _ := invoke(t, "vin", "Z8L\x1b[2J\u202e")
	_, _, errOut := invoke(t, "lint", filepath.Join(t.TempDir(), hidden))
	for _, said := range []string{out, errOut} {
		assert.NotEmpty(t, said)
		assert.NotRegexp(t, "[\\x00-\\x08\\x0b-\\x1f\\x{80}-\\x{9f}\\x{202a}-\\x{202e}\\x{2066}-\\x{2069}]", said)
	}
	assert.Contains(t, errOut, "a?[2J?b??")

	var b bytes.Buffer
	n, err := printable{&b}.Write([]byte("a\x1bb\n\tü\xff"))
	require.NoError(t, err)
	assert.Equal(t, 8, n, "bytes taken, as an io.Writer counts them")
	assert.Equal(t, "a?b\n\tü\xff", b.String())
}

// TestTemporaryFilesAreGone: those of this run, and those of a run that was
// killed; those of one that still goes on stay.
func TestTemporaryFilesAreGone(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	killed, going := filepath.Join(tmp, spoolPrefix+"1"), filepath.Join(tmp, spoolPrefix+"2")
	for _, d := range []string{killed, going} {
		put(t, filepath.Join(d, spoolLock), nil)
		put(t, filepath.Join(d, "pitlist-xlsx-1", "strings-1"), []byte("customer"))
	}
	put(t, filepath.Join(tmp, "pitlist-notes.txt"), []byte("not ours"))
	lock := flock.New(filepath.Join(going, spoolLock))
	got, err := lock.TryLock()
	require.NoError(t, err)
	require.True(t, got)
	dir := workshop(t)
	put(t, filepath.Join(dir, "out", beside+"2026-11-20", "pitlist.xlsx"), []byte("half"))
	put(t, filepath.Join(dir, "intake", "b.xlsx"), book(t, "", unitRows...))
	code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	require.Equal(t, exitDone, code, "%s%s", out, errOut)
	left, err := filepath.Glob(filepath.Join(tmp, "*"))
	require.NoError(t, err)
	assert.Equal(t, []string{filepath.Join(tmp, "pitlist-notes.txt"), going}, left)
	assert.NoDirExists(t, filepath.Join(dir, "out", beside+"2026-11-20"))
	require.NoError(t, lock.Unlock())
	_, _, _ = invoke(t, "read", filepath.Join(dir, "job.yaml"))
	assert.NoDirExists(t, going, "once its process is gone")

	made, remove, err := spool()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(made, "x"), nil, 0o600))
	sweepSpools(tmp)
	assert.DirExists(t, made, "nobody sweeps what is held")
	require.NoError(t, remove())
	assert.NoDirExists(t, made)
}

// TestSpoolsBesideEachOther: whoever begins beside others never loses the
// folder that it was given, however often they sweep.
func TestSpoolsBesideEachOther(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	var together sync.WaitGroup
	for range 8 {
		together.Go(func() {
			for range 100 {
				made, remove, err := spool()
				if !assert.NoError(t, err) {
					return
				}
				sweepSpools(filepath.Dir(made))
				assert.NoError(t, os.WriteFile(filepath.Join(made, "x"), nil, 0o600))
				assert.NoError(t, remove())
			}
		})
	}
	together.Wait()
}
