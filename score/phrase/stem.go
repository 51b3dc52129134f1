package phrase

import (
	"strings"
	"unicode/utf8"
)

// stem takes the endings of number and of simple verb forms off a folded word: bearings, knocks, knocking, Pumpen. It is
// light on purpose: two words that share a stem without sharing a sense cost a wrong hit, a missed form only a phrase
// more in the catalogue. The result is a part of the given bytes.
func stem(w []byte) []byte {
	w = singular(w)
	if len(w) < 4 || isUnstemmed(w) {
		return w
	}
	cut := w
	switch {
	case hasSuffix(w, "ing"):
		cut = w[:len(w)-3]
	case hasSuffix(w, "ed"):
		cut = w[:len(w)-2]
	case len(w) >= 6 && hasSuffix(w, "en"):
		cut = w[:len(w)-2]
	}
	if len(cut) >= 3 && hasVowel(cut) {
		w = cut
	}
	n := len(w)
	if n > 3 && w[n-1] == 'e' || n > 4 && (w[n-1] == 'a' || w[n-1] == 'y') && !hasVowel(w[n-2:n-1]) {
		return w[:n-1] // noisy, noise; pompa, pompy
	}
	if n > 3 && w[n-1] == w[n-2] {
		return w[:n-1] // plugged, plug; pull, pulling
	}
	return w
}

// singular takes an English plural ending off. It may change the last letter that remains ("batteries", "battery"), so
// the caller's bytes are not those of the text.
func singular(w []byte) []byte {
	n := len(w)
	switch {
	case n < 4 || w[n-1] != 's' || hasSuffix(w, "ss") || hasSuffix(w, "us") || hasSuffix(w, "is"):
		return w
	case n > 4 && hasSuffix(w, "ies"):
		w[n-3] = 'y'
		return w[:n-2]
	case hasSuffix(w, "xes") || hasSuffix(w, "ches") || hasSuffix(w, "shes") || hasSuffix(w, "sses"):
		return w[:n-2]
	}
	return w[:n-1]
}

func hasSuffix(w []byte, s string) bool { return len(w) >= len(s) && string(w[len(w)-len(s):]) == s }

func hasVowel(w []byte) bool {
	for _, b := range w {
		if strings.IndexByte("aeiouy", b) >= 0 {
			return true
		}
	}
	return false
}

// isUnstemmed looks the word up in the list of those whose ending is no ending.
func isUnstemmed(w []byte) bool {
	if !hasSuffix(w, "ing") && !hasSuffix(w, "ed") && !hasSuffix(w, "en") {
		return false
	}
	_, known := unstemmed[string(w)]
	return known
}

// slipLetters is the least length at which a word may be bridged to another by one typing slip.
const slipLetters = 5

// slipClassLetters is the same for the words of acting and judging. It is greater because a slip bridged to one of them
// changes what is said to have been done: stored is not scored.
const slipClassLetters = 7

// oneSlip tells whether a and b differ by one letter changed, left out, put in, or by two neighbours exchanged. The
// first letter must agree: it is seldom mistyped, and front and font, rear and near stay apart.
func oneSlip(a, b string) bool {
	if len(a) < len(b) {
		a, b = b, a
	}
	if len(a)-len(b) > 1 || a[0] != b[0] {
		return false
	}
	i := 0
	for i < len(b) && a[i] == b[i] {
		i++
	}
	if len(a) > len(b) {
		return a[i+1:] == b[i:]
	}
	if i == len(b) || a[i+1:] == b[i+1:] {
		return i < len(b)
	}
	return i+1 < len(b) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// longEnough tells whether the word has letters enough to be bridged.
func longEnough(w []byte) bool { return len(w) >= slipLetters && utf8.RuneCount(w) >= slipLetters }
