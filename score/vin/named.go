package vin

import "pitlist/score/say"

// Named is a country of Country's table in words; what the table does not have
// stays as it is.
func Named(country string) say.Text {
	if t, ok := named[country]; ok {
		return t
	}
	return say.Plain(country)
}

// named are the countries of the table, each once.
var named = byName(
	say.F("Angola"),
	say.F("Argentina"),
	say.F("Australia"),
	say.F("Austria"),
	say.F("Belarus"),
	say.F("Belgium"),
	say.F("Benin"),
	say.F("Brazil"),
	say.F("Bulgaria"),
	say.F("Canada"),
	say.F("Cayman Islands"),
	say.F("Chile"),
	say.F("China"),
	say.F("Colombia"),
	say.F("Costa Rica"),
	say.F("Croatia"),
	say.F("Czech Republic"),
	say.F("Denmark"),
	say.F("Ecuador"),
	say.F("Egypt"),
	say.F("Estonia"),
	say.F("Ethiopia"),
	say.F("Finland"),
	say.F("France"),
	say.F("Germany"),
	say.F("Ghana"),
	say.F("Greece"),
	say.F("Hungary"),
	say.F("India"),
	say.F("Indonesia"),
	say.F("Iran"),
	say.F("Ireland"),
	say.F("Israel"),
	say.F("Italy"),
	say.F("Ivory Coast"),
	say.F("Japan"),
	say.F("Kazakhstan"),
	say.F("Kenya"),
	say.F("Latvia"),
	say.F("Lithuania"),
	say.F("Luxembourg"),
	say.F("Madagascar"),
	say.F("Malaysia"),
	say.F("Malta"),
	say.F("Mexico"),
	say.F("Morocco"),
	say.F("Mozambique"),
	say.F("Myanmar"),
	say.F("Netherlands"),
	say.F("New Zealand"),
	say.F("Nigeria"),
	say.F("Norway"),
	say.F("Pakistan"),
	say.F("Paraguay"),
	say.F("Peru"),
	say.F("Philippines"),
	say.F("Poland"),
	say.F("Portugal"),
	say.F("Romania"),
	say.F("Russia"),
	say.F("Saudi Arabia"),
	say.F("Serbia"),
	say.F("Singapore"),
	say.F("Slovakia"),
	say.F("Slovenia"),
	say.F("South Africa"),
	say.F("South Korea"),
	say.F("Spain"),
	say.F("Sri Lanka"),
	say.F("Sweden"),
	say.F("Switzerland"),
	say.F("Taiwan"),
	say.F("Tanzania"),
	say.F("Thailand"),
	say.F("Trinidad and Tobago"),
	say.F("Tunisia"),
	say.F("Turkey"),
	say.F("Ukraine"),
	say.F("United Arab Emirates"),
	say.F("United Kingdom"),
	say.F("United States"),
	say.F("Uruguay"),
	say.F("Venezuela"),
	say.F("Vietnam"),
	say.F("Zambia"),
)

func byName(countries ...say.Text) map[string]say.Text {
	out := make(map[string]say.Text, len(countries))
	for _, c := range countries {
		out[c.String()] = c
	}
	return out
}
