package config

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// Limits on what a file may ask of the reader. Real catalogues are far below;
// a few lines of aliases to aliases can otherwise stand for gigabytes.
const (
	maxBytes = 8 << 20
	maxNodes = 500_000 // values, with every alias counted as often as it is used
	maxDepth = 40      // mappings and lists within each other
)

// scribe collects the faults of one file.
type scribe struct {
	file   string
	faults Faults
}

// at records a fault at a place given by line and column.
func (s *scribe) at(line, column int, key, value, problem, hint string) {
	s.faults = append(s.faults, Fault{
		File: s.file, Line: line, Column: column,
		Key: key, Value: shorten(value), Problem: problem, Hint: hint,
	})
}

// markBlank says of the fault recorded last that a value is all that lacks.
func (s *scribe) markBlank() { s.faults[len(s.faults)-1].blank = true }

// document reads the one document of a file; the node is nil where nothing
// can be read from it, and then the fault is recorded.
func (s *scribe) document(data []byte) *yaml.Node {
	if len(data) > maxBytes {
		s.at(0, 0, "", "", fmt.Sprintf("the file has more than %d bytes, the most that is read", maxBytes), "split it into several files")
		return nil
	}
	if !s.readable(data) {
		return nil
	}
	loader, err := yaml.NewLoader(bytes.NewReader(data))
	if err != nil {
		s.at(0, 0, "", "", "the file cannot be read as YAML: "+err.Error(), "")
		return nil
	}
	var doc yaml.Node
	switch err := loader.Load(&doc); {
	case errors.Is(err, io.EOF), err == nil && len(doc.Content) == 0:
		s.at(1, 1, "", "", "the file is empty", "a job needs at least inputs and catalogue, a catalogue needs parts")
		return nil
	case err != nil:
		s.syntax(err, data)
		return nil
	}
	s.single(loader, data)
	if !s.within(doc.Content[0]) {
		return nil
	}
	return doc.Content[0]
}

// readable finds what no text editor should have written, with its place: the
// YAML reader gives none for it.
func (s *scribe) readable(data []byte) bool {
	if bytes.HasPrefix(data, []byte{0xFE, 0xFF}) || bytes.HasPrefix(data, []byte{0xFF, 0xFE}) {
		s.at(1, 1, "", "", "the file is saved as UTF-16", "save it as UTF-8")
		return false
	}
	line, column := 1, 1
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			s.at(line, column, "", fmt.Sprintf("byte %02X", data[i]), "the file is not UTF-8 text here", "save it as UTF-8")
			return false
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0x7F:
			s.at(line, column, "", fmt.Sprintf("character %02X", r), "a control character stands here", "delete it; the file may not be a text file")
			return false
		case r == '\n':
			line, column = line+1, 0
		case r == '\ufeff' && i == 0:
			column = 0
		}
		i, column = i+n, column+1
	}
	return true
}

// single reports a second document, which would otherwise be ignored.
func (s *scribe) single(loader *yaml.Loader, data []byte) {
	var next yaml.Node
	switch err := loader.Load(&next); {
	case errors.Is(err, io.EOF):
	case err != nil:
		s.syntax(err, data)
	default:
		s.at(next.Line, next.Column, "", "---", "a second document begins here", "keep one document a file; a line of --- ends the first")
	}
}

// within walks the tree as the reader will, aliases followed, and stops at a
// file that stands for more than it should or that contains itself.
func (s *scribe) within(root *yaml.Node) bool {
	seen := 0
	var open []*yaml.Node // aliased nodes being walked
	var walk func(n *yaml.Node, depth int) bool
	walk = func(n *yaml.Node, depth int) bool {
		if seen++; seen > maxNodes {
			s.at(n.Line, n.Column, "", "", fmt.Sprintf("the file stands for more than %d values, aliases counted each time", maxNodes), "split it into several files; an alias counts as often as it is used")
			return false
		}
		if depth > maxDepth {
			s.at(n.Line, n.Column, "", "", fmt.Sprintf("mappings and lists are nested more than %d deep", maxDepth), "")
			return false
		}
		if n.Kind == yaml.AliasNode {
			for _, o := range open {
				if o == n.Alias {
					s.at(n.Line, n.Column, "", "*"+n.Value, "the alias *"+n.Value+" stands inside what it names", "write the value out")
					return false
				}
			}
			open = append(open, n.Alias)
			ok := walk(n.Alias, depth+1)
			open = open[:len(open)-1]
			return ok
		}
		for _, c := range n.Content {
			if !walk(c, depth+1) {
				return false
			}
		}
		return true
	}
	return walk(root, 0)
}

// syntax rewords what the YAML reader stumbled over.
func (s *scribe) syntax(err error, data []byte) {
	var le *yaml.LoadError
	if !errors.As(err, &le) {
		s.at(0, 0, "", "", "the file cannot be read as YAML: "+err.Error(), "")
		return
	}
	problem, hint := reword(le.Message, lineOf(data, le.Mark.Line))
	line, column := le.Mark.Line, le.Mark.Column
	// An unclosed quote or bracket is noticed only at the end: point to where
	// it was opened.
	if strings.Contains(le.ContextMsg, "flow") || strings.Contains(le.ContextMsg, "quoted") {
		line, column = le.ContextMark.Line, le.ContextMark.Column
	}
	s.at(line, column, "", "", problem, hint)
}

func lineOf(data []byte, line int) string {
	lines := bytes.Split(data, []byte("\n"))
	if line < 1 || line > len(lines) {
		return ""
	}
	return string(lines[line-1])
}

// reword turns the reader's grammar into a planner's words; an unknown message
// is passed on as it is.
func reword(message, line string) (problem, hint string) {
	tab := strings.HasPrefix(strings.TrimLeft(line, " "), "\t")
	switch {
	case strings.Contains(message, "cannot start any token") && tab:
		return "a tab stands where blanks are wanted", "indent with blanks only"
	case strings.Contains(message, "cannot start any token"):
		return "a text begins with a character that has a meaning of its own here", `put the text in quotes: "…"`
	case strings.Contains(message, "mapping values are not allowed"):
		return "a colon stands where no key can be", `put a text with a colon in quotes, or check the indentation`
	case strings.Contains(message, "unexpected end of stream"):
		return "a quote is opened here and never closed", `close it with the same sign`
	case strings.Contains(message, "expected ',' or ']'"):
		return "a list is opened here and not closed", "close it with ], and put commas between the values"
	case strings.Contains(message, "expected ',' or '}'"):
		return "a group is opened here and not closed", "close it with }, and put commas between the keys"
	case strings.Contains(message, "unknown anchor"):
		return "the alias names no anchor: " + message, "put a text that begins with * in quotes"
	case strings.Contains(message, "tab character"):
		return "a tab stands here, where YAML wants blanks", "write blanks instead of tabs"
	case strings.Contains(message, "did not find expected"):
		return "the lines here do not belong together", "check the indentation of this line and the one before"
	}
	return "this is not YAML: " + message, ""
}
