package demo

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"time"
)

// day counts days since 1970-01-01.
type day int

func on(year, month, dayOfMonth int) day {
	return day(time.Date(year, time.Month(month), dayOfMonth, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func (d day) time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// today is the demo's day; sheetDay the day that the vehicle lists are "as of".
var (
	today    = on(2026, 11, 23)
	sheetDay = on(2026, 11, 20)
)

// The two languages of the department.
const (
	english = "en"
	norsk   = "nb"
)

// The depots; the island's keeps its own files.
const (
	quay    = "Merrow Quay"
	tarn    = "Tarn Head"
	skarvik = "Skarvik"
)

// kind is one model of the fleet.
type kind struct {
	make, model, wmi, vds string
	count                 int
	fromYear, toYear      int
	kmWeek, hoursWeek     [2]float64 // lowest, highest
	families              []string
	serial                string // letters before the engine's number
	serials               [2]int
	serialYears           [2]int // years built with serials in that span; others lie far above
	parts                 []*part
	heavy                 bool
	noCheckDigit          bool // position 9 is no check digit, as rules outside North America allow
}

var kinds = []*kind{
	{make: "Northfold", model: "Heron", wmi: "ZSN", vds: "HV2D4", count: 195, fromYear: 2014, toYear: 2021, kmWeek: [2]float64{270, 560},
		families: []string{"HD22"}, serial: "HD", serials: [2]int{4080000, 4200000}, serialYears: [2]int{2015, 2018}, parts: []*part{pumpFollower}},
	{make: "Northfold", model: "Kestrel", wmi: "ZSN", vds: "KS6V3", count: 65, fromYear: 2014, toYear: 2020, kmWeek: [2]float64{230, 520},
		families: []string{"KV30"}, serial: "KV", serials: [2]int{2010000, 2090000}, serialYears: [2]int{2014, 2020}, parts: []*part{phaserTensioner}},
	{make: "Solvane", model: "Plover", wmi: "ZTS", vds: "PB16M", count: 105, fromYear: 2013, toYear: 2021, kmWeek: [2]float64{260, 640},
		families: []string{"SP20"}, serial: "SP", serials: [2]int{300000, 399999}, serialYears: [2]int{2013, 2021}, parts: []*part{rackJoint}, noCheckDigit: true},
	{make: "Tarnwell", model: "Drover", wmi: "ZUT", vds: "DR18T", count: 75, fromYear: 2012, toYear: 2021, kmWeek: [2]float64{260, 620}, hoursWeek: [2]float64{18, 30},
		families: []string{"D7A", "D7B"}, serial: "", serials: [2]int{500000, 599999}, serialYears: [2]int{2012, 2021}, parts: []*part{coolantPump, actuatorLinkage}, heavy: true},
	{make: "Lofthall", model: "Gannet", wmi: "ZVL", vds: "GN40C", count: 60, fromYear: 2012, toYear: 2022, kmWeek: [2]float64{140, 330}, hoursWeek: [2]float64{14, 30},
		families: []string{"D7A", "D7B"}, serial: "", serials: [2]int{600000, 699999}, serialYears: [2]int{2012, 2022}, parts: []*part{boomCoupling, actuatorLinkage}, heavy: true, noCheckDigit: true},
}

// vehicle is one vehicle with its true history and what was written of it.
type vehicle struct {
	*kind
	rng                    *rand.Rand
	unit, vin, reg, depot  string
	lang                   string
	year                   int
	built, inService       day
	recordsFrom            day // records are complete from here on
	perWeek, hours         float64
	family, engine         string
	hidesEngine, hidesDate bool // the list leaves out the engine number, the build date
	miles                  bool // its odometer counts miles
	sold, offRoad          bool
	lives                  []*partLife
	repairs                []repair
	inspections            []inspection
	scans                  []scan
	oldScans               []scan   // of earlier years: they decide nothing today
	notes                  []repair // what drivers wrote in earlier years
	meters                 []day    // days on which the hour meter was read
	remarks                []string
	read                   day // of the odometer on the vehicle list
}

// km is the distance driven by a day; h the engine hours.
func (v *vehicle) km(d day) float64 { return max(0, v.perWeek*float64(d-v.inService)/7) }
func (v *vehicle) h(d day) float64  { return max(0, v.hours*float64(d-v.inService)/7) }

// at is the place of a day on the part's axis; when is the day of a place.
func (v *vehicle) at(p *part, d day) float64 {
	if p.byHours {
		return v.h(d)
	}
	return v.km(d)
}

func (v *vehicle) when(p *part, x float64) day {
	rate := v.perWeek
	if p.byHours {
		rate = v.hours
	}
	return v.inService + day(x/rate*7)
}

// chance is true with probability p; between is uniform; pick takes one.
func (v *vehicle) chance(p float64) bool          { return v.rng.Float64() < p }
func (v *vehicle) between(lo, hi float64) float64 { return lo + (hi-lo)*v.rng.Float64() }
func (v *vehicle) dayBetween(lo, hi day) day {
	if hi <= lo {
		return lo
	}
	return lo + day(v.rng.IntN(int(hi-lo)+1))
}
func pick[T any](v *vehicle, list []T) T { return list[v.rng.IntN(len(list))] }

// drawFleet draws every vehicle from a stream of its own, so that one more
// draw for one vehicle changes no other.
func drawFleet(seed uint64) []*vehicle {
	var fleet []*vehicle
	for k, kind := range kinds {
		for i := range kind.count {
			v := &vehicle{kind: kind, rng: rand.New(rand.NewPCG(seed, uint64(k*1000+i)))}
			v.draw(len(fleet), i)
			v.lookBack(rand.New(rand.NewPCG(seed, 1<<32+uint64(k*1000+i))))
			fleet = append(fleet, v)
		}
	}
	return fleet
}

func (v *vehicle) draw(n, i int) {
	v.depot = [...]string{quay, tarn, skarvik, quay, tarn, quay, skarvik}[n%7]
	v.lang = english
	if v.depot == skarvik {
		v.lang = norsk
	}
	v.unit = unitOf(v.depot, n)
	v.reg = fmt.Sprintf("%s %05d", [...]string{"MQ", "TH", "SV"}[n%3], 10007+n*31)
	v.year = v.fromYear + v.rng.IntN(v.toYear-v.fromYear+1)
	if v.parts[0] == pumpFollower && v.chance(0.55) {
		v.year = 2015 + v.rng.IntN(4) // bought in one wave
	}
	v.built = on(v.year, 1, 1) + day(v.rng.IntN(340)-60)
	v.inService = v.built + day(30+v.rng.IntN(120))
	v.perWeek = v.between(v.kmWeek[0], v.kmWeek[1])
	v.hours = v.between(v.hoursWeek[0], v.hoursWeek[1])
	v.drawEngine()
	v.vin = v.drawVIN(i)
	v.miles = v.depot == tarn && v.chance(0.25)
	v.sold, v.offRoad = v.chance(0.02), v.chance(0.02)
	v.read = sheetDay - day(v.rng.IntN(20))
	v.drawRecords()
	v.live()
	v.observe()
	if n == 38 { // what no entry speaks of, and no workshop would let out of the gate
		v.remarks = append(v.remarks, "brake pedal goes to floor on the first push")
	}
}

// unitOf numbers the vehicles as each depot does: the island's have leading
// zeros and no letters.
func unitOf(depot string, n int) string {
	switch depot {
	case quay:
		return fmt.Sprintf("MQ-%d", 101+n)
	case tarn:
		return fmt.Sprintf("T%04d", 2000+n)
	}
	return fmt.Sprintf("%05d", 300+n)
}

func (v *vehicle) drawEngine() {
	v.family = pick(v, v.families)
	n := v.serials[0] + v.rng.IntN(v.serials[1]-v.serials[0])
	if v.year < v.serialYears[0] || v.year > v.serialYears[1] {
		n += 300000
	}
	letters := v.serial
	if letters == "" {
		letters = v.family
	}
	v.engine = fmt.Sprintf("%s%d", letters, n)
	v.hidesEngine = v.chance(0.12)
	v.hidesDate = v.chance(0.15)
}

// drawRecords: new vehicles have records since new; those taken over from
// other operators only since then.
func (v *vehicle) drawRecords() {
	v.recordsFrom = v.inService
	share := 0.25
	if v.heavy {
		share = 0.6
	}
	if v.chance(share) {
		v.recordsFrom = v.dayBetween(v.inService+500, max(v.inService+900, today-700))
	}
}

// drawVIN composes a VIN by the form of ISO 3779: maker, description, check
// digit or a filler, year code, plant and number.
func (v *vehicle) drawVIN(i int) string {
	const years = "EFGHJKLMNP" // 2014 to 2023; before that CD (49 CFR 565.15, table VII)
	code := "CD"[max(0, v.year-2012)%2]
	if v.year >= 2014 {
		code = years[v.year-2014]
	}
	text := fmt.Sprintf("%s%s0%cK%06d", v.wmi, v.vds, code, 104200+i*37+v.rng.IntN(30))
	check := "Z"
	if !v.noCheckDigit {
		check = checkDigit(text)
	}
	return text[:8] + check + text[9:]
}

// checkDigit reckons position 9 as 49 CFR 565.15(c) asks: values of the
// characters times weights, modulo 11.
func checkDigit(text string) string {
	const letters, values = "ABCDEFGHJKLMNPRSTUVWXYZ", "12345678123457923456789"
	weights := [...]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}
	sum := 0
	for i := range len(text) {
		c := text[i]
		if at := strings.IndexByte(letters, c); at >= 0 {
			c = values[at]
		}
		sum += int(c-'0') * weights[i]
	}
	return string("0123456789X"[sum%11])
}
