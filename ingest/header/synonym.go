package header

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

//go:embed synonyms.txt
var synonymText string

// rank says how good a claim on a field is.
type rank int

const (
	nearby    rank = iota + 1 // only to be offered
	weak                      // stands back behind a strong one, and is never sure
	strong                    // a known wording
	canonical                 // the field's own name
	told                      // the job says so
)

// claim is one thing that a heading may mean.
type claim struct {
	field Field
	rank  rank
	lang  string
}

// vocabulary holds the known wordings by key. It never changes once made.
type vocabulary struct {
	claims map[string][]claim // none for wordings known to be of no use
	keys   []string           // sorted, for typing slips
	bags   map[string]string  // words in order of the alphabet -> key, for wordings of two words and more; "" where two wordings share them
}

// known is loaded when a sheet is first read: what asks for no sheet need not wait.
var known = sync.OnceValue(func() *vocabulary { return mustLoad(synonymText) })

func mustLoad(text string) *vocabulary {
	v, err := load(text)
	if err != nil {
		panic("header: synonyms.txt: " + err.Error())
	}
	return v
}

// load reads lines "language;field;wording". Before the field stands ~ for a weak claim and ? for one that is only offered; the
// field "-" marks wordings that are known and of no use, so that no likeness is seen in them.
func load(text string) (*vocabulary, error) {
	v := &vocabulary{claims: make(map[string][]claim), bags: make(map[string]string)}
	for n, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		col := strings.SplitN(line, ";", 3)
		if len(col) != 3 {
			return nil, fmt.Errorf("line %d: want language;field;wording", n+1)
		}
		c, err := parseClaim(col[1], col[0])
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", n+1, err)
		}
		raw := rawWords(col[2])
		words := wordsAmong(raw)
		for _, k := range spellings(col[2], raw, words) {
			v.add(k, c)
		}
		v.addBag(words)
	}
	for _, f := range Fields() {
		if f != Measured {
			v.claims[key(wordsOf(string(f)))] = withCanonical(v.claims[key(wordsOf(string(f)))], f)
		}
	}
	for k := range v.claims {
		v.keys = append(v.keys, k)
	}
	slices.Sort(v.keys)
	return v, nil
}

func parseClaim(field, lang string) (claim, error) {
	c := claim{rank: strong, lang: lang}
	switch {
	case field == "-":
		return claim{lang: lang}, nil
	case strings.HasPrefix(field, "~"):
		c.rank = weak
	case strings.HasPrefix(field, "?"):
		c.rank = nearby
	}
	c.field = Field(strings.TrimLeft(field, "~?"))
	if !c.field.Valid() {
		return c, fmt.Errorf("no field %q", c.field)
	}
	return c, nil
}

func (v *vocabulary) add(k string, c claim) {
	list := v.claims[k]
	if c.field == Ignore {
		v.claims[k] = list
		return
	}
	for _, was := range list {
		if was.field == c.field {
			return
		}
	}
	v.claims[k] = append(list, c)
}

// addBag files a wording under its words whatever their order: "Nr. Motor" for "Motor-Nr.".
func (v *vocabulary) addBag(words []string) {
	if len(words) < 2 {
		return
	}
	b, k := bag(words), key(words)
	if was, ok := v.bags[b]; ok && was != k {
		k = ""
	}
	v.bags[b] = k
}

func bag(words []string) string {
	return strings.Join(slices.Sorted(slices.Values(words)), " ")
}

// withCanonical puts a field's own name before the other claims on the same wording, which stay: "status" may be a code's.
func withCanonical(list []claim, f Field) []claim {
	rest := slices.DeleteFunc(slices.Clone(list), func(c claim) bool { return c.field == f })
	return append([]claim{{f, canonical, "name"}}, rest...)
}

// spellings gives the keys of a wording, whose words are given: with umlauts plain and spelled out, with and without articles.
func spellings(wording string, raw, words []string) []string {
	out := []string{key(words), key(raw)}
	if spelled := umlauts.Replace(wording); spelled != wording {
		out = append(out, key(wordsOf(spelled)))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae", "Ö", "Oe", "Ü", "Ue", "å", "aa", "Å", "Aa", "ø", "oe", "Ø", "Oe")
