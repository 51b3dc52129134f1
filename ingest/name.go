package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// key reads the columns that name the vehicle.
func (c *converter) key() key {
	k := key{c.keep(c.unquoted(header.Unit)), names{registration: c.keep(c.unquoted(header.Registration))}}
	raw := c.text(header.VIN)
	if c.vinBeside(&k, raw); c.beside != "" {
		raw = c.beside
	}
	if raw != "" {
		k.vin = parseVIN(c.keep(raw))
	}
	if prefix := c.text(header.VINPrefix); prefix != "" && raw == "" {
		if k.vin = parseVIN(c.keep(prefix)); k.vin == "" {
			if text, ok, _ := vin.CleanPrefix(prefix); ok {
				k.prefix = strings.Clone(text)
			}
		}
	}
	if l := &c.view.Layout; l.ByName {
		switch vin := parseVIN(l.Vehicle); {
		case vin != "":
			k.vin = vin
		case l.NamedBy == header.Registration:
			k.registration = l.Vehicle
		default:
			k.unit = l.Vehicle
		}
	}
	if k.nameless() && c.view.Layout.Has(header.Vehicles) {
		k.unit = c.keep(c.text(header.Lot)) // a sale's list often has nothing else
	}
	return k
}

// unquoted is the field's text without the apostrophe by which a spreadsheet program
// is told that a text follows, and which some programs write out.
func (c *converter) unquoted(f header.Field) string {
	s := c.text(f)
	if len(s) > 1 && s[0] == '\'' && s[len(s)-1] != '\'' && c.sheet.text {
		return s[1:]
	}
	return s
}

// vinBeside takes a VIN out of the cell that names the vehicle by its number or
// plate; raw is that of the row's VIN column, with which it must agree.
func (c *converter) vinBeside(k *key, raw string) {
	c.beside = ""
	if rest, v, ok := header.VINBeside(raw); ok && rest == "" { // "VIN: Z9K…"
		c.beside = v
		return
	}
	for _, name := range [...]*string{&k.unit, &k.registration} {
		if len(*name) < 19 {
			continue
		}
		if rest, v, ok := header.VINBeside(*name); ok && rest != "" && (raw == "" || strings.EqualFold(raw, v)) {
			*name, c.beside = rest, v
			c.besides++
			return
		}
	}
}

// vehicleName is what a sheet, or the file of one, is called where it may be the
// name of a vehicle: one word with a figure in it, and no name that a program
// gives.
func vehicleName(s score.Source) string {
	name := s.Sheet
	if name == "" {
		name = fileName(s.File)
	}
	letters := strings.TrimRight(strings.ToLower(name), "0123456789 ()")
	if isPeriod(name, letters) || !hasDigit(name) || strings.ContainsAny(strings.TrimSpace(name), " \t") || len(name) > longestFront && parseVIN(name) == "" || programNames[letters] {
		return ""
	}
	return strings.TrimSpace(name)
}

// isPeriod sees a day, month or year, by which sheets are called too, and a
// number that may be a month's or a page's.
func isPeriod(name, letters string) bool {
	if letters == "" && (len(name) < 3 || len(name) == 4 && (name[:2] == "19" || name[:2] == "20")) {
		return true
	}
	_, _, err := value.ParseDate(name, value.DateOptions{MonthOnly: true, Order: value.DayFirst})
	return value.MonthNumber(letters) != 0 || header.IsPeriod(name) || err == nil && strings.ContainsAny(name, "-./ ")
}

// programNames are what spreadsheet programs call a sheet, before its number
// (from memory), and what people call one that is no vehicle's.
var programNames = map[string]bool{"sheet": true, "tabelle": true, "feuil": true, "feuille": true, "hoja": true, "foglio": true, "folha": true, "planilha": true, "blad": true, "ark": true, "taul": true, "taulukko": true, "arkusz": true, "лист": true,
	"table": true, "data": true, "export": true, "report": true, "page": true, "query": true, "jobs": true, "repairs": true, "week": true, "kw": true, "q": true}

// parseVIN reads a VIN of good form; "" where it has none.
func parseVIN(raw string) vin.VIN {
	if v, err := vin.Parse(raw); err == nil {
		return v
	}
	text, _ := vin.Clean(raw)
	v, _ := vin.Parse(text)
	return v
}

// checkVIN judges the VIN of the row. On a vehicle sheet the whole judgement
// is kept; elsewhere only a VIN without form is told of, for the sheets of
// vehicles say the rest.
func (c *converter) checkVIN(k *key) *vin.Report {
	raw, f := c.text(header.VIN), header.VIN
	if raw == "" {
		raw, f = c.text(header.VINPrefix), header.VINPrefix
	}
	if c.beside != "" && raw == "" {
		if f = header.Unit; len(c.at[f]) == 0 {
			f = header.Registration
		}
	}
	if c.beside != "" {
		raw = c.beside
	}
	if raw == "" {
		return nil
	}
	col := c.at[f][0]
	if k.prefix != "" {
		c.prefixRow(k, raw)
		return nil
	}
	if c.view.Layout.Has(header.Vehicles) {
		return c.vinRow(col, k, c.keep(raw))
	}
	if k.vin == "" {
		r := vin.Judge(raw, c.vinContext())
		c.vinIssue(col, k, &r)
	}
	return nil
}

// prefixRow keeps a VIN of which only the first characters are known.
func (c *converter) prefixRow(k *key, raw string) {
	if !c.view.Layout.Has(header.Vehicles) {
		return
	}
	country, _ := vin.Country(k.prefix)
	c.vins.add(score.VINRow{Unit: k.unit, Raw: c.keep(raw), Country: country, Partial: true, Ref: c.ref()})
}

// vinRow keeps what is found of the VIN on a vehicle row. A VIN that is set
// aside names nothing.
func (c *converter) vinRow(col *column, k *key, raw string) *vin.Report {
	r := vin.Judge(raw, c.vinContext())
	k.vin = r.VIN
	c.vins.add(score.NewVINRow(k.unit, &r, c.ref()))
	c.vinIssue(col, k, &r)
	return &r
}

// vinIssue tells of a VIN that is not good. The row is lost where nothing
// else names its vehicle.
func (c *converter) vinIssue(col *column, k *key, r *vin.Report) {
	if r.Has(vin.Good) && trivial(r) {
		return
	}
	sev, reason, remedy := score.Noted, r.Reason, say.Text{}
	switch {
	case k.nameless():
		sev = score.Rejected
		reason = say.F("%s Nothing else on the row names its vehicle.", reason)
	case r.SetAside:
		sev = score.SetAside
	}
	if len(r.Suggestions) > 0 {
		remedy = say.F("may be %s (%s)", string(r.Suggestions[0].VIN), r.Suggestions[0].Why)
	}
	if len(r.Notes) > 0 {
		reason = cleanedVIN(reason, say.Join(", ", r.Notes...))
	}
	if r.SetAside {
		c.issue(col, r.Raw, sev, reason, remedy)
	} else {
		c.mention(col, r.Raw, sev, reason, remedy)
	}
}

// cleanedVIN adds to a reason, where there is one, what was taken off the VIN.
func cleanedVIN(reason, notes say.Text) say.Text {
	if reason.Empty() {
		return say.F("read after cleaning: %s", notes)
	}
	return say.F("%s Read after cleaning: %s.", reason, notes)
}

// trivial tells that cleaning changed nothing but the case and the blanks.
func trivial(r *vin.Report) bool {
	return len(r.Notes) == 0 || strings.EqualFold(strings.Join(strings.Fields(r.Raw), ""), r.Text)
}

func (c *converter) vinContext() vin.Context {
	year, _ := c.year()
	return vin.Context{Market: c.file.opts.Market, StatedYear: year, Year: c.file.opts.Day.Time().Year()}
}
