package config

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestKind(t *testing.T) {
	for _, c := range []struct {
		rule, text string
		want       FileKind
	}{
		{"parts makes a catalogue", "parts: []\n", CatalogueFile},
		{"anything else is a job", "inputs: [a.csv]\n", JobFile},
		{"a broken catalogue is still one", "parts:\n  - id: [\n", CatalogueFile},
		{"an empty file is a job", "", JobFile},
	} {
		t.Run(c.rule, func(t *testing.T) { assert.Equal(t, c.want, Kind([]byte(c.text))) })
	}
}

func TestLintTakesBothKinds(t *testing.T) {
	_, good := goodFile(t, "full-catalogue.yaml")
	dir := folder(t, map[string]string{
		"job.yaml":     "inputs: [none.xlsx]\ncatalogue: [parts.yaml, gone.yaml]\nkeep: 3\n",
		"parts.yaml":   replaceOnce(t, string(good), "weight: 12", "weight: 0"),
		"learned.yaml": "parts:\n  - { id: pump-follower, weight: 30 }\n",
	})
	path := func(name string) string { return filepath.Join(dir, name) }
	var got []string
	for _, f := range Lint([]string{path("job.yaml"), path("learned.yaml"), path("missing.yaml"), dir}) {
		name, err := filepath.Rel(dir, f.File)
		assert.NoError(t, err)
		f.File = name
		got = append(got, f.Error())
	}
	assert.Equal(t, []string{
		".: is a folder; name the files in it",
		"job.yaml:2:25: gone.yaml is not there; check the name; relative paths count from the job file's folder",
		`job.yaml:3:1: unknown key "keep"; it belongs under output`,
		"missing.yaml: is not there; check the name",
		"parts.yaml:14:13: weight is 0; it must be above 0",
	}, got, "an overlay by itself is no fault, nor are spreadsheets that are not there yet")
}

func TestLintOfGoodFilesIsSilent(t *testing.T) {
	catalogue, text := goodFile(t, "full-catalogue.yaml")
	assert.Empty(t, Lint([]string{catalogue}))
	assert.NoError(t, Lint([]string{catalogue}).Err(), "no faults compare equal to no error")
	dir := folder(t, map[string]string{"parts.yaml": string(text), "job.yaml": "inputs: [later.xlsx]\ncatalogue: [parts.yaml]\n"})
	assert.Empty(t, Lint([]string{filepath.Join(dir, "job.yaml"), filepath.Join(dir, "parts.yaml")}), "named twice, checked twice, no clash")
}
