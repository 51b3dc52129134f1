package config

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func replaceOnce(t *testing.T, text, old, new string) string {
	t.Helper()
	require.Equal(t, 1, strings.Count(text, old), "%q stands once in the base text", old)
	return strings.Replace(text, old, new, 1)
}

// folder makes files, each holding the text given, below a new folder.
func folder(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	return dir
}

func jobIn(t *testing.T, dir, text string) *Job {
	t.Helper()
	j, faults := ParseJob(filepath.Join(dir, "job.yaml"), []byte(text))
	require.NoError(t, faults.Err())
	return j
}

func shownOf(files []InputFile) []string {
	var out []string
	for _, f := range files {
		out = append(out, f.Shown)
	}
	return out
}

func TestInputFiles(t *testing.T) {
	dir := folder(t, map[string]string{
		"intake/b.xlsx": "", "intake/a.xlsx": "", "intake/~$a.xlsx": "", "intake/notes.txt": "",
		"copying/a.csv": "", "copying/b.csv.part": "", "copying/.a.csv.Xy12Zq": "",
		"extra.csv": "", "list [1].xlsx": "", "intake/old.xlsx/x": "",
	})
	for _, c := range []struct {
		rule, inputs string
		want, skip   []string
	}{
		{"a pattern's files are sorted, lock files and folders left out", "[intake/*.xlsx]", []string{"intake/a.xlsx", "intake/b.xlsx"}, []string{"intake/~$a.xlsx"}},
		{"an unfinished copy is left out", "[copying/*]", []string{"copying/a.csv"}, []string{"copying/.a.csv.Xy12Zq", "copying/b.csv.part"}},
		{"entries keep their order", "[extra.csv, intake/*.txt]", []string{"extra.csv", "intake/notes.txt"}, nil},
		{"a file named in full belongs to its own entry", `["intake/[ab].xlsx", { path: intake/a.xlsx, password_env: A }]`, []string{"intake/b.xlsx", "intake/a.xlsx"}, nil},
		{"a file that two patterns find is read once", "[intake/a*, intake/?.xlsx]", []string{"intake/a.xlsx", "intake/b.xlsx"}, nil},
		{"what is optional may be absent", "[extra.csv, { path: returned/*.xlsx, optional: true }, { path: late.csv, optional: true }]", []string{"extra.csv"}, nil},
		{"brackets in a file's name are its name", `["list [1].xlsx"]`, []string{"list [1].xlsx"}, nil},
	} {
		t.Run(c.rule, func(t *testing.T) {
			j := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: "+c.inputs+"\n")
			files, faults := j.InputFiles()
			require.NoError(t, faults.Err())
			assert.Equal(t, c.want, shownOf(files))
			assert.Equal(t, c.skip, j.SkippedInputs())
			for _, f := range files {
				assert.FileExists(t, f.Path)
			}
		})
	}
}

// TestAbsentInputs: what the job says may be absent is told of, other faults of
// such an entry stay faults.
func TestAbsentInputs(t *testing.T) {
	dir := folder(t, map[string]string{"extra.csv": "", "returned/a.xlsx": ""})
	j := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [ { path: extra.csv, optional: true }, { path: returned/*.xlsx, optional: true }, { path: late/*.csv, optional: true }, { path: late.csv, optional: true } ]\n")
	assert.Equal(t, []string{"late/*.csv", "late.csv"}, j.AbsentInputs())
	files, faults := j.InputFiles()
	require.NoError(t, faults.Err())
	assert.Equal(t, []string{"extra.csv", "returned/a.xlsx"}, shownOf(files))
	j = jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [ { path: returned, optional: true } ]\n")
	_, faults = j.InputFiles()
	assert.ErrorContains(t, faults.Err(), "returned is a folder")
}

// TestFolderOfAnInput: what the job names in full is its choice, what its marks find
// is not.
func TestFolderOfAnInput(t *testing.T) {
	dir := folder(t, map[string]string{"intake/north/a.csv": "", "b.csv": "", "list [1].csv": "", "a [x]/c.csv": ""})
	for _, c := range []struct{ input, want string }{
		{"intake/north/a.csv", "intake/north"},
		{"intake/north/*.csv", "intake/north"},
		{"intake/*/a.csv", "intake"},
		{"in*/north/a.csv", "."},
		{"*.csv", "."},
		{"list [1].csv", "."},
		{"a [x]/c.csv", "a [x]"},
		{filepath.ToSlash(dir) + "/intake/*/*.csv", "intake"},
	} {
		files, faults := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [\""+c.input+"\"]\n").InputFiles()
		require.NoError(t, faults.Err(), c.input)
		require.NotEmpty(t, files, c.input)
		assert.Equal(t, filepath.Join(dir, c.want), files[0].Folder, c.input)
	}
}

// TestNamesThatNoTextHas: a line feed in a file's name would begin a line of its own
// wherever the name is told.
func TestNamesThatNoTextHas(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a\n=b\x1b\u202e\xffü.csv"), nil, 0o600); err != nil {
		t.Skip("no such names here: ", err)
	}
	files, faults := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [\"*.csv\"]\n").InputFiles()
	require.NoError(t, faults.Err())
	assert.Equal(t, []string{"a\\n=b\\x1b\\u202e\xffü.csv"}, shownOf(files))
}

func TestInputFileKnowsItsEntry(t *testing.T) {
	dir := folder(t, map[string]string{"a.xlsx": "", "b.xlsx": ""})
	j := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [ \"*.xlsx\", { path: a.xlsx, password_env: A_PW } ]\n")
	files, faults := j.InputFiles()
	require.NoError(t, faults.Err())
	require.Len(t, files, 2)
	assert.Equal(t, "", files[0].Input.PasswordEnv, "b.xlsx by the pattern")
	assert.Equal(t, "A_PW", files[1].Input.PasswordEnv, "a.xlsx by its own entry")
}

func TestInputsThatFindNothing(t *testing.T) {
	dir := folder(t, map[string]string{"intake/a.xlsx": ""})
	j := jobIn(t, dir, `catalogue: [p.yaml]
inputs:
  - missing.xlsx
  - intake/*.csv
  - intake
  - "intake/[a.xlsx"
  - intake/a.xlsx
  - intake/a.xlsx
`)
	files, faults := j.InputFiles()
	assert.Equal(t, []string{"intake/a.xlsx"}, shownOf(files), "what is there is found all the same")
	assert.Equal(t, []string{
		"3:5: missing.xlsx is not there; check the name; relative paths count from the job file's folder",
		"4:5: intake/*.csv matches no file; check the folder and the ending, or take the line out; relative paths count from the job file's folder",
		"5:5: intake is a folder; name the files in it: intake/*.xlsx",
		"6:5: intake/[a.xlsx is no pattern that can be read; check the brackets",
		"8:5: intake/a.xlsx is named twice; delete one of them",
	}, said(faults))
}

func TestFolderNamesWithPatternMarks(t *testing.T) {
	dir := filepath.Join(folder(t, map[string]string{"lists [2026]/in/a.csv": ""}), "lists [2026]")
	files, faults := jobIn(t, dir, "catalogue: [p.yaml]\ninputs: [in/*.csv]\n").InputFiles()
	require.NoError(t, faults.Err())
	assert.Equal(t, []string{"in/a.csv"}, shownOf(files))
}

func TestCatalogueFilesKeepTheOrderThatCounts(t *testing.T) {
	dir := folder(t, map[string]string{"parts/b.yaml": "", "parts/a.yaml": "", "parts/0-learned.yaml": ""})
	files, faults := jobIn(t, dir, "inputs: [x.csv]\ncatalogue: [\"parts/*.yaml\", parts/0-learned.yaml]\n").CatalogueFiles()
	require.NoError(t, faults.Err())
	var names []string
	for _, f := range files {
		names = append(names, filepath.Base(f))
	}
	assert.Equal(t, []string{"a.yaml", "b.yaml", "0-learned.yaml"}, names)
}

func TestUnreadableFiles(t *testing.T) {
	dir := t.TempDir()
	_, _, err := LoadJob(filepath.Join(dir, "none.yaml"))
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, _, err = LoadJob(dir)
	assert.ErrorContains(t, err, "it is a folder")
	_, _, err = LoadCatalogue([]string{filepath.Join(dir, "none.yaml")})
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestHugeFilesAndAliasBombsAreRefused(t *testing.T) {
	huge := filepath.Join(t.TempDir(), "huge.yaml")
	require.NoError(t, os.WriteFile(huge, []byte("job: x\n"+strings.Repeat("# filler\n", 1<<20)), 0o644))
	_, faults, err := LoadJob(huge)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Problem, "more than 8388608 bytes")

	var bomb strings.Builder // 9 to the power of 8 values in 300 bytes
	bomb.WriteString("a0: &a0 [1,1,1,1,1,1,1,1,1]\n")
	for i := 1; i < 9; i++ {
		one := "*a" + string(rune('0'+i-1))
		bomb.WriteString("a" + string(rune('0'+i)) + ": &a" + string(rune('0'+i)) + " [" + strings.TrimSuffix(strings.Repeat(one+",", 9), ",") + "]\n")
	}
	_, faults = ParseJob("bomb.yaml", []byte(bomb.String()))
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Problem, "more than 500000 values")

	_, faults = ParseJob("deep.yaml", []byte("inputs: "+strings.Repeat("[", 50)+strings.Repeat("]", 50)+"\n"))
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Problem, "nested more than 40 deep")
}

func TestTextsThatAreNotUTF8(t *testing.T) {
	for _, c := range []struct{ rule, text, want string }{
		{"Windows-1252", "job: caf\xe9\n", "1:9: the file is not UTF-8 text here; save it as UTF-8"},
		{"UTF-16", "\xff\xfej\x00o\x00", "1:1: the file is saved as UTF-16; save it as UTF-8"},
		{"a control character", "job: x\nmarket: \x01\n", "2:9: a control character stands here; delete it; the file may not be a text file"},
		{"a workbook named by mistake", "PK\x03\x04\x14\x00", "1:3: a control character stands here; delete it; the file may not be a text file"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, faults := ParseJob("job.yaml", []byte(c.text))
			assert.Equal(t, []string{c.want}, said(faults))
		})
	}
	_, faults := ParseJob("job.yaml", []byte("\ufeffinputs: [a.csv]\r\ncatalogue: [p.yaml]\r\n"))
	assert.NoError(t, faults.Err(), "a byte order mark and Windows line ends are no fault")
}

// TestSigns: names that say that another file is not ready.
func TestSigns(t *testing.T) {
	for name, want := range map[string]Sign{
		"~$north.xlsx":                {Of: "north.xlsx"},
		"intake/.~lock.north.xlsx#":   {Of: "north.xlsx"},
		".#scan.csv":                  {Of: "scan.csv"},
		".scan.csv.swp":               {Of: "scan.csv"},
		"scan.csv.part":               {Of: "scan.csv", Copying: true},
		"scan.csv.filepart":           {Of: "scan.csv", Copying: true},
		"share/north.xlsx.crdownload": {Of: "north.xlsx", Copying: true},
		".north.xlsx.aB3xYz":          {Of: "north.xlsx", Copying: true},
	} {
		got, ok := SignOf(filepath.FromSlash(name))
		assert.True(t, ok, name)
		assert.Equal(t, want, got, name)
	}
	for _, name := range []string{"north.xlsx", "~$", ".units.csv.backup", "part.csv", ".part", ".hidden.csv", ".a.b.c", "tmp.csv", ".#", "north~$.xlsx"} {
		_, ok := SignOf(name)
		assert.False(t, ok, name)
	}
}

// TestCatalogueThatIsNotThere: whoever has no catalogue yet is told where one comes from.
func TestCatalogueThatIsNotThere(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "parts"), 0o777))
	for pattern, want := range map[string]string{
		"parts/*.yaml": "parts/*.yaml matches no file; write an entry there, or copy one to begin with (`pitlist demo` writes some into demo/parts)",
		"parts":        "parts is a folder; name the files in it: parts/*.yaml",
	} {
		j, faults := ParseJob(filepath.Join(dir, "job.yaml"), []byte("inputs: [ { path: a.csv } ]\ncatalogue: ["+pattern+"]\n"))
		require.Empty(t, faults)
		_, faults = j.CatalogueFiles()
		require.Len(t, faults, 1)
		assert.Contains(t, faults[0].Error(), want)
	}
}
