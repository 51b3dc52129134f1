package main

import (
	"maps"
	"math"
	"slices"

	"pitlist/config"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
)

// stated are the settings of the job that the list rests on, those that it
// leaves to their defaults too, for whoever reads the list or repeats the run.
func (b *batch) stated() []report.Setting {
	j := b.job
	s := settings{currency: j.Money.Currency}
	s.add("desk", say.F("Decision that the list serves"), string(j.Desk), deskWords(j.Desk))
	s.add("market", say.F("Market that the VINs come from"), j.Market, marketWords(j.Market))
	s.add("records_from", say.F("Records taken as complete, where no column says"), string(j.RecordsFrom), recordsWords(j.RecordsFrom, b.settings().NoneUnlessRepairs))
	if j.DateOrder != "" {
		s.add("date_order", say.F("Dates that nothing else settles"), j.DateOrder, orderWords(j.DateOrder))
	}
	s.usage(&j.Usage, b.catalogue)
	s.money("money.bay_hour", say.F("An hour in the bay"), j.Money.BayHour)
	s.money("money.off_road_day", say.F("A day off the road"), j.Money.OffRoadDay)
	s.add("bay_hours", say.F("Bay-hours until the next run"), j.BayHours, hoursWords(j.BayHours))
	if j.Desk.Buys() {
		s.buying(&j.Buying, j.Desk)
	}
	s.share("kits.service", say.F("Kits held suffice with a chance of"), j.Kits.Service)
	s.days("kits.delivery_days", say.F("Delivery of kits"), j.Kits.DeliveryDays)
	return s.list
}

// settings collects them.
type settings struct {
	list     []report.Setting
	currency string
}

func (s *settings) add(key string, name say.Text, stated any, value say.Text) {
	s.list = append(s.list, report.Setting{Key: key, Stated: stated, Name: name, Value: value})
}

func (s *settings) days(key string, name say.Text, x float64) {
	s.add(key, name, x, say.Join(" ", say.Of(say.Number(x)), say.One(x1(x), say.F("day"), say.F("days"))))
}

// x1 is 1 for just one, else another number.
func x1(x float64) int {
	if x == 1 {
		return 1
	}
	return 0
}

func (s *settings) km(key string, name say.Text, x float64) {
	s.add(key, name, x, say.Join(" ", say.Of(say.Whole(x)), say.F("km")))
}

func (s *settings) hours(key string, name say.Text, x float64) {
	s.add(key, name, x, say.Of(say.Hours(x)))
}

func (s *settings) share(key string, name say.Text, x float64) {
	s.add(key, name, x, say.Of(say.Percent(x)))
}

// money is an amount with its cents, where it has any.
func (s *settings) money(key string, name say.Text, x float64) {
	value := say.Of(say.Money{X: x, Currency: s.currency})
	if x != math.Trunc(x) {
		value = say.Join(" ", say.Plain(s.currency), say.Of(say.Number(x)))
	}
	s.add(key, name, x, value)
}

// usage is how far vehicles go and how long they are kept; on an axis that no
// part of the catalogue wears by nothing is said.
func (s *settings) usage(u *config.Usage, c *score.Catalogue) {
	wears := func(axis score.Axis) bool {
		return slices.ContainsFunc(c.Parts, func(p score.WeakPart) bool { return p.Axis == axis })
	}
	s.days("usage.next_run_days", say.F("Until the next run"), u.NextRunDays)
	s.km("usage.holding_km", say.F("Distance that a vehicle is kept for"), u.HoldingKM)
	s.km("usage.default_km_per_week", say.F("Distance a week, where nothing tells it"), u.DefaultKMPerWeek)
	if wears(score.ByHours) {
		s.hours("usage.holding_hours", say.F("Engine hours that a vehicle is kept for"), u.HoldingHours)
		s.hours("usage.default_hours_per_week", say.F("Engine hours a week, where nothing tells them"), u.DefaultHoursPerWeek)
	}
	if wears(score.ByMonths) {
		s.add("usage.holding_months", say.F("Time that a vehicle is kept for"), u.HoldingMonths, say.Join(" ", say.Of(say.Number(u.HoldingMonths)), say.F("months")))
	}
}

// buying is what the desks that put a price on a vehicle decide by.
func (s *settings) buying(b *config.Buying, desk config.Desk) {
	s.share("buying.leave_share", say.F("Leave it from a deduction, of the price, of"), b.LeaveShare)
	s.money("buying.look_from", say.F("Look first from an amount moved of"), b.LookFrom)
	s.money("buying.take_less_from", say.F("Take it for less from a deduction of"), b.TakeLessFrom)
	s.add("buying.sale_odds", say.F("Odds of wear taken as high, since it is for sale, times"), b.SaleOdds, say.Of(say.Number(b.SaleOdds)))
	if desk == config.Auction {
		s.share("buying.cover", say.F("A bid bears the bill with a chance of"), b.Cover)
		s.money("buying.margin", say.F("Kept back from a bid"), b.Margin)
		s.add("buying.viewing_minutes", say.F("Minutes for looking"), b.ViewingMinutes, say.Of(say.Number(b.ViewingMinutes)))
	}
}

func deskWords(d config.Desk) say.Text {
	switch d {
	case config.TradeIn:
		return say.F("what to take in part exchange, and for how much less")
	case config.Auction:
		return say.F("which lots to walk to, and where to stop bidding")
	}
	return say.F("which vehicles to inspect before the next run")
}

func marketWords(market string) say.Text {
	if market == "other" {
		return say.F("none in particular")
	}
	return say.Plain(market)
}

func recordsWords(r config.RecordsFrom, unlessRepairs bool) say.Text {
	switch r {
	case config.FromNew:
		return say.F("since new")
	case config.FirstRecord:
		return say.F("since the first dated repair or inspection")
	}
	if unlessRepairs {
		return say.F("none, but of a vehicle with repairs since the first dated one")
	}
	return say.F("none")
}

func orderWords(order string) say.Text {
	if order == "month" {
		return say.F("the month first")
	}
	return say.F("the day first")
}

// hoursWords are the bay-hours by depot, the other depots last.
func hoursWords(hours map[string]float64) say.Text {
	if hours == nil {
		return say.F("no limit")
	}
	var each []say.Text
	for _, depot := range slices.Sorted(maps.Keys(hours)) {
		if depot != "*" {
			each = append(each, say.F("%s %s", depot, say.Hours(hours[depot])))
		}
	}
	if rest, ok := hours["*"]; ok && len(each) == 0 {
		return say.Of(say.Hours(rest))
	} else if ok {
		each = append(each, say.F("the other depots together %s", say.Hours(rest)))
	}
	return say.Join(", ", each...)
}
