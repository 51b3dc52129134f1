package config

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"

	"pitlist/score"
)

// LoadCatalogue reads the files of Job.CatalogueFiles in their order. An entry
// with an id that came before is an overlay: it replaces the curves, the
// weight, the share or the rates of that entry. The error says only that a
// file could not be read at all; with faults, the catalogue holds the entries
// that could be understood and must not be scored with.
func LoadCatalogue(files []string) (*score.Catalogue, Faults, error) {
	set := newSet()
	for _, path := range files {
		data, err := readFile(path)
		if err != nil {
			return nil, nil, fmt.Errorf("read catalogue %s: %w", path, err)
		}
		set.add(path, data)
	}
	c, faults := set.catalogue(true)
	return c, faults, nil
}

// ParseCatalogue reads one file's bytes as a whole catalogue; name is its
// path, for messages. The catalogue is never nil.
func ParseCatalogue(name string, data []byte) (*score.Catalogue, Faults) {
	set := newSet()
	set.add(name, data)
	return set.catalogue(true)
}

// set gathers the entries of several files.
type set struct {
	entries []*entry       // in the order of their first appearance
	byID    map[string]int // id -> index in entries
	late    []field        // ids of overlays whose entry no file before them has
	scribes []*scribe      // one a file
	digest  []byte         // the text that the digest is made of
}

func newSet() *set { return &set{byID: map[string]int{}} }

// add reads one file.
func (c *set) add(path string, data []byte) {
	sum := sha256.Sum256(data)
	c.digest = fmt.Appendf(c.digest, "%s %x\n", filepath.Base(path), sum)
	s := &scribe{file: path}
	c.scribes = append(c.scribes, s)
	doc := s.document(data)
	if doc == nil {
		return
	}
	if g, ok := s.root(doc).group("parts", "learned"); ok {
		if mark := g.get("learned"); mark.written() {
			learned(mark)
		}
		c.read(g.need("parts", "a catalogue is parts: followed by a list of entries"))
	}
}

// read takes the entries of one file in order.
func (c *set) read(f field) {
	if !f.written() {
		return
	}
	if f.node.Kind != kindList {
		f.wants("a list of entries", "begin each entry with - id: …")
		return
	}
	if len(f.items()) == 0 {
		f.fault("parts holds no entry", "begin each entry with - id: …")
	}
	here := map[string]int{} // id -> line, in this file
	for _, item := range f.items() {
		g, ok := item.group(partKeys...)
		if !ok {
			continue
		}
		at := g.need("id", "give the entry a short name of its own: id: pump-follower")
		id := readID(at)
		if line, twice := here[id]; twice && id != "" {
			at.faultf("give each entry an id of its own", "the id %s stands twice in this file; the first is in line %d", id, line)
			readEntry(id, g) // for its faults
			continue
		}
		here[id] = at.at.Line
		c.place(id, at, g)
	}
}

// place adds a full entry, or lays an overlay over the entry it speaks of.
func (c *set) place(id string, at field, g group) {
	before, known := c.byID[id]
	switch {
	case isOverlay(g) && known:
		c.entries[before].overlay(g)
	case isOverlay(g):
		new(entry).overlay(g) // for its faults
		c.late = append(c.late, at)
	case known && id != "":
		first := c.entries[before].part
		at.faultf("give it another id; an entry that only overrides holds id and some of "+strings.Join(overlayKeys[1:], ", "),
			"the id %s is taken by %s, line %d", id, first.File, first.Line)
		readEntry(id, g) // for its faults
	default:
		c.byID[id] = len(c.entries)
		c.entries = append(c.entries, readEntry(id, g))
	}
}

// catalogue closes the set. whole says that all files were given, so that an
// overlay without its entry is a fault.
func (c *set) catalogue(whole bool) (*score.Catalogue, Faults) {
	out := &score.Catalogue{}
	var ids []string
	for _, e := range c.entries {
		out.Parts = append(out.Parts, e.part)
		ids = append(ids, e.part.ID)
	}
	for _, at := range c.late {
		if whole && at.written() {
			at.faultf(lateHint(at.raw(), ids), "no entry before this one has the id %s, so there is nothing to override", shorten(at.raw()))
		}
	}
	c.namesOnce()
	c.looksAlike()
	sum := sha256.Sum256(c.digest)
	out.Digest = hex.EncodeToString(sum[:])
	var faults Faults
	for _, s := range c.scribes {
		faults = append(faults, s.faults...)
	}
	return out, faults.sorted()
}

func lateHint(id string, ids []string) string {
	if hint := didYouMean(id, ids); hint != "" {
		return hint
	}
	return "an entry of its own needs " + strings.Join(required, ", ")
}

// namesOnce checks that an inspection sheet, which may give a part's id or its
// name, can mean one part only.
func (c *set) namesOnce() {
	owner := map[string]*entry{}
	for _, e := range c.entries {
		if id := plain(e.part.ID); id != "" {
			owner[id] = e
		}
	}
	for _, e := range c.entries {
		name := plain(e.part.Name)
		if name == "" {
			continue
		}
		if o := owner[name]; o != nil && o != e {
			e.name.faultf("give each part a name of its own", "the name %q is also that of %s (%s, line %d)", shorten(e.part.Name), o.part.ID, o.part.File, o.part.Line)
			continue
		}
		owner[name] = e
	}
}

// looksAlike checks that checks of one id are one look: on a vehicle that has
// both parts it is made once, and takes its minutes once, at one place.
func (c *set) looksAlike() {
	type look struct {
		check *score.Check
		part  string
	}
	first := map[string]look{}
	for _, e := range c.entries {
		for i := range e.part.Checks {
			k := &e.part.Checks[i]
			was, known := first[k.ID]
			const hint = "checks of one id are one look, made once: give both the same, or give this one another id"
			switch {
			case !known:
				first[k.ID] = look{k, e.part.ID}
			case was.part == e.part.ID: // told where the entry is read
			case k.Minutes > 0 && was.check.Minutes > 0 && k.Minutes != was.check.Minutes:
				e.looks[i].get("minutes").faultf(hint, "the check %s takes %g minutes here and %g in %s", k.ID, k.Minutes, was.check.Minutes, was.part)
			case k.Place != "" && was.check.Place != "" && k.Place != was.check.Place:
				e.looks[i].get("place").faultf(hint, "the check %s is made in the %s here and in the %s in %s", k.ID, k.Place, was.check.Place, was.part)
			}
		}
	}
}

// readID takes an id: a word that stands in file names, columns and overlays.
func readID(f field) string {
	id := f.text()
	switch {
	case strings.ContainsAny(id, " \t"):
		f.faultf("write "+strings.Join(strings.Fields(id), "-"), "the id %q holds blanks", shorten(id))
	case notInName.MatchString(id) || strings.ContainsAny(id, ",;"):
		f.faultf("letters, digits and hyphens are safe", "the id %q holds a character that file names and lists cannot have", shorten(id))
	}
	return id
}
