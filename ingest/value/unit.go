package value

import "pitlist/score/say"

// Unit is what a figure counts, written one way.
type Unit = string

// The units that a fleet's lists hang behind their figures. Money is an ISO 4217 code where the sign tells it.
const (
	Km     Unit = "km"
	Mile   Unit = "mi"
	Hour   Unit = "h"
	Month  Unit = "months"
	Week   Unit = "weeks"
	NoUnit Unit = ""
)

// UnitWords is a unit as people read it: signs are the same everywhere, words are not.
func UnitWords(u Unit) say.Text {
	switch u {
	case Month:
		return say.F("months")
	case Week:
		return say.F("weeks")
	}
	return say.Plain(u)
}

// KmPerMile is exact by definition (international yard and pound agreement, 1959).
const KmPerMile = 1.609344

// measure is a unit with the factor by which the figure is to be multiplied: 1000 for "tkm".
type measure struct {
	unit  Unit
	scale float64
}

// units are the spellings of units, folded, without blanks and dots. Swedish and Norwegian "mil" is 10 km, and some write it for miles: it
// is left out here on purpose and read only where the heading says which (NumberOptions.Mil).
var units = map[string]measure{
	"km": {Km, 1}, "kms": {Km, 1}, "kilometer": {Km, 1}, "kilometers": {Km, 1}, "kilometre": {Km, 1}, "kilometres": {Km, 1}, "kilometern": {Km, 1},
	"kilometro": {Km, 1}, "kilometros": {Km, 1}, "kilometri": {Km, 1}, "kilometria": {Km, 1}, "kilometry": {Km, 1}, "kilometrow": {Km, 1},
	"tkm": {Km, 1000}, "tsdkm": {Km, 1000}, "tsd": {NoUnit, 1000}, "tausend": {NoUnit, 1000}, "kkm": {Km, 1000}, "000km": {Km, 1000}, "'000km": {Km, 1000},
	"x1000km": {Km, 1000}, "1000km": {Km, 1000}, "tuhattakm": {Km, 1000}, "tyskm": {Km, 1000}, "kkilometer": {Km, 1000}, "milliersdekm": {Km, 1000}, "milesdekm": {Km, 1000}, "tuskm": {Km, 1000},
	"k": {NoUnit, 1000}, "x1000": {NoUnit, 1000}, "'000": {NoUnit, 1000}, "thousand": {NoUnit, 1000}, "thousandkm": {Km, 1000},
	"chilometri": {Km, 1}, "chilometro": {Km, 1}, "quilometro": {Km, 1}, "quilometros": {Km, 1}, "км": {Km, 1}, "километр": {Km, 1}, "километра": {Km, 1}, "километров": {Km, 1}, "километры": {Km, 1}, "тыскм": {Km, 1000}, "тыс": {NoUnit, 1000},
	"miglia": {Mile, 1}, "miglio": {Mile, 1}, "milha": {Mile, 1}, "milhas": {Mile, 1}, "миль": {Mile, 1}, "мили": {Mile, 1}, "миля": {Mile, 1},
	"ore": {Hour, 1}, "ora": {Hour, 1}, "ч": {Hour, 1}, "час": {Hour, 1}, "часа": {Hour, 1}, "часов": {Hour, 1}, "часы": {Hour, 1}, "м/ч": {Hour, 1}, "мч": {Hour, 1}, "моточас": {Hour, 1}, "моточаса": {Hour, 1}, "моточасов": {Hour, 1}, "моточасы": {Hour, 1},
	"mesi": {Month, 1}, "мес": {Month, 1}, "месяцев": {Month, 1}, "л": {"l", 1}, "литров": {"l", 1}, "руб": {"RUB", 1}, "₽": {"RUB", 1}, "r$": {"BRL", 1},
	"mi": {Mile, 1}, "mile": {Mile, 1}, "miles": {Mile, 1}, "mls": {Mile, 1}, "meile": {Mile, 1}, "meilen": {Mile, 1}, "milles": {Mile, 1}, "millas": {Mile, 1},
	"milla": {Mile, 1}, "mailia": {Mile, 1}, "mailit": {Mile, 1}, "maili": {Mile, 1}, "mila": {Mile, 1},
	"kmi": {Mile, 1000}, "kmiles": {Mile, 1000}, "x1000mi": {Mile, 1000}, "x1000miles": {Mile, 1000}, "1000mi": {Mile, 1000}, "1000miles": {Mile, 1000}, "thousandmiles": {Mile, 1000},
	"h": {Hour, 1}, "hr": {Hour, 1}, "hrs": {Hour, 1}, "hour": {Hour, 1}, "hours": {Hour, 1}, "std": {Hour, 1}, "stunde": {Hour, 1}, "stunden": {Hour, 1}, "bh": {Hour, 1},
	"heure": {Hour, 1}, "heures": {Hour, 1}, "hora": {Hour, 1}, "horas": {Hour, 1}, "tim": {Hour, 1}, "timme": {Hour, 1}, "timmar": {Hour, 1}, "timer": {Hour, 1}, "time": {Hour, 1},
	"tunti": {Hour, 1}, "tuntia": {Hour, 1}, "tunnit": {Hour, 1}, "godz": {Hour, 1}, "godziny": {Hour, 1}, "godzin": {Hour, 1}, "mth": {Hour, 1}, "mtg": {Hour, 1}, "motogodziny": {Hour, 1}, "motogodzin": {Hour, 1},
	"mo": {Month, 1}, "mos": {Month, 1}, "mth(s)": {Month, 1}, "month": {Month, 1}, "months": {Month, 1}, "monat": {Month, 1}, "monate": {Month, 1}, "mois": {Month, 1}, "mes": {Month, 1}, "meses": {Month, 1},
	"manad": {Month, 1}, "manader": {Month, 1}, "maneder": {Month, 1}, "maned": {Month, 1}, "kk": {Month, 1}, "kuukautta": {Month, 1}, "mies": {Month, 1}, "miesiecy": {Month, 1}, "miesiace": {Month, 1}, "miesiac": {Month, 1},
	"mm": {"mm", 1}, "cm": {"cm", 1}, "um": {"um", 1}, "μm": {"um", 1}, "in": {"in", 1}, "inch": {"in", 1}, "\"": {"in", 1}, "bar": {"bar", 1}, "mbar": {"mbar", 1}, "kpa": {"kPa", 1}, "mpa": {"MPa", 1}, "psi": {"psi", 1},
	"v": {"V", 1}, "mv": {"mV", 1}, "a": {"A", 1}, "ohm": {"ohm", 1}, "ω": {"ohm", 1}, "°c": {"C", 1}, "degc": {"C", 1}, "c": {"C", 1}, "%": {"%", 1}, "nm": {"Nm", 1}, "kg": {"kg", 1}, "g": {"g", 1}, "l": {"l", 1}, "ltr": {"l", 1}, "litre": {"l", 1}, "litres": {"l", 1}, "liter": {"l", 1}, "liters": {"l", 1}, "litros": {"l", 1}, "rpm": {"rpm", 1}, "°": {"deg", 1}, "deg": {"deg", 1}, "ppm": {"ppm", 1},
	"€": {"EUR", 1}, "eur": {"EUR", 1}, "euro": {"EUR", 1}, "£": {"GBP", 1}, "gbp": {"GBP", 1}, "$": {"$", 1}, "usd": {"USD", 1}, "us$": {"USD", 1}, "kr": {"kr", 1}, ",-": {"kr", 1}, "sek": {"SEK", 1}, "nok": {"NOK", 1}, "dkk": {"DKK", 1},
	"zl": {"PLN", 1}, "pln": {"PLN", 1}, "chf": {"CHF", 1}, "sfr": {"CHF", 1},
}

// ParseUnit reads a text that is a unit and nothing else: "km", "Miles", "x1000 km", "tkm", "Std.". The scale is what a figure under it is to be
// multiplied with to be in that unit; unit is "" for a bare "x1000".
func ParseUnit(s string) (unit Unit, scale float64, ok bool) {
	m, ok := lookUnit(s)
	return m.unit, m.scale, ok
}

// ParseDistanceUnit reads a cell of a column that says km or miles, where one letter does.
func ParseDistanceUnit(s string) (Unit, bool) {
	switch Fold(s) {
	case "k":
		return Km, true
	case "m":
		return Mile, true
	}
	u, scale, ok := ParseUnit(s)
	return u, ok && scale == 1 && (u == Km || u == Mile)
}

func lookUnit(s string) (measure, bool) {
	if m, ok := units[s]; ok {
		return m, true
	}
	f := Fold(s)
	key := make([]byte, 0, 16)
	for i := 0; i < len(f); i++ {
		switch f[i] {
		case ' ', '.', '*':
			continue
		}
		key = append(key, f[i])
		if len(key) > 16 {
			return measure{}, false
		}
	}
	m, ok := units[string(key)]
	if !ok {
		m, ok = timesThousand(string(key))
	}
	return m, ok
}

// timesThousand reads the multiplication signs that are written before and after a unit: "×1000 km", "km x1000", "km(x1000)".
func timesThousand(key string) (measure, bool) {
	for _, mark := range [...]string{"×1000", "x1000", "(x1000)", "*1000", "/1000", "'000", "in1000", "1000"} {
		for _, rest := range [...]string{cut(key, mark, true), cut(key, mark, false)} {
			if m, ok := units[rest]; ok && rest != key {
				return measure{m.unit, 1000}, true
			}
		}
		if key == mark && mark != "1000" {
			return measure{NoUnit, 1000}, true
		}
	}
	return measure{}, false
}

// cut takes a mark off one end; a text without it comes back whole.
func cut(s, mark string, front bool) string {
	n := len(mark)
	switch {
	case len(s) <= n:
	case front && s[:n] == mark:
		return s[n:]
	case !front && s[len(s)-n:] == mark:
		return s[:len(s)-n]
	}
	return s
}
