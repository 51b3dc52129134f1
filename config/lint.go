package config

import (
	"bytes"
	"errors"
	"io/fs"

	"go.yaml.in/yaml/v4"
)

// FileKind says which of the two files a YAML text is.
type FileKind string

// The two kinds.
const (
	JobFile       FileKind = "job"
	CatalogueFile FileKind = "catalogue"
)

// Kind tells a catalogue by its key parts; anything else is taken for a job.
// It answers for faulty texts too, by the lines that begin a key.
func Kind(data []byte) FileKind {
	s := &scribe{}
	if doc := s.document(data); doc != nil && doc.Kind == yaml.MappingNode {
		for i := 0; i < len(doc.Content); i += 2 {
			if doc.Content[i].Value == "parts" {
				return CatalogueFile
			}
		}
		return JobFile
	}
	for line := range bytes.Lines(data) {
		if bytes.HasPrefix(line, []byte("parts:")) {
			return CatalogueFile
		}
	}
	return JobFile
}

// Lint checks any mix of jobs and catalogues and gives every fault of all. A
// job's own catalogues are checked with it, as a run would read them; its
// spreadsheets are not looked for. The catalogues named directly are checked
// together in their order; an overlay among them may speak of an entry that
// stands in none.
func Lint(paths []string) Faults {
	var all Faults
	loose := newSet()
	for _, path := range paths {
		data, err := readFile(path)
		switch {
		case err != nil:
			all = append(all, unreadable(path, err))
		case Kind(data) == CatalogueFile:
			loose.add(path, data)
		default:
			all = append(all, lintJob(path, data)...)
		}
	}
	_, faults := loose.catalogue(false)
	return append(all, faults...).sorted()
}

// lintJob checks a job with the catalogues it names.
func lintJob(path string, data []byte) Faults {
	job, faults := ParseJob(path, data)
	files, missing := job.CatalogueFiles()
	faults = append(faults, missing...)
	set := newSet()
	for _, f := range files {
		text, err := readFile(f)
		if err != nil {
			faults = append(faults, unreadable(f, err))
			continue
		}
		set.add(f, text)
	}
	_, more := set.catalogue(true)
	return append(faults, more...)
}

func unreadable(path string, err error) Fault {
	f := Fault{File: path, Problem: "cannot be read"}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.Problem, f.Hint = "is not there", "check the name"
	case errors.Is(err, errFolder):
		f.Problem, f.Hint = "is a folder", "name the files in it"
	case errors.Is(err, fs.ErrPermission):
		f.Problem, f.Hint = "may not be read", "ask for the right to read it"
	default:
		f.Problem += ": " + err.Error()
	}
	return f
}
