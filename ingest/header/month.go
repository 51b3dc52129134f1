package header

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// dayOf reads a heading that is a day or a month: "Jan 2026", "03/2026", "2026-01-31", the serial of a first of the month. A month stands
// for its last day: a history with one column a month holds what the clock showed at its end (common practice, no source).
func dayOf(heading string, date1904 bool) (day time.Time, ok bool) {
	if len(heading) < 5 || len(heading) > 24 {
		return time.Time{}, false
	}
	day, how, err := value.ParseDate(heading, value.DateOptions{MonthOnly: true, Date1904: date1904})
	switch {
	case err != nil, how == value.Compact, how == value.Serial && day.Day() != 1:
		return time.Time{}, false
	case how == value.FirstOfMonth, how == value.Serial:
		return day.AddDate(0, 1, -1), true
	}
	return day, true
}

// isSerial sees a day of this century as a workbook stores it, without a time.
func isSerial(s string) bool {
	n, err := strconv.Atoi(s)
	return err == nil && n >= 36526-days1904 && n <= 54789 // 2000 to 2049, in either date system
}

// days1904 is the distance between the two date systems (ISO/IEC 29500).
const days1904 = 1462

// days finds the days that head columns, or that the job gives them.
func (s *sheet) days() {
	s.daysByHeading()
	s.toldDays()
	s.periods()
}

// daysByHeading finds the days that stand in headings. A number alone may be any; several that go up or down along the row are serials of days,
// each of which is meant where not all are firsts of a month.
func (s *sheet) daysByHeading() {
	var serials []int
	for i := range s.cols {
		c := &s.cols[i]
		if isSerial(c.Heading) {
			serials = append(serials, i)
			continue
		}
		c.Day, _ = dayOf(c.Heading, s.o.Date1904)
		if c.Day.IsZero() && (rankOf(s.live[i]) < weak || topField(s.live[i]) == OdometerByMonth) {
			s.dayBeside(c)
		}
	}
	number := func(i, j int) int { // one width: compared as text
		return cmp.Compare(s.cols[i].Heading, s.cols[j].Heading)
	}
	up := slices.IsSortedFunc(serials, number)
	down := slices.IsSortedFunc(serials, func(i, j int) int { return number(j, i) })
	if len(serials) < 2 || !up && !down {
		return
	}
	firsts := true
	for _, i := range serials {
		d, _, _ := value.ParseDate(s.cols[i].Heading, value.DateOptions{Date1904: s.o.Date1904})
		s.cols[i].Day, firsts = d, firsts && d.Day() == 1
	}
	for _, i := range serials {
		if firsts {
			s.cols[i].Day = s.cols[i].Day.AddDate(0, 1, -1)
		}
	}
}

// toldDays takes the days that the job gives to columns: "odometer_by_month 2026-01".
func (s *sheet) toldDays() {
	for _, h := range sortedKeys(s.o.Told) {
		_, text, _ := strings.Cut(strings.TrimSpace(s.o.Told[h]), " ")
		day, err := time.Parse(time.DateOnly, text)
		if month, errMonth := time.Parse("2006-01", text); errMonth == nil {
			day, err = month.AddDate(0, 1, -1), nil
		}
		for i := range s.cols {
			if err == nil && toldField(s.o.Told[h]) == OdometerByMonth && s.isNamed(i, h) {
				s.cols[i].Day, s.cols[i].DayTold = day, true
			}
		}
	}
}

// milesInFront sees "(mi) 31/10/26", where what looks like a German Wednesday is the unit.
func milesInFront(day string, d time.Time) bool {
	front, _, _ := strings.Cut(strings.TrimSpace(day), " ")
	return strings.HasPrefix(front, "(") || value.Fold(strings.Trim(front, ".,")) == "mi" && d.Weekday() != time.Wednesday
}

// withoutAsOf takes the small words off the end that stand between a reading and its day: "Mileage as at", "km-Stand vom".
func withoutAsOf(about string) string {
	words := strings.Fields(about)
	for len(words) > 1 && asOfWords[value.Fold(words[len(words)-1])] {
		words = words[:len(words)-1]
	}
	return strings.Join(words, " ")
}

var asOfWords = toSet("as at of on per to vom am zum per pr au le al a el den dnia na")

// dayBeside reads "Jan 2026 km" and "Odometer 01/2026": a day with the odometer's wording before or behind it.
func (s *sheet) dayBeside(c *Column) {
	unit := s.matches[c.Index].unit
	words := strings.Fields(c.Heading)
	if n := len(words); n > 2 && unit != value.NoUnit && unitCell(words[n-1]) { // "Mileage 30/09/2026 (km)"
		words = words[:n-1]
	}
	for _, two := range besides(words) {
		d, ok := dayOf(two.when, s.o.Date1904)
		if milesInFront(two.when, d) {
			continue
		}
		about := withoutAsOf(two.about)
		if got := s.m.match(about); ok && topOf(got) == Odometer {
			if c.Day, c.Unit = d, got.unit; c.Unit == value.NoUnit {
				c.Unit = unit
			}
			s.above, s.readings = append(s.above, about), append(s.readings, c.Index)
			return
		}
	}
}

// Below usualMonth a figure may be what one month's driving comes to, above mostMonth it is none, km (common practice, no source).
const (
	usualMonth = 5000
	mostMonth  = 30000
	mostHours  = 744 // of a month of 31 days: what rises by less may be an hour meter
)

// months finds a history turned on its side, one column a month: two columns or more headed by days. They are readings of the odometer if
// the figures rise along the rows as a clock's do and nothing on the sheet says otherwise; the job is asked where nothing says so either.
func (s *sheet) months() {
	var dated []datedPeriod
	for i := range s.cols {
		if !s.cols[i].Day.IsZero() && rankOf(s.live[i]) < weak {
			dated = append(dated, datedPeriod{column: i})
		}
	}
	groups := s.byGroup(dated)
	if s.rivalGroups(groups) {
		s.askMonths(columnsOfPeriods(dated), Ignore, say.F("%s to %s stand under several headings with the same days; which of them are readings of the odometer cannot be told", s.headed(dated[0].column), s.headed(dated[len(dated)-1].column)))
		groups = nil
	}
	for _, group := range groups {
		s.monthsOf(columnsOfPeriods(group))
	}
	for _, group := range s.byGroup(s.undated) {
		s.askYears(group)
	}
	s.financialYears()
}

// rivalGroups reports columns of one day under several headings, of which none, or more than one, speaks of the odometer, and more than one of
// nothing else.
func (s *sheet) rivalGroups(groups [][]datedPeriod) bool {
	open, odometers, days, twice := 0, 0, map[time.Time]bool{}, false
	for _, g := range groups {
		cols := columnsOfPeriods(g)
		said := s.saidOf(cols[:1])
		if !s.figures(cols) || said.word != "" && !said.byName && !said.odometer {
			continue
		}
		open++
		if s.m.match(cell(s.groups, cols[0])).found() {
			odometers++
		}
		for _, i := range cols {
			twice = twice || days[s.cols[i].Day]
			days[s.cols[i].Day] = true
		}
	}
	return open > 1 && odometers != 1 && twice
}

func columnsOfPeriods(all []datedPeriod) (out []int) {
	for _, p := range all {
		out = append(out, p.column)
	}
	return out
}

// monthsOf is months for columns under one heading.
func (s *sheet) monthsOf(cols []int) {
	if len(cols) == 1 && slices.Contains(s.readings, cols[0]) && s.figures(cols) {
		s.take(cols[0], OdometerByMonth, strong, "a reading on the day of its heading")
	}
	if len(cols) < 2 {
		return
	}
	slices.SortStableFunc(cols, func(a, b int) int { return s.cols[a].Day.Compare(s.cols[b].Day) })
	if !s.figures(cols) {
		s.leaveUnits(cols)
		return
	}
	said, shape := s.saidOf(cols), s.shapeOf(cols)
	clock := shape.rises() && !s.summed(cols)
	switch {
	case said.word != "" && !said.odometer && !said.byName:
		s.leaveMonths(cols, said.word)
		return
	case said.word != "" || !clock || !said.odometer && (!shape.large() || s.hundredths(cols) || shape.mayBeHours() && !shape.agrees()):
		s.askMonths(cols, Ignore, say.F("%s to %s hold a figure a month: readings of the odometer, or what was driven, cannot be told", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
		return
	case !said.odometer && !shape.agrees() && said.unit == value.NoUnit && !s.saysDistance(cols):
		s.askMonths(cols, OdometerByMonth, say.F("%s to %s hold figures that rise from month to month, and nothing says whether they are readings of the odometer or sums of money; they are left alone", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
		return
	}
	for _, i := range cols {
		s.take(i, OdometerByMonth, strong, "one column a month, and its figures rise")
	}
	if !said.odometer && !shape.agrees() {
		s.askMonths(cols, OdometerByMonth, say.F("%s to %s are taken for readings of the odometer, as their figures rise; nothing on the sheet says so", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
	}
}

// figures reports a column among these with whole figures underneath.
func (s *sheet) figures(cols []int) bool {
	return slices.ContainsFunc(cols, func(i int) bool { return share(s.values(i), isDistance) >= nearly })
}

// saysDistance reports figures that bear the unit of a distance.
func (s *sheet) saysDistance(cols []int) bool {
	return slices.ContainsFunc(cols, func(i int) bool {
		return share(s.values(i), func(v string) bool {
			_, unit, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
			return err == nil && (unit == value.Km || unit == value.Mile)
		}) >= nearly
	})
}

// isDistance sees a whole number, with the unit of a distance or none.
func isDistance(v string) bool {
	_, unit, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return err == nil && (unit == value.NoUnit || unit == value.Km || unit == value.Mile)
}

// hundredths reports figures that are mostly written with two decimals, as money and litres are and no odometer shows them.
func (s *sheet) hundredths(cols []int) bool {
	figures, with := 0, 0
	for _, i := range cols {
		for _, v := range s.values(i) {
			figures++
			if n := len(v); n > 3 && (v[n-3] == '.' || v[n-3] == ',') && isFigure(v) {
				with++
			}
		}
	}
	return with*2 > figures
}

// unitOfMonths gives columns that hold readings by the month the unit that stands above them.
func (s *sheet) unitOfMonths(choice []claim) {
	var cols []int
	for i, c := range choice {
		if c.field == OdometerByMonth && s.cols[i].Unit == value.NoUnit {
			cols = append(cols, i)
		}
	}
	if len(cols) == 0 {
		return
	}
	unit := s.saidOf(cols).unit
	for _, i := range cols {
		s.cols[i].Unit = unit
	}
}

// said is what stands above the columns of a history, or names the sheet.
type said struct {
	odometer bool       // a wording of the odometer
	word     string     // a word of what is counted by the month instead; "" for none
	byName   bool       // that word is in the name of the sheet or the file only
	unit     value.Unit // km or mi, where one of them is stated
}

func (s *sheet) saidOf(cols []int) (out said) {
	above := slices.Clone(s.above)
	for _, i := range cols {
		if g := cell(s.groups, i); g != "" && !slices.Contains(above, g) {
			above = append(above, g)
		}
	}
	for _, text := range above {
		s.m.hear(text, &out)
	}
	if out.word == "" {
		names := said{}
		for _, text := range s.o.Named {
			s.m.hear(text, &names)
		}
		out.odometer, out.word, out.byName = out.odometer || names.odometer && names.word == "", names.word, true
	}
	return out
}

// hear takes down what a text says.
func (m *matcher) hear(text string, out *said) {
	h := takeApart(text)
	for i, w := range h.all {
		if otherWords[w] && out.word == "" {
			out.word = w
		}
		if u := unitWords[w]; (u == value.Km || u == value.Mile) && w != "mil" && out.unit == value.NoUnit {
			out.unit = u
		}
		for j := i + 1; j <= len(h.all); j++ {
			for _, c := range m.vocabulary.claims[key(h.all[i:j])] {
				out.odometer = out.odometer || c.field == Odometer && c.rank >= strong
			}
		}
	}
	if out.word == "" && !slices.Contains([]value.Unit{value.NoUnit, value.Km, value.Mile, value.Month}, h.unit) {
		out.word = h.all[len(h.all)-1]
	}
}

// otherWords are what tables count by the month besides the odometer, and words of sums from a day on (common practice, no source), folded.
var otherWords = toSet("fuel litre litres liter liters ltr l gallon gallons kraftstoff sprit diesel benzin adblue verbrauch tankmenge consumption consommation carburant conso litros combustible consumo " +
	"gasoleo paliwo zuzycie litrow bransle drivmedel forbrukning forbruk drivstoff polttoaine kulutus litraa brandstof verbruik cost costs expense expenses spend spending kosten ausgaben cout couts depense " +
	"depenses coste costes gasto gastos koszt koszty kostnad kostnader kustannus kustannukset invoice invoices invoiced miete loyer euro euros usd co2 emissions kwh hours stunden heures " +
	"horas godziny timmar timer tunnit betriebsstunden motogodziny trips fahrten trajets viajes driven gefahren gefahrene parcourus parcourues recorridos recorrido korda korte kjorte ajetut przejechane ytd kumuliert kumulierte " +
	"cumulative cumulated cumul cumule cumulee cumulees acumulado acumulada acumulados plan planned target soll geplant prevu prevus planificado planlagt planerad plano план monthly monatlich mensuel mensuelle mensual budget forecast tyres tires defects downtime " +
	"carburante gasolio consumo consumi litri costo costi spesa spese fattura percorsi percorsa ore combustivel abastecimento consumo litros custo custos despesa despesas percorridos rodados " +
	"топливо топлива расход литров литры затраты расходы стоимость сумма выручка моточасы часы")

// shape is how the figures of a history run along its rows.
type shape struct {
	rows  int // with two figures or more
	rise  int // rows that never fall, and end higher
	big   int // rows whose last figure is no month's driving; beside a column of odometers, at least half of it
	near  int // rows whose last figure is the odometer beside it, give or take 5 % of it
	fresh int // rows that begin with what one step comes to: counted from zero
	leaps int // rows that rise by more than any month's driving, on an average
	slow  int // rows that rise by no more than the hours of a month, on an average
}

func (h shape) rises() bool {
	return h.rows > 0 && h.rise*10 >= h.rows*9 && h.fresh*2 <= h.rows && h.leaps*2 <= h.rows
}
func (h shape) large() bool      { return h.big*2 > h.rows }
func (h shape) mayBeHours() bool { return h.slow*2 > h.rows }
func (h shape) agrees() bool     { return h.near*2 > h.rows }

func (s *sheet) shapeOf(cols []int) (h shape) {
	for _, r := range s.below {
		figures, months := s.history(r, cols)
		if len(figures) < 2 {
			continue
		}
		h.rows++
		first, last := figures[0], figures[len(figures)-1]
		step := (last - first) / float64(len(figures)-1)
		odometer, beside := s.odometerOf(r)
		if slices.IsSorted(figures) && last > first {
			h.rise++
		}
		if first > 0 && first <= 1.5*step {
			h.fresh++
		}
		if last-first > mostMonth*months {
			h.leaps++
		}
		if last-first <= mostHours*months {
			h.slow++
		}
		switch {
		case !beside && last >= usualMonth, beside && last >= odometer/2:
			h.big++
		}
		if beside && math.Abs(last-odometer) <= 0.05*odometer {
			h.near++
		}
	}
	return h
}

// history gives a row's figures by the month, and how many months they span: one at least.
func (s *sheet) history(row []string, cols []int) (figures []float64, months float64) {
	var from, to time.Time
	for _, i := range cols {
		if v, ok := figure(row, i); ok {
			if figures = append(figures, v); from.IsZero() {
				from = s.cols[i].Day
			}
			to = s.cols[i].Day
		}
	}
	const hoursOfMonth = 24 * 365.25 / 12
	return figures, max(1, to.Sub(from).Hours()/hoursOfMonth)
}

func figuresOf(row []string, cols []int) (out []float64) {
	for _, i := range cols {
		if v, ok := figure(row, i); ok {
			out = append(out, v)
		}
	}
	return out
}

func figure(row []string, i int) (float64, bool) {
	if i >= len(row) {
		return 0, false
	}
	return figureIn(row[i])
}

func figureIn(v string) (float64, bool) {
	n, _, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return n, err == nil
}

func isFigure(v string) bool {
	_, ok := figureIn(v)
	return ok
}

// odometerOf is what the row's own odometer says.
func (s *sheet) odometerOf(row []string) (float64, bool) {
	for i := range s.live {
		if topField(s.live[i]) == Odometer {
			if v, ok := figure(row, i); ok {
				return v, true
			}
		}
	}
	return 0, false
}

// summed reports a column that adds the months up in nine rows of ten: what is added up is no reading.
func (s *sheet) summed(cols []int) bool {
	for i := range s.cols {
		if slices.Contains(cols, i) {
			continue
		}
		rows, sums := 0, 0
		for _, r := range s.below {
			total, ok := figure(r, i)
			figures := figuresOf(r, cols)
			if !ok || len(figures) < 2 {
				continue
			}
			rows++
			for _, v := range figures {
				total -= v
			}
			if math.Abs(total) <= 1 {
				sums++
			}
		}
		if rows > 0 && sums*10 >= rows*9 {
			return true
		}
	}
	return false
}
