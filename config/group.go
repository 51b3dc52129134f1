package config

import (
	"fmt"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
)

// follow gives the node that an alias names. A document was checked to be
// free of aliases that contain themselves.
func follow(n *yaml.Node) *yaml.Node {
	for n != nil && n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// root makes a field of a whole document.
func (s *scribe) root(n *yaml.Node) field {
	n = follow(n)
	return field{s: s, node: n, at: n}
}

// group is a mapping whose keys are known.
type group struct {
	field
	keys  map[string]field
	meant map[string]bool // known keys that an unknown one is a slip of
}

// group reads a mapping with the keys given. An unknown key, a key written
// twice and a merge key are recorded, and the others read on. Where the value
// is no mapping ok is false, with a fault unless it is not written at all.
func (f field) group(known ...string) (g group, ok bool) {
	g = group{field: f, keys: map[string]field{}, meant: map[string]bool{}}
	if f.node == nil {
		return g, false
	}
	if f.node.Kind != yaml.MappingNode {
		if f.path == "" {
			f.faultf("write key: value, one a line", "the file wants keys, got %s", f.kind())
		} else {
			f.wants("a group of keys", "its keys: "+strings.Join(known, ", "))
		}
		return g, false
	}
	f.pairs(func(key string, at *yaml.Node, v field) {
		for _, k := range known {
			if k == key {
				g.keys[key] = v
				return
			}
		}
		g.meant[nearest(key, known)] = true
		f.s.at(at.Line, at.Column, v.path, v.raw(), fmt.Sprintf("unknown key %q", shorten(key)), orKnown(key, known))
	})
	return g, true
}

// pairs calls use for each key that is written once and as a text.
func (f field) pairs(use func(key string, at *yaml.Node, v field)) {
	first := map[string]int{} // key -> line
	for i := 0; i+1 < len(f.node.Content); i += 2 {
		at, value := f.node.Content[i], follow(f.node.Content[i+1])
		k := follow(at)
		switch {
		case k.Tag == "!!merge":
			f.s.at(at.Line, at.Column, f.path, "<<", "the merge key << is not understood", "write the keys out")
			continue
		case k.Kind != yaml.ScalarNode || k.Tag == "!!null":
			f.s.at(at.Line, at.Column, f.path, "", "a key must be a word", "check the brackets and colons here")
			continue
		}
		if line, twice := first[k.Value]; twice {
			f.s.at(at.Line, at.Column, join(f.path, k.Value), k.Value, fmt.Sprintf("the key %q is written twice; the first is in line %d", shorten(k.Value), line), "keep one of them")
			continue
		}
		first[k.Value] = at.Line
		v := field{s: f.s, path: join(f.path, k.Value), node: value, at: f.node.Content[i+1]}
		if value.Kind == yaml.ScalarNode && value.Value == "" {
			v.at = at // an empty value stands nowhere: point to its key
		}
		use(k.Value, at, v)
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// get is the field of a key; its place is the group's where it is missing.
func (g group) get(key string) field {
	if f, ok := g.keys[key]; ok {
		return f
	}
	return field{s: g.s, path: join(g.path, key), at: g.at}
}

// need is get for a key that must be written and have a value. A slip of it was
// reported as an unknown key, and once is enough.
func (g group) need(key, hint string) field {
	f := g.get(key)
	switch {
	case f.written() && f.node.Kind == kindScalar && f.node.Tag == "!!null":
		f.faultf(hint, "%s has no value", key)
		f.s.markBlank()
		f.node = nil // said once
	case !f.written() && !g.meant[key]:
		f.faultf(hint, "%s is missing", key)
	}
	return f
}

// items reads a list; a single value stands for a list of one.
func (f field) items() []field {
	if f.node == nil {
		return nil
	}
	if f.node.Kind != yaml.SequenceNode {
		if f.node.Tag == "!!null" {
			f.wants("a list", "")
			return nil
		}
		return []field{f}
	}
	out := make([]field, len(f.node.Content))
	for i, n := range f.node.Content {
		out[i] = field{s: f.s, path: fmt.Sprintf("%s[%d]", f.path, i), node: follow(n), at: n}
	}
	return out
}

// texts reads a list of texts; empty ones are faults and left out.
func (f field) texts() []string {
	var out []string
	for _, item := range f.items() {
		if t := item.text(); t != "" {
			out = append(out, t)
		}
	}
	return out
}

// words reads a list of texts in which none stands twice, case aside.
func (f field) words() []string {
	seen := map[string]bool{}
	var out []string
	for _, item := range f.items() {
		t := item.text()
		if t == "" {
			continue
		}
		if low := strings.ToLower(t); seen[low] {
			item.faultf("delete one", "%q stands twice in the list", shorten(t))
		} else {
			seen[low] = true
			out = append(out, t)
		}
	}
	return out
}

// phrases reads words that are looked for in texts: without a letter or a
// digit there is nothing to look for.
func (f field) phrases() []string {
	out := f.words()
	for _, item := range f.items() {
		if t := item.raw(); strings.TrimSpace(t) != "" && !strings.ContainsFunc(t, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
			item.faultf("write the words of the workshop", "%q holds no word to look for", shorten(t))
		}
	}
	return out
}

// anyGroup tells whether the value is a mapping with keys of the user's own.
func (f field) anyGroup(what, hint string) bool {
	if f.node.Kind != yaml.MappingNode {
		f.wants(what, hint)
		return false
	}
	return true
}

// stated lists the paths of all keys written, for saying which values of a
// job are its own and which are defaults.
func stated(f field) []string {
	var out []string
	if f.node == nil || f.node.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(f.node.Content); i += 2 {
		k := follow(f.node.Content[i])
		if k.Kind != yaml.ScalarNode {
			continue
		}
		path := join(f.path, k.Value)
		out = append(out, path)
		out = append(out, stated(field{s: f.s, path: path, node: follow(f.node.Content[i+1])})...)
	}
	return out
}
