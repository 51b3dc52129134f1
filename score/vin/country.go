package vin

// countryRange is one block of WMIs: a first character and a span of second characters, counted in
// order. An empty country is an unassigned block.
type countryRange struct {
	first, from, to byte
	country, region string
}

// ranges assigns all 33 x 33 pairs once. Source: table of ISO 3780 ranges in two public texts (the
// 2003 reference page "VIN Manufacturer Codes" and a later encyclopaedia copy), with the
// reassignments 7F-70 to the United States, H to China (GB 16737-2019; letter from memory) and Z7-Z0
// to Russia. Confidence and notes by row stand in testdata/vin/wmi_countries.csv.
var ranges = [...]countryRange{
	{'A', 'A', 'H', "South Africa", "Africa"},
	{'A', 'J', 'N', "Ivory Coast", "Africa"},
	{'A', 'P', '0', "", "Africa"},
	{'B', 'A', 'E', "Angola", "Africa"},
	{'B', 'F', 'K', "Kenya", "Africa"},
	{'B', 'L', 'R', "Tanzania", "Africa"},
	{'B', 'S', '0', "", "Africa"},
	{'C', 'A', 'E', "Benin", "Africa"},
	{'C', 'F', 'K', "Madagascar", "Africa"},
	{'C', 'L', 'R', "Tunisia", "Africa"},
	{'C', 'S', '0', "", "Africa"},
	{'D', 'A', 'E', "Egypt", "Africa"},
	{'D', 'F', 'K', "Morocco", "Africa"},
	{'D', 'L', 'R', "Zambia", "Africa"},
	{'D', 'S', '0', "", "Africa"},
	{'E', 'A', 'E', "Ethiopia", "Africa"},
	{'E', 'F', 'K', "Mozambique", "Africa"},
	{'E', 'L', '0', "", "Africa"},
	{'F', 'A', 'E', "Ghana", "Africa"},
	{'F', 'F', 'K', "Nigeria", "Africa"},
	{'F', 'L', '0', "", "Africa"},
	{'G', 'A', '0', "", "Africa"},
	{'H', 'A', '0', "China", "Asia"},
	{'J', 'A', '0', "Japan", "Asia"},
	{'K', 'A', 'E', "Sri Lanka", "Asia"},
	{'K', 'F', 'K', "Israel", "Asia"},
	{'K', 'L', 'R', "South Korea", "Asia"},
	{'K', 'S', '0', "Kazakhstan", "Asia"},
	{'L', 'A', '0', "China", "Asia"},
	{'M', 'A', 'E', "India", "Asia"},
	{'M', 'F', 'K', "Indonesia", "Asia"},
	{'M', 'L', 'R', "Thailand", "Asia"},
	{'M', 'S', '0', "Myanmar", "Asia"},
	{'N', 'A', 'E', "Iran", "Asia"},
	{'N', 'F', 'K', "Pakistan", "Asia"},
	{'N', 'L', 'R', "Turkey", "Asia"},
	{'N', 'S', '0', "", "Asia"},
	{'P', 'A', 'E', "Philippines", "Asia"},
	{'P', 'F', 'K', "Singapore", "Asia"},
	{'P', 'L', 'R', "Malaysia", "Asia"},
	{'P', 'S', '0', "", "Asia"},
	{'R', 'A', 'E', "United Arab Emirates", "Asia"},
	{'R', 'F', 'K', "Taiwan", "Asia"},
	{'R', 'L', 'R', "Vietnam", "Asia"},
	{'R', 'S', '0', "Saudi Arabia", "Asia"},
	{'S', 'A', 'M', "United Kingdom", "Europe"},
	{'S', 'N', 'T', "Germany", "Europe"},
	{'S', 'U', 'Z', "Poland", "Europe"},
	{'S', '1', '4', "Latvia", "Europe"},
	{'S', '5', '0', "", "Europe"},
	{'T', 'A', 'H', "Switzerland", "Europe"},
	{'T', 'J', 'P', "Czech Republic", "Europe"},
	{'T', 'R', 'V', "Hungary", "Europe"},
	{'T', 'W', '1', "Portugal", "Europe"},
	{'T', '2', '0', "", "Europe"},
	{'U', 'A', 'G', "", "Europe"},
	{'U', 'H', 'M', "Denmark", "Europe"},
	{'U', 'N', 'T', "Ireland", "Europe"},
	{'U', 'U', 'Z', "Romania", "Europe"},
	{'U', '1', '4', "", "Europe"},
	{'U', '5', '7', "Slovakia", "Europe"},
	{'U', '8', '0', "", "Europe"},
	{'V', 'A', 'E', "Austria", "Europe"},
	{'V', 'F', 'R', "France", "Europe"},
	{'V', 'S', 'W', "Spain", "Europe"},
	{'V', 'X', '2', "Serbia", "Europe"},
	{'V', '3', '5', "Croatia", "Europe"},
	{'V', '6', '0', "Estonia", "Europe"},
	{'W', 'A', '0', "Germany", "Europe"},
	{'X', 'A', 'E', "Bulgaria", "Europe"},
	{'X', 'F', 'K', "Greece", "Europe"},
	{'X', 'L', 'R', "Netherlands", "Europe"},
	{'X', 'S', 'W', "Russia", "Europe"},
	{'X', 'X', '2', "Luxembourg", "Europe"},
	{'X', '3', '0', "Russia", "Europe"},
	{'Y', 'A', 'E', "Belgium", "Europe"},
	{'Y', 'F', 'K', "Finland", "Europe"},
	{'Y', 'L', 'R', "Malta", "Europe"},
	{'Y', 'S', 'W', "Sweden", "Europe"},
	{'Y', 'X', '2', "Norway", "Europe"},
	{'Y', '3', '5', "Belarus", "Europe"},
	{'Y', '6', '0', "Ukraine", "Europe"},
	{'Z', 'A', 'R', "Italy", "Europe"},
	{'Z', 'S', 'W', "", "Europe"},
	{'Z', 'X', '2', "Slovenia", "Europe"},
	{'Z', '3', '5', "Lithuania", "Europe"},
	{'Z', '6', '6', "", "Europe"},
	{'Z', '7', '0', "Russia", "Europe"},
	{'1', 'A', '0', "United States", "North America"},
	{'2', 'A', '0', "Canada", "North America"},
	{'3', 'A', 'W', "Mexico", "North America"},
	{'3', 'X', '7', "Costa Rica", "North America"},
	{'3', '8', '9', "Cayman Islands", "North America"},
	{'3', '0', '0', "", "North America"},
	{'4', 'A', '0', "United States", "North America"},
	{'5', 'A', '0', "United States", "North America"},
	{'6', 'A', 'W', "Australia", "Oceania"},
	{'6', 'X', '0', "", "Oceania"},
	{'7', 'A', 'E', "New Zealand", "Oceania"},
	{'7', 'F', '0', "United States", "North America"},
	{'8', 'A', 'E', "Argentina", "South America"},
	{'8', 'F', 'K', "Chile", "South America"},
	{'8', 'L', 'R', "Ecuador", "South America"},
	{'8', 'S', 'W', "Peru", "South America"},
	{'8', 'X', '2', "Venezuela", "South America"},
	{'8', '3', '0', "", "South America"},
	{'9', 'A', 'E', "Brazil", "South America"},
	{'9', 'F', 'K', "Colombia", "South America"},
	{'9', 'L', 'R', "Paraguay", "South America"},
	{'9', 'S', 'W', "Uruguay", "South America"},
	{'9', 'X', '2', "Trinidad and Tobago", "South America"},
	{'9', '3', '9', "Brazil", "South America"},
	{'9', '0', '0', "", "South America"},
	{'0', 'A', '0', "", "South America"},
}

// rangeOf maps each pair to its place in ranges; built once, since 100,000 look-ups are a usual run.
var rangeOf = buildRangeOf()

func buildRangeOf() (t [len(order)][len(order)]uint8) {
	for i, r := range ranges {
		row := characters[r.first].index
		for j := characters[r.from].index; j <= characters[r.to].index; j++ {
			t[row][j] = uint8(i)
		}
	}
	return t
}

// Country returns where a maker's code was issued, from its first two characters (capitals). Both are
// "" where wmi is too short or holds an illegal character; an unassigned block has a region only. Use
// it as a hint: blocks are reassigned, and makers build abroad.
func Country(wmi string) (country, region string) {
	if len(wmi) < 2 {
		return "", ""
	}
	first, second := characters[wmi[0]], characters[wmi[1]]
	if !first.legal || !second.legal {
		return "", ""
	}
	r := &ranges[rangeOf[first.index][second.index]]
	return r.country, r.region
}
