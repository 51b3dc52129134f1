package score

import (
	"math"
	"time"

	"pitlist/score/odometer"
	"pitlist/score/wear"
)

// Settings are the job's figures that the judgement needs. Distances are km.
type Settings struct {
	Day                 Day     // of the run; nothing else tells the time
	NextRunDays         float64 // until the next run
	HoldingKM           float64 // where the vehicle states no limit of its own
	HoldingHours        float64
	HoldingMonths       float64
	DefaultKMPerWeek    float64
	DefaultHoursPerWeek float64
	RecordsFrom         string  // "new", "first record", "none"
	NoneUnlessRepairs   bool    // RecordsFrom is a buying desk's default: none, but first record where there are repairs
	Strict              bool    // a backtest: rows without a day of their own are left out
	Draws               int     // parameter draws for the 80 % intervals; 0: none
	WorthALook          float64 // money: below this p_worn x failure cost no inspection can pay; such findings get no draws
	// Keep tells whether the plan has a use for a finding's draws; the others
	// are let go, which is most of the memory. nil keeps all.
	Keep func(f *Finding, draws []wear.DrawState) bool
	Seed uint64 // of the draws; fixed, so that a run repeats exactly
}

// The ways in which RecordsFrom decides how far back records reach.
const (
	RecordsNew   = "new"
	RecordsFirst = "first record"
	RecordsNone  = "none"
)

func midYear(year int) Day {
	return odometer.DayOf(time.Date(year, time.July, 1, 0, 0, 0, 0, time.UTC))
}

// ahead reckons how far the vehicle goes until the next run and over the
// holding distance: the smallest limit stated for it, else the job's.
func (s *Settings) ahead(v *Vehicle, t *track) Ahead {
	weeks := s.NextRunDays / 7
	km, hours := t.odometer.PerWeek, t.hours.PerWeek
	if v.Status == OffRoad {
		weeks = 0
	}
	a := Ahead{
		NextKM: weeks * km, NextHours: weeks * hours, NextMonths: s.NextRunDays / daysPerMonth,
		HoldKM: s.HoldingKM, HoldHours: s.HoldingHours, HoldMonths: s.HoldingMonths,
		HoldReason: "the job's holding distance",
	}
	left := math.Inf(1)
	if v.DisposalDate != 0 {
		left = math.Max(0, float64(v.DisposalDate-s.Day)/7)
		a.HoldReason = "disposal date"
	}
	if v.DisposalKM.Known && km > 0 && t.odometer.Known {
		if w := math.Max(0, v.DisposalKM.Value-t.odometer.KM) / km; w < left {
			left, a.HoldReason = w, "disposal distance"
		}
	}
	if !math.IsInf(left, 1) {
		a.HoldKM, a.HoldHours, a.HoldMonths = left*km, left*hours, left*7/daysPerMonth
	}
	return a
}
