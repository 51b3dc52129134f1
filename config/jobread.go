package config

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"pitlist/score/say"
)

// LoadJob reads a job file. The error says only that the file could not be
// read at all; what is wrong inside it are faults, and then the job holds what
// could be understood and must not be run.
func LoadJob(path string) (*Job, Faults, error) {
	data, err := readFile(path)
	if err != nil {
		return nil, nil, fmt.Errorf("read job %s: %w", path, err)
	}
	job, faults := ParseJob(path, data)
	return job, faults, nil
}

// ParseJob reads a job from bytes; name is its path, for messages and for the
// folder that relative paths count from. The job is never nil.
func ParseJob(name string, data []byte) (*Job, Faults) {
	s := &scribe{file: name}
	j := defaultJob()
	j.Path, j.Dir = name, filepath.Dir(name)
	sum := sha256.Sum256(data)
	j.Digest = hex.EncodeToString(sum[:])
	if doc := s.document(data); doc != nil {
		if g, ok := s.root(doc).group(jobKeys...); ok {
			j.read(g)
		}
	}
	return j, s.faults.sorted()
}

// readFile reads a little more than the limit at most, so that a huge export
// named by mistake ends quickly; document reports it.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, &os.PathError{Op: "read", Path: path, Err: errFolder}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxBytes+1))
}

var jobKeys = []string{"job", "desk", "inputs", "catalogue", "language", "market", "usage", "money", "bay_hours", "schedule",
	"metrics", "notify", "output", "buying", "kits", "history", "strict", "date_order", "encoding", "records_from", "limits"}

// read fills the job from its top keys.
func (j *Job) read(g group) {
	if j.Name = strings.TrimSuffix(filepath.Base(j.Path), filepath.Ext(j.Path)); g.get("job").written() {
		j.Name = jobName(g.get("job"))
	}
	j.Desk = Desk(g.get("desk").oneOf(string(j.Desk), string(Fleet), string(TradeIn), string(Auction)))
	j.Inputs = inputs(g.need("inputs", "name the spreadsheets to read: inputs: [ { path: intake/*.xlsx } ]"))
	j.readCatalogue(g.need("catalogue", "name the files of weak parts: catalogue: [parts.yaml]"))
	j.Market = g.get("market").oneOf(j.Market, "eu", "us", "ca", "cn", "other")
	j.Language = g.get("language").oneOf(j.Language, say.Tags()...)
	j.Usage.read(g.get("usage"))
	j.Money.read(g.get("money"))
	j.BayHours = bayHours(g.get("bay_hours"))
	j.Schedule = schedule(g.get("schedule"))
	j.Metrics = metrics(g.get("metrics"))
	j.Notify = notify(g.get("notify"))
	j.Output.read(g.get("output"))
	j.Buying.read(g.get("buying"))
	j.Kits.read(g.get("kits"))
	j.History = g.get("history").text()
	j.Strict = g.get("strict").yes(false)
	j.DateOrder = dateOrder(g.get("date_order"))
	j.Encoding = encodingName(g.get("encoding"))
	j.readRecordsFrom(g.get("records_from"))
	j.Limits.read(g.get("limits"))
	j.Stated = stated(g.field)
}

var notInName = regexp.MustCompile(`[/\\:*?"<>|\x00-\x1f]`)

// jobName is used in file names on every system.
func jobName(f field) string {
	name := f.text()
	if notInName.MatchString(name) {
		f.fault(`the job's name holds a character that file names cannot have`, `leave out / \ : * ? " < > |`)
	}
	return name
}

func (j *Job) readCatalogue(f field) {
	for _, item := range f.items() {
		if p := pattern(item); p != "" {
			j.Catalogue = append(j.Catalogue, p)
			j.catalogueAt = append(j.catalogueAt, item)
		}
	}
	if f.written() && len(f.items()) == 0 && f.node.Tag != "!!null" {
		f.fault("catalogue names no file", "write at least one: catalogue: [parts.yaml]")
	}
}

// readRecordsFrom takes the desk's default where nothing is stated.
func (j *Job) readRecordsFrom(f field) {
	def := FirstRecord
	if j.Desk.Buys() {
		def = FromNone
	}
	j.RecordsFrom = RecordsFrom(f.oneOf(string(def), string(FromNew), string(FirstRecord), string(FromNone)))
	j.RecordsGiven = f.written()
}

var usageKeys = []string{"next_run_days", "holding_km", "default_km_per_week", "holding_hours", "default_hours_per_week", "holding_months"}

func (u *Usage) read(f field) {
	g, _ := f.group(usageKeys...)
	u.NextRunDays, _ = g.get("next_run_days").number(u.NextRunDays, span{low: 0, high: 3660, openLow: true, say: "it lies above 0 and at most at 3660 days"})
	u.HoldingKM, _ = g.get("holding_km").number(u.HoldingKM, span{low: 0, high: 5e6, openLow: true, say: "it lies above 0 and at most at 5000000 km"})
	u.DefaultKMPerWeek, _ = g.get("default_km_per_week").number(u.DefaultKMPerWeek, span{low: 0, high: 20000, openLow: true, say: "it lies above 0 and at most at 20000 km a week"})
	u.HoldingHours, _ = g.get("holding_hours").number(u.HoldingHours, span{low: 0, high: 2e5, openLow: true, say: "it lies above 0 and at most at 200000 engine hours"})
	u.DefaultHoursPerWeek, _ = g.get("default_hours_per_week").number(u.DefaultHoursPerWeek, span{low: 0, high: 168, openLow: true, say: "it lies above 0 and at most at 168: a week has no more hours"})
	u.HoldingMonths, _ = g.get("holding_months").number(u.HoldingMonths, span{low: 0, high: 600, openLow: true, say: "it lies above 0 and at most at 600 months"})
}

var moneyKeys = []string{"currency", "bay_hour", "off_road_day"}

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

func (m *Money) read(f field) {
	g, _ := f.group(moneyKeys...)
	if c := g.get("currency"); c.written() {
		if t := c.text(); currencyCode.MatchString(t) {
			m.Currency = t
		} else if t != "" {
			c.faultf("write EUR, NOK, GBP or the like", "currency is %q; it is a code of three capital letters (ISO 4217)", shorten(t))
		}
	}
	m.BayHour, _ = g.get("bay_hour").number(m.BayHour, atLeast0)
	m.OffRoadDay, _ = g.get("off_road_day").number(m.OffRoadDay, atLeast0)
}

// bayHours reads hours by depot; nil where the key is not written: no limit.
func bayHours(f field) map[string]float64 {
	if !f.written() {
		return nil
	}
	out := map[string]float64{}
	if !f.anyGroup("hours by depot", `write { North: 12.5, "*": 6 }`) {
		return nil
	}
	f.pairs(func(depot string, _ *yamlNode, v field) {
		if h, ok := v.number(0, atLeast0); ok {
			out[strings.TrimSpace(depot)] = h
		}
	})
	if len(f.node.Content) == 0 {
		f.fault("bay_hours names no depot", `write { "*": 6 }, or leave the key out: no limit`)
	}
	return out
}

var outputKeys = []string{"folder", "keep"}

func (o *Output) read(f field) {
	g, _ := f.group(outputKeys...)
	if folder := g.get("folder"); folder.written() {
		o.Folder = folder.text()
	}
	o.Keep = g.get("keep").whole(o.Keep, span{low: 1, high: 100000, say: "at least 1 run is kept"})
}

var buyingKeys = []string{"cover", "margin", "viewing_minutes", "take_less_from", "look_from", "leave_share", "sale_odds"}

func (b *Buying) read(f field) {
	g, _ := f.group(buyingKeys...)
	b.Cover, _ = g.get("cover").number(b.Cover, quantile)
	b.Margin, _ = g.get("margin").number(b.Margin, atLeast0)
	b.ViewingMinutes, _ = g.get("viewing_minutes").number(b.ViewingMinutes, atLeast0)
	b.TakeLessFrom, _ = g.get("take_less_from").number(b.TakeLessFrom, atLeast0)
	b.LookFrom, _ = g.get("look_from").number(b.LookFrom, atLeast0)
	b.LeaveShare, _ = g.get("leave_share").number(b.LeaveShare, chance)
	b.SaleOdds, _ = g.get("sale_odds").number(b.SaleOdds, span{low: 0, high: 100, openLow: true, say: "it lies above 0 and at most at 100; 1 leaves the odds as they are"})
}

var kitsKeys = []string{"service", "delivery_days"}

func (k *Kits) read(f field) {
	g, _ := f.group(kitsKeys...)
	k.Service, _ = g.get("service").number(k.Service, quantile)
	k.DeliveryDays, _ = g.get("delivery_days").number(k.DeliveryDays, span{low: 0, high: 3660, say: "it lies between 0 and 3660 days"})
}

func dateOrder(f field) string { return f.oneOf("", "day", "month") }
