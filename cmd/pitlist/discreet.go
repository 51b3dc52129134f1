package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"regexp"
)

// newLog writes structured lines as text or as JSON. Above the level of debug
// it is discreet.
func newLog(w io.Writer, form string, level slog.Level) (*slog.Logger, error) {
	options := &slog.HandlerOptions{Level: level}
	switch form {
	case "text":
		return slog.New(discreet{slog.NewTextHandler(w, options)}), nil
	case "json":
		return slog.New(discreet{slog.NewJSONHandler(w, options)}), nil
	}
	return nil, usageError(fmt.Errorf("--log is %q; it is text or json", form), "for example: pitlist schedule weekly.yaml --log json")
}

// discreet keeps VINs out of log lines above debug. Lines are made of counts
// and times, and name no vehicle and nobody; but a message about a catalogue's range or
// a file may quote a VIN, and logs travel further than lists do.
type discreet struct{ slog.Handler }

func (d discreet) Handle(ctx context.Context, r slog.Record) error {
	if r.Level <= slog.LevelDebug {
		return d.Handler.Handle(ctx, r)
	}
	out := slog.NewRecord(r.Time, r.Level, masked(r.Message), r.PC)
	r.Attrs(func(a slog.Attr) bool {
		out.AddAttrs(maskedAttr(a))
		return true
	})
	return d.Handler.Handle(ctx, out)
}

func (d discreet) WithAttrs(attrs []slog.Attr) slog.Handler {
	out := make([]slog.Attr, len(attrs))
	for i, a := range attrs {
		out[i] = maskedAttr(a)
	}
	return discreet{d.Handler.WithAttrs(out)}
}

func (d discreet) WithGroup(name string) slog.Handler { return discreet{d.Handler.WithGroup(name)} }

func maskedAttr(a slog.Attr) slog.Attr {
	v := a.Value.Resolve()
	switch v.Kind() {
	case slog.KindString:
		return slog.String(a.Key, masked(v.String()))
	case slog.KindGroup:
		parts := v.Group()
		out := make([]any, len(parts))
		for i, p := range parts {
			out[i] = maskedAttr(p)
		}
		return slog.Group(a.Key, out...)
	case slog.KindAny:
		return slog.String(a.Key, masked(fmt.Sprint(v.Any())))
	}
	return a
}

// vinLike is what may be a VIN or most of one: 10 to 17 of its characters (ISO
// 3779: no I, O, Q) with digits and letters both; the check of form is left
// out on purpose.
var vinLike = regexp.MustCompile(`(?i)\b[A-HJ-NPR-Z0-9]{10,17}\b`)

func masked(s string) string {
	return vinLike.ReplaceAllStringFunc(s, func(w string) string {
		digits, letters := 0, 0
		for _, r := range w {
			if r >= '0' && r <= '9' {
				digits++
			} else {
				letters++
			}
		}
		if digits < 3 || letters < 2 {
			return w
		}
		return "(VIN left out)"
	})
}
