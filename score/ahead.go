package score

import (
	"math"
	"time"

	"pitlist/score/odometer"
	"pitlist/score/say"
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
	Buys                bool    // a buying desk: the vehicle's warranty limits the holding distance, SaleOdds holds
	SaleOdds            float64 // on a buying desk: prior odds of worn against not worn are multiplied by it; 0 or 1: as they are
	Strict              bool    // a backtest: rows without a day of their own are left out
	Draws               int     // parameter draws for the 80 % intervals; 0: none
	WorthALook          float64 // money: below this p_worn x failure cost no inspection can pay; such findings get no draws
	// Keep tells whether the plan has a use for a finding's draws; the others
	// are let go, which is most of the memory. nil keeps all.
	Keep func(f *Finding, draws []wear.DrawState) bool
	// Sift, where it is given, is shown what Keep would keep, notes in FailsNext
	// what the plan must know of it, and the draws are let go until Redraw. Of
	// injury parts it stays known in which draws they are over a limit.
	Sift func(f *Finding, draws []wear.DrawState)
	Seed uint64 // of the draws; fixed, so that a run repeats exactly
}

// The ways in which RecordsFrom decides how far back records reach.
const (
	RecordsNew   = "new"
	RecordsFirst = "first record"
	RecordsNone  = "none"
)

// HoldReason is the limit that decided the holding distance.
type HoldReason string

// The limits: the job's, and what the vehicle's own row states.
const (
	HeldByJob      HoldReason = "the job's holding distance"
	HeldToDay      HoldReason = "disposal date"
	HeldToKM       HoldReason = "disposal distance"
	HeldByMonths   HoldReason = "warranty months"
	HeldByWarranty HoldReason = "warranty distance"
)

// Say words the limit.
func (r HoldReason) Say() say.Text {
	switch r {
	case HeldByJob:
		return say.F("the job's holding distance")
	case HeldToDay:
		return say.F("disposal date")
	case HeldToKM:
		return say.F("disposal distance")
	case HeldByMonths:
		return say.F("warranty months")
	case HeldByWarranty:
		return say.F("warranty distance")
	}
	return say.Plainly(r)
}

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
		HoldReason: HeldByJob,
	}
	left := math.Inf(1)
	limit := func(weeks float64, reason HoldReason) {
		if weeks < left {
			left, a.HoldReason = weeks, reason
		}
	}
	use := v.Use()
	if use.DisposalDate != 0 {
		limit(math.Max(0, float64(use.DisposalDate-s.Day)/7), HeldToDay)
	}
	if use.DisposalKM.Known && km > 0 && t.odometer.Known {
		limit(math.Max(0, use.DisposalKM.Value-t.odometer.KM)/km, HeldToKM)
	}
	if s.Buys {
		warranty(v.Desk(), km, limit)
	}
	if !math.IsInf(left, 1) {
		a.HoldKM, a.HoldHours, a.HoldMonths = left*km, left*hours, left*7/daysPerMonth
	}
	return a
}

// warranty tells the limits of a warranty in weeks at the vehicle's usage.
func warranty(d DeskFacts, kmPerWeek float64, limit func(weeks float64, reason HoldReason)) {
	if d.WarrantyMonths.Known {
		limit(math.Max(0, d.WarrantyMonths.Value)*daysPerMonth/7, HeldByMonths)
	}
	if d.WarrantyKM.Known && kmPerWeek > 0 {
		limit(math.Max(0, d.WarrantyKM.Value)/kmPerWeek, HeldByWarranty)
	}
}

// saleOdds is what a buying desk multiplies the prior odds of wear by, since a
// vehicle is seldom sold for no reason; 1 where nothing is stated.
func (s *Settings) saleOdds() float64 {
	if !s.Buys || !(s.SaleOdds > 0) {
		return 1
	}
	return s.SaleOdds
}
