package header

import (
	"pitlist/ingest/value"
)

// Long says of a table that has one figure a row, and beside it what the figure is: "Odometer", "Engine hours", "Fuel level".
type Long struct {
	Metric int // column of what it is
	Value  int // column of the figure, taken for the odometer's
}

var (
	// metricWords head what a figure is, valueWords the figure (common practice, no source), folded.
	metricWords = toSet("metric metrics measure measurement parameter signal attribute property kpi channel datapoint field variable meter quantity kennzahl messgrosse merkmal kanal zahler mesure parametre grandeur indicateur compteur magnitud parametro medida indicador grandezza misura matare storhet mittari suure wielkosc parametr miara показатель параметр")
	valueWords  = toSet("value reading measured result figure amount wert messwert stand zahlerstand valeur releve valor lectura valore lettura varde avlasning verdi arvo lukema wartosc odczyt значение показание")
)

// metricsKnown is the share of rows whose figure is one that is read where the heading does not say that the column names what the figures are.
const metricsKnown = 0.3

// Metric reads the name of a figure: the odometer's or the engine hours', with the unit that it states.
func Metric(name string) (Field, value.Unit) { return newMatcher(Options{}).metric(name) }

func (m *matcher) metric(name string) (Field, value.Unit) {
	got := m.match(name)
	if len(name) < 60 && got.best() >= weak && !got.combined {
		switch got.claims[0].field {
		case Odometer, EngineHours:
			return got.claims[0].field, got.unit
		}
	}
	return Ignore, value.NoUnit
}

// longForm finds a table with one figure a row, and takes the figures for the odometer's; what each is is asked again at its row.
func (s *sheet) longForm() {
	metric, best := -1, 0.0
	for i := range s.cols {
		if known := s.metrics(i); known > best {
			metric, best = i, known
		}
	}
	if metric < 0 {
		return
	}
	figures := s.figureOfMetric(metric)
	if figures < 0 {
		return
	}
	for i, f := range map[int]Field{metric: MetricField, figures: Odometer} {
		if !s.isTold(i) {
			s.take(i, f, strong, "one figure a row, of several kinds")
		}
	}
	s.long = &Long{metric, figures}
	for i := range s.cols {
		if i != metric && i != figures && rankOf(s.live[i]) < canonical && share(s.values(i), isUnitName) >= nearly {
			s.take(i, OdometerUnit, strong, "units underneath")
		}
	}
}

// metrics is the share of a column's values that name a figure which is read; 1 and more where the heading says so too, 0 where the column is
// something else.
func (s *sheet) metrics(i int) float64 {
	switch r, top := rankOf(s.live[i]), topField(s.live[i]); {
	case r == told && top == MetricField:
		return 2
	case r == told, r >= strong && top != OdometerUnit && top != MetricField, s.cols[i].Heading == "":
		return 0
	}
	values := s.values(i)
	odometer, others := 0, false
	for _, v := range values {
		f, _ := s.m.metric(v)
		if f != Ignore {
			odometer++
		}
		others = others || f != Odometer
	}
	known := share(values, func(v string) bool { f, _ := s.m.metric(v); return f != Ignore })
	named := anyOf(s.matches[i].all, metricWords)
	switch {
	case odometer == 0 || !others || len(values) > 0 && share(values, isFigure) > 0:
		return 0
	case named:
		return 1 + known
	case known < metricsKnown:
		return 0
	}
	return known
}

// figureOfMetric is the column of the figures: the one headed so, else the only one that holds figures and is nothing else; -1 for none.
func (s *sheet) figureOfMetric(metric int) int {
	headed, rest := []int{}, []int{}
	for j := range s.cols {
		if s.isTold(j) && topField(s.live[j]) == Odometer {
			return j
		}
		if j == metric || s.isTold(j) || share(s.values(j), isFigure) < 0.5 {
			continue
		}
		switch top := topField(s.live[j]); {
		case (top == Ignore || top == Odometer || rankOf(s.live[j]) == weak) && anyOf(s.matches[j].all, valueWords):
			headed = append(headed, j)
		case s.isUnknown(j):
			rest = append(rest, j)
		}
	}
	switch {
	case len(headed) == 1:
		return headed[0]
	case len(headed) == 0 && len(rest) == 1:
		return rest[0]
	}
	return -1
}

// isUnitName sees a unit and nothing else.
func isUnitName(v string) bool {
	_, _, ok := value.ParseUnit(v)
	return ok
}
