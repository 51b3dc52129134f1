package config

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"
)

// yamlNode keeps the YAML library out of the files that know jobs and parts.
type yamlNode = yaml.Node

// The kinds of value told apart.
const (
	kindScalar = yaml.ScalarNode
	kindList   = yaml.SequenceNode
	kindGroup  = yaml.MappingNode
)

// field is one value of a file with its place and the path of its key. A
// field whose node is nil was not written.
type field struct {
	s    *scribe
	path string     // parts[2].costs.failure
	node *yaml.Node // aliases already followed
	at   *yaml.Node // where to point: the value, or the key where it has none
}

// name is the last part of the path, as messages call the value.
func (f field) name() string {
	if i := strings.LastIndexByte(f.path, '.'); i >= 0 {
		return f.path[i+1:]
	}
	return f.path
}

// written tells whether the file has the key at all.
func (f field) written() bool { return f.node != nil }

// raw is the value as written, for messages.
func (f field) raw() string {
	if f.node != nil && f.node.Kind == yaml.ScalarNode {
		return f.node.Value
	}
	return ""
}

// fault records something wrong with the value.
func (f field) fault(problem, hint string) {
	line, column := 1, 1
	if f.at != nil {
		line, column = f.at.Line, f.at.Column
	}
	f.s.at(line, column, f.path, f.raw(), problem, hint)
}

func (f field) faultf(hint, format string, args ...any) { f.fault(fmt.Sprintf(format, args...), hint) }

// kind names what a node is, in a planner's words.
func (f field) kind() string {
	switch {
	case f.node.Kind == yaml.MappingNode:
		return "a group of keys"
	case f.node.Kind == yaml.SequenceNode:
		return "a list"
	case f.node.Tag == "!!null":
		return "nothing"
	}
	return strconv.Quote(shorten(f.node.Value))
}

// wants records a value of the wrong sort.
func (f field) wants(what, hint string) {
	if f.node.Tag == "!!null" {
		f.faultf("give it a value or leave the key out", "%s has no value; it wants %s", f.name(), what)
		f.s.markBlank()
		return
	}
	f.faultf(hint, "%s wants %s, got %s", f.name(), what, f.kind())
}

// scalar tells whether the value is a plain one, else records what is wanted.
func (f field) scalar(what string) bool {
	switch {
	case f.node == nil:
		return false
	case f.node.Kind != yaml.ScalarNode || f.node.Tag == "!!null":
		f.wants(what, "")
		return false
	case f.node.Style&yaml.TaggedStyle != 0:
		f.fault("the tag "+f.node.Tag+" is not understood", "leave it out")
		return false
	}
	return true
}

func (f field) quoted() bool {
	return f.node.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
}

// text reads a text; any plain value will do, as it is written (part_no: 0012
// keeps its zeros). Blanks around it are dropped; an empty text is a fault.
func (f field) text() string {
	if !f.scalar("a text") {
		return ""
	}
	t := strings.TrimSpace(f.node.Value)
	if t == "" {
		f.faultf("write it or leave the key out", "%s is an empty text", f.name())
	}
	return t
}

// oneOf reads one of a few words; the default stands where none is written or
// the word is not known.
func (f field) oneOf(def string, words ...string) string {
	if !f.scalar("one of " + strings.Join(words, ", ")) {
		return def
	}
	for _, w := range words {
		if f.node.Value == w {
			return w
		}
	}
	f.faultf(didYouMean(f.node.Value, words), "%s is %q; it is one of %s", f.name(), shorten(f.node.Value), strings.Join(words, ", "))
	return def
}

// yes reads a truth value.
func (f field) yes(def bool) bool {
	if !f.scalar("true or false") {
		return def
	}
	switch strings.ToLower(f.node.Value) {
	case "true", "yes":
		return true
	case "false", "no":
		return false
	}
	f.wants("true or false", "")
	return def
}

// decimal is how a number is written: no octal, hexadecimal, blanks or words.
var decimal = regexp.MustCompile(`^[-+]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][-+]?[0-9]+)?$`)

// number reads a finite number within r; the default stands where none is
// written or the value is at fault. ok tells that the file gave a good one.
func (f field) number(def float64, r span) (v float64, ok bool) {
	if !f.scalar("a number") {
		return def, false
	}
	text := f.node.Value
	switch {
	case f.quoted() && decimal.MatchString(text):
		f.wants("a number", "take the quotes away")
		return def, false
	case !decimal.MatchString(text):
		f.wants("a number", numberHint(text))
		return def, false
	case leadingZero(text):
		f.wants("a number", "leave out the zero in front: YAML reads such numbers as octal")
		return def, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) {
		f.wants("a number", "it is too large")
		return def, false
	}
	if !r.holds(v) {
		f.faultf("", "%s is %s; %s", f.name(), text, r.say)
		return def, false
	}
	return v, true
}

func leadingZero(text string) bool {
	t := strings.TrimLeft(text, "+-")
	return len(t) > 1 && t[0] == '0' && t[1] >= '0' && t[1] <= '9'
}

// numberHint says what is wrong with a text that was meant as a number.
func numberHint(text string) string {
	squeezed := strings.NewReplacer(" ", "", "_", "", "'", "", "\u00a0", "", "\u202f", "").Replace(text)
	low := strings.ToLower(text)
	switch {
	case strings.Contains(low, "inf") || strings.Contains(low, "nan"):
		return "write a finite number"
	case strings.HasPrefix(low, "0x") || strings.HasPrefix(low, "0o") || strings.HasPrefix(low, "0b"):
		return "write it in decimal digits"
	case decimal.MatchString(squeezed):
		return "write it without marks between the digits: " + squeezed
	case decimal.MatchString(strings.Replace(squeezed, ",", ".", 1)):
		return "write a decimal point: " + strings.Replace(squeezed, ",", ".", 1)
	case decimal.MatchString(strings.TrimSuffix(squeezed, "%")):
		return "write a share of 1, not a percentage"
	}
	return ""
}

// whole reads a whole number.
func (f field) whole(def int, r span) int {
	v, ok := f.number(float64(def), r)
	if ok && v != math.Trunc(v) {
		f.wants("a whole number", "")
		return def
	}
	return int(v)
}

// duration reads a number of some unit; the default is in that unit too.
func (f field) duration(def float64, unit time.Duration, r span) time.Duration {
	v, _ := f.number(def, r)
	return time.Duration(v * float64(unit))
}

// span is the range of a number, with words for what lies outside.
type span struct {
	low, high         float64 // ±Inf: no end
	openLow, openHigh bool    // the end itself lies outside
	say               string
}

func (r span) holds(v float64) bool {
	return (v > r.low || (!r.openLow && v == r.low)) && (v < r.high || (!r.openHigh && v == r.high))
}

// The spans that come up again and again.
var (
	share    = span{low: 0, high: 1, say: "it lies between 0 and 1"}
	rate     = span{low: 0, high: 1, openLow: true, say: "a rate lies above 0 and at most at 1"}
	chance   = span{low: 0, high: 1, openLow: true, say: "it lies above 0 and at most at 1"}
	quantile = span{low: 0, high: 1, openLow: true, openHigh: true, say: "it lies above 0 and below 1"}
	atLeast0 = span{low: 0, high: math.Inf(1), say: "it cannot be below 0"}
	above0   = span{low: 0, high: math.Inf(1), openLow: true, say: "it must be above 0"}
	anything = span{low: math.Inf(-1), high: math.Inf(1)}
)
