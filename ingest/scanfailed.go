package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
)

// Words of headings that say how a scan went, and of scans that failed (common
// practice, no source), folded.
var (
	scanHeads  = []string{"scan", "communic", "connect", "kommunikation", "verbindung", "auslesung", "comunic"}
	failedScan = []string{"no comm", "fail", "abort", "timeout", "time out", "timed out", "not connected", "no response", "no connection", "incomplete", "keine kommunikation", "keine verbindung", "keine antwort", "abgebrochen", "fehlgeschlagen",
		"echec", "pas de communication", "sin comunicacion", "fallido", "interrumpid"}
)

// scanFailed tells whether a column beside the codes says that the scan of the
// row failed.
func (c *converter) scanFailed() bool {
	for _, col := range c.columns {
		if col.Field != header.Ignore && col.Field != header.State || col.Heading == "" || !holdsAny(value.Fold(col.Heading), scanHeads) {
			continue
		}
		if s := c.present(col); s != "" && len(s) < 100 && holdsAny(value.Fold(s), failedScan) {
			return true
		}
	}
	return false
}

func holdsAny(s string, parts []string) bool {
	for _, p := range parts {
		if strings.Contains(s, p) {
			return true
		}
	}
	return false
}
