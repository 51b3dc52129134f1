package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// The department also sells: some of its vehicles stand as lots at an auction,
// others as trade-ins at a dealer's counter. Both sheets tell far less than the
// department's own files do: a lot seldom has a scan and never a workshop, a
// trade-in may have a service book.

const (
	lotCount   = 96
	tradeCount = 28
	lanes      = "ABC"
)

// sale tells the lots and the trade-ins of the fleet. It draws from a stream of
// its own, so that the department's own files stay what they are.
func sale(fleet []*vehicle, seed uint64) []*table {
	rng := rand.New(rand.NewPCG(seed, 1<<41))
	var offered []*vehicle
	for _, i := range rng.Perm(len(fleet)) {
		if v := fleet[i]; !v.sold && len(offered) < lotCount+tradeCount {
			offered = append(offered, v)
		}
	}
	s := &seller{rng}
	ins, books := s.tradeIns(offered[lotCount:])
	return []*table{s.lots(offered[:lotCount]), ins, books}
}

type seller struct{ rng *rand.Rand }

func (s *seller) chance(p float64) bool { return s.rng.Float64() < p }

// newPrice is what each model cost when new, invented.
var newPrice = map[string]float64{"Heron": 27000, "Kestrel": 34000, "Plover": 25000, "Drover": 74000, "Gannet": 98000}

// price falls by the year and by the distance (common practice, no source).
func (s *seller) price(v *vehicle) float64 {
	age := float64(today-v.inService) / 365.25
	p := newPrice[v.model] * math.Pow(0.88, age) * (1 - v.km(today)/1e6) * (0.9 + 0.2*s.rng.Float64())
	return max(900, 50*math.Round(p/50))
}

// kmOn is what the seller reads: whole kilometres, whatever the counter shows.
func kmOn(v *vehicle, d day) float64 { return math.Round(v.km(d)) }

// lots tells the auction's list: three lanes, from which one after another is
// called up.
func (s *seller) lots(offered []*vehicle) *table {
	t := &table{file: "sale/lots.xlsx", sheet: "Lots", style: registerStyle,
		titles: []string{"Sound Auctions: Tuesday's sale", ""},
		head: []string{"Lot", "Lane", "Sale order", "Guide price", "VIN", "Make", "Model", "Model year", "Engine No.", "Date built",
			"Odometer km", "Odo date", "Engine hours", "Fault codes", "Remarks"}}
	for i, v := range offered {
		codes, remarks := "", ""
		if last := v.lastScan(); last != nil && s.chance(0.12) {
			codes = last.told("; ")
		}
		if len(v.remarks) > 0 && s.chance(0.15) {
			remarks = v.remarks[0]
		}
		lane := lanes[i%len(lanes)]
		t.add(v, sheetDay, true, fmt.Sprintf("%d", 201+i), string(lane), 1+i/len(lanes), s.price(v),
			v.vin, v.make, v.model, v.year, orNothing(s.chance(0.6), v.engine), orNothing(s.chance(0.5), v.built),
			kmOn(v, sheetDay), sheetDay, v.hourCell(sheetDay), codes, remarks)
	}
	return t
}

// tradeIns tells what stands at the counter, and the service books of those
// that have one.
func (s *seller) tradeIns(offered []*vehicle) (ins, books *table) {
	ins = &table{file: "counter/trade-ins.xlsx", sheet: "Trade-ins", style: registerStyle,
		head: []string{"Unit", "VIN", "Reg No.", "Make", "Model", "Model year", "Engine No.", "Date built", "Odometer km", "Odo date", "Engine hours",
			"Price", "Warranty months", "Warranty km", "Can be opened", "Fault codes", "Km since cleared", "Remarks"}}
	books = &table{file: "counter/trade-ins.xlsx", sheet: "Service books", style: registerStyle,
		head: []string{"Unit", "Date", "Odometer km", "Work done", "Work status"}}
	for i, v := range offered {
		unit := fmt.Sprintf("TI-%02d", i+1)
		codes, since := "", any("")
		if last := v.lastScan(); last != nil && s.chance(0.5) {
			codes, since = last.told("; "), orNothing(last.since < 0, last.since)
		}
		remarks := ""
		if len(v.remarks) > 0 && s.chance(0.5) {
			remarks = v.remarks[0]
		}
		months, km := 12, 15000
		if s.chance(0.4) {
			months, km = 24, 40000
		}
		opened := "yes"
		if s.chance(0.2) {
			opened = "no"
		}
		ins.add(v, sheetDay, true, unit, v.vin, v.reg, v.make, v.model, v.year, orNothing(s.chance(0.3), v.engine), orNothing(s.chance(0.3), v.built),
			kmOn(v, sheetDay), sheetDay, v.hourCell(sheetDay), s.price(v), months, km, opened, codes, since, remarks)
		if s.chance(0.4) {
			books.entries(v, unit)
		}
	}
	books.byDay()
	return ins, books
}

// entries are a vehicle's workshop lines under the counter's own number.
func (t *table) entries(v *vehicle, unit string) {
	for _, r := range v.repairs {
		t.add(v, r.day, true, unit, r.day, kmOn(v, r.day), r.text, r.status)
	}
}

// lastScan is the vehicle's latest scan; nil where it never had one.
func (v *vehicle) lastScan() *scan {
	var last *scan
	for i := range v.scans {
		if s := &v.scans[i]; last == nil || s.day >= last.day {
			last = s
		}
	}
	return last
}
