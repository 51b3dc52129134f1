package config

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

var errFolder = errors.New("it is a folder")

// InputFile is one file to read, with the entry of the job that named it.
type InputFile struct {
	Path   string // Job.Dir with the path below it
	Shown  string // the path as the job would write it, for reports
	Folder string // the last folder that the job names on the way to it: links must not lead out of it
	Input  *Input
}

// InputFiles finds the files of all inputs, each once: a file that an entry
// names in full belongs to that entry, else to the first pattern that finds
// it. They are ordered by entry, then by path. A pattern or a path that finds
// nothing is a fault, save of an optional input. Locks and unfinished copies (~$name.xlsx, name.csv.part)
// are left out: see SkippedInputs.
func (j *Job) InputFiles() ([]InputFile, Faults) {
	patterns := j.inputPatterns()
	found, _, faults := j.find(patterns)
	out := make([]InputFile, len(found))
	for i, f := range found {
		out[i] = InputFile{Path: f.path, Shown: f.shown, Folder: j.folder(patterns[f.from].pattern, f.path), Input: &j.Inputs[f.from]}
	}
	return out, faults
}

// SkippedInputs names the files that patterns found and InputFiles left out:
// "~$north.xlsx" is there while north.xlsx is open in a spreadsheet program, and
// what is being changed may not be saved yet. SignOf says what each means.
func (j *Job) SkippedInputs() []string {
	_, skipped, _ := j.find(j.inputPatterns())
	return skipped
}

// AbsentInputs names the optional inputs for which no file is there.
func (j *Job) AbsentInputs() []string {
	var out []string
	for _, p := range j.inputPatterns() {
		p.at.s = &scribe{file: j.Path}
		if p.optional && len(j.matches(p)) == 0 {
			out = append(out, p.pattern)
		}
	}
	return out
}

// CatalogueFiles finds the catalogue's files in the order in which they count,
// each once: later ones override the curves of earlier ones, and a file named
// in full stands where it is named, not where an earlier pattern finds it.
func (j *Job) CatalogueFiles() ([]string, Faults) {
	var patterns []search
	for i, p := range j.Catalogue {
		at := field{}
		if i < len(j.catalogueAt) { // a job made by hand has no places
			at = j.catalogueAt[i]
		}
		patterns = append(patterns, search{pattern: p, parts: true, at: at})
	}
	found, _, faults := j.find(patterns)
	out := make([]string, len(found))
	for i, f := range found {
		out[i] = f.path
	}
	return out, faults
}

type search struct {
	pattern  string
	optional bool // may find nothing
	parts    bool // looks for catalogues, not for spreadsheets
	at       field
}

type match struct {
	path, shown string
	from        int // index of its pattern
}

func (j *Job) inputPatterns() []search {
	var out []search
	for _, in := range j.Inputs {
		out = append(out, search{pattern: in.Path, optional: in.Optional, at: in.at})
	}
	return out
}

// find resolves patterns in their order.
func (j *Job) find(patterns []search) (found []match, skipped []string, faults Faults) {
	s := &scribe{file: j.Path}
	claimed := map[string]int{} // path -> the pattern that names it in full
	for i, p := range patterns {
		p.at.s = s
		patterns[i] = p
		path := j.resolve(p.pattern)
		if !isFile(path) {
			continue
		}
		if _, twice := claimed[path]; twice {
			p.at.faultf("delete one of them", "%s is named twice", p.pattern)
			continue
		}
		claimed[path] = i
	}
	taken := map[string]bool{}
	for i, p := range patterns {
		for _, path := range j.matches(p) {
			if owner, named := claimed[path]; taken[path] || (named && owner != i) {
				continue
			}
			taken[path] = true
			shown := j.shown(path)
			if _, sign := SignOf(path); sign {
				skipped = append(skipped, shown)
				continue
			}
			found = append(found, match{path, shown, i})
		}
	}
	return found, skipped, s.faults.sorted()
}

// matches lists the files of one pattern in order, and records why there are
// none.
func (j *Job) matches(p search) []string {
	path := j.resolve(p.pattern)
	if isFile(path) { // also a name that holds brackets
		return []string{path}
	}
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		ending := "/*.xlsx"
		if p.parts {
			ending = "/*.yaml"
		}
		p.at.faultf("name the files in it: "+p.pattern+ending, "%s is a folder", p.pattern)
		return nil
	}
	if !strings.ContainsAny(p.pattern, "*?[") {
		if p.optional && os.IsNotExist(err) {
			return nil
		}
		p.at.faultf("check the name; relative paths count from the job file's folder", "%s is not there", p.pattern)
		return nil
	}
	all, err := filepath.Glob(j.resolvePattern(p.pattern))
	if err != nil {
		p.at.faultf("check the brackets", "%s is no pattern that can be read", p.pattern)
		return nil
	}
	files := slices.DeleteFunc(all, func(m string) bool { return !isFile(m) })
	if len(files) == 0 && !p.optional {
		hint := "check the folder and the ending, or take the line out; relative paths count from the job file's folder"
		if p.parts {
			hint = "write an entry there, or copy one to begin with (`pitlist demo` writes some into demo/parts); relative paths count from the job file's folder"
		}
		p.at.faultf(hint, "%s matches no file", p.pattern)
	}
	slices.Sort(files)
	return files
}

// folder is what a pattern says in full before its first mark: whoever fills the
// folders below it chooses what the marks find. For a path in full it is the file's.
func (j *Job) folder(pattern, path string) string {
	pattern = filepath.FromSlash(pattern)
	marks := "*?["
	if filepath.Separator != '\\' {
		marks += `\` // quotes the next character
	}
	i := strings.IndexAny(pattern, marks)
	if i < 0 || path == j.resolve(pattern) {
		return filepath.Dir(path)
	}
	return j.resolve(filepath.Dir(pattern[:i] + "x"))
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}

// resolve puts the job's folder before a relative path; "" stays "".
func (j *Job) resolve(path string) string {
	if path == "" {
		return ""
	}
	path = filepath.FromSlash(path)
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(j.Dir, path)
}

// resolvePattern is resolve for a pattern: brackets and stars in the folder's
// own name must not act as one.
func (j *Job) resolvePattern(pattern string) string {
	pattern = filepath.FromSlash(pattern)
	if filepath.IsAbs(pattern) {
		return pattern
	}
	marks := []string{"[", "[[]", "*", "[*]", "?", "[?]"}
	if filepath.Separator != '\\' {
		marks = append(marks, `\`, `\\`)
	}
	return filepath.Join(strings.NewReplacer(marks...).Replace(j.Dir), pattern)
}

// shown is the path as the job would write it: below its folder where it lies
// there, with forward slashes on every system. What a name holds that no text has
// is written as Go writes it: a line feed in it would begin a line of the e-mail.
func (j *Job) shown(path string) string {
	if rel, err := filepath.Rel(j.Dir, path); err == nil {
		path = rel
	}
	path = filepath.ToSlash(path)
	if !strings.ContainsFunc(path, unprintable) {
		return path
	}
	var b strings.Builder
	for len(path) > 0 {
		r, n := utf8.DecodeRuneInString(path)
		if unprintable(r) {
			b.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
		} else {
			b.WriteString(path[:n])
		}
		path = path[n:]
	}
	return b.String()
}

// unprintable sees controls, ends of lines among them, and the marks that turn the
// direction of writing (Unicode 16, 23.2).
func unprintable(r rune) bool {
	return unicode.IsControl(r) || unicode.In(r, unicode.Bidi_Control, unicode.Zl, unicode.Zp)
}
