package main

import (
	"fmt"
	"runtime/debug"
	"time"

	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

// version is the program's own, as the build knows it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" || info.Main.Version == "(devel)" {
		return "development build"
	}
	return info.Main.Version
}

// place names a sheet for people.
func place(s score.Source) say.Text {
	if s.Sheet == "" {
		return say.Plain(s.File)
	}
	return say.F("%s, sheet %s", s.File, s.Sheet)
}

func noDay(s string) error {
	return usageError(fmt.Errorf("%q is no day", s), "write it as 2026-11-25")
}

// parseDay reads a day as the command line gives it.
func parseDay(s string) (score.Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, noDay(s)
	}
	return odometer.DayOf(t), nil
}
