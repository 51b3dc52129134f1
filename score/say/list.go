package say

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
)

// words are the lists of all forms, in English and Spanish, one for each
// package that has something to say.
//
//go:embed words
var words embed.FS

// entry is one form with its translation.
type entry struct {
	where  string
	en, es string
}

// parse reads the list: an English line, its Spanish line, a blank line; lines
// that begin with # are headings.
func parse(file, text string) ([]entry, error) {
	var out []entry
	var open *entry
	for i, line := range strings.Split(text, "\n") {
		n := i + 1
		en, isEn := strings.CutPrefix(line, "en: ")
		es, isEs := strings.CutPrefix(line, "es: ")
		switch {
		case strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "":
			if open != nil {
				return nil, fmt.Errorf("%s:%d: the form above has no Spanish", file, n)
			}
		case isEn && open == nil:
			open = &entry{where: fmt.Sprintf("%s:%d", file, n), en: unquoted(en)}
		case isEs && open != nil:
			open.es = unquoted(es)
			out, open = append(out, *open), nil
		default:
			return nil, fmt.Errorf("%s:%d: a line \"en: …\" and then \"es: …\" are expected, not %q", file, n, line)
		}
	}
	if open != nil {
		return nil, fmt.Errorf("%s: the last form has no Spanish", open.where)
	}
	return out, nil
}

// unquoted lets a form begin or end with a blank: such stand between bars.
func unquoted(s string) string {
	if len(s) >= 2 && strings.HasPrefix(s, "|") && strings.HasSuffix(s, "|") {
		return s[1 : len(s)-1]
	}
	return s
}

// entries reads every list.
func entries() ([]entry, error) {
	var out []entry
	err := fs.WalkDir(words, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := words.ReadFile(path)
		if err != nil {
			return err
		}
		list, err := parse(path, string(text))
		out = append(out, list...)
		return err
	})
	return out, err
}

// spanish are the forms in Spanish; withoutValues the texts of those that take
// no value, made once: a million rows may say the same.
var spanish, withoutValues = tables()

func tables() (map[string]string, map[string]Text) {
	list, err := entries()
	if err != nil {
		panic(err) // the lists are part of the program; a test reads them
	}
	forms, texts := make(map[string]string, len(list)), make(map[string]Text, len(list))
	for _, e := range list {
		forms[e.en] = e.es
		if !strings.Contains(e.en, "%") {
			texts[e.en] = Text{&saying{words: e.en}}
		}
	}
	return forms, texts
}
