package config

import (
	"path/filepath"
	"strings"
	"unicode"
)

// Sign is a file that stands beside another one and says that the other is not
// ready to be read. It is no input itself.
type Sign struct {
	Of      string // name of the file it speaks of, without a folder
	Copying bool   // part of a copy that is not finished; else a lock: the file is open in a program that may yet save
}

// SignOf tells by its name whether a file is such a sign. The names are those
// that the programs in use give (common practice, no source): spreadsheet and
// text programs' locks, browsers', mirrors' and transfer programs' parts.
func SignOf(path string) (s Sign, ok bool) {
	name := filepath.Base(path)
	if of, ok := strings.CutPrefix(name, "~$"); ok {
		return Sign{Of: of}, of != ""
	}
	if of, ok := between(name, ".~lock.", "#"); ok {
		return Sign{Of: of}, true
	}
	if of, ok := strings.CutPrefix(name, ".#"); ok {
		return Sign{Of: of}, of != ""
	}
	if of, ok := between(name, ".", ".swp"); ok {
		return Sign{Of: of}, true
	}
	for _, ending := range []string{".part", ".partial", ".filepart", ".crdownload", ".tmp"} {
		if of, ok := between(name, "", ending); ok {
			return Sign{Of: of, Copying: true}, true
		}
	}
	if of, ok := mirrored(name); ok {
		return Sign{Of: of, Copying: true}, true
	}
	return Sign{}, false
}

func between(name, prefix, suffix string) (string, bool) {
	rest, ok := strings.CutPrefix(name, prefix)
	if !ok {
		return "", false
	}
	rest, ok = strings.CutSuffix(rest, suffix)
	return rest, ok && rest != ""
}

// mirrored reads the name that a file has while it is being mirrored: a dot,
// the name with its ending, a dot and six letters and digits drawn at random. Six small
// letters may be a word (.units.csv.backup), so they do not count.
func mirrored(name string) (string, bool) {
	rest, ok := strings.CutPrefix(name, ".")
	i := strings.LastIndexByte(rest, '.')
	if !ok || i < 1 || len(rest)-i != 7 || filepath.Ext(rest[:i]) == "" {
		return "", false
	}
	drawn, word := rest[i+1:], true
	for _, r := range drawn {
		if r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return "", false
		}
		word = word && unicode.IsLower(r)
	}
	return rest[:i], !word
}
