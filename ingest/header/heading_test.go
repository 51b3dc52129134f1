package header

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/ingest/value"
)

// headingCases are headings as workshops, depots, lessors and auction rooms write them, collected before synonyms.txt was consulted. kind is
// the sheet they stand on.
var headingCases = []struct {
	kind    Kind
	heading string
	want    Field
	unit    value.Unit
}{
	// English
	{Vehicles, "Fleet No", Unit, ""}, {Vehicles, "FLEET_NUMBER", Unit, ""}, {Vehicles, "Vehicle #", Unit, ""}, {Vehicles, "EquipID", Unit, ""}, {Vehicles, "unit", Unit, ""},
	{Vehicles, "Unit No.", Unit, ""}, {Vehicles, "VIN Number", VIN, ""}, {Vehicles, "Chassis no.", VIN, ""}, {Vehicles, "V.I.N.", VIN, ""}, {Vehicles, "VIN\n(17 characters)", VIN, ""},
	{Vehicles, "Vehicle Identification Number (VIN)", VIN, ""}, {Vehicles, "Reg. No.", Registration, ""}, {Vehicles, "Licence plate", Registration, ""}, {Vehicles, "License#", Registration, ""},
	{Vehicles, "VIN (1-10)", VINPrefix, ""}, {Vehicles, "vin prefix", VINPrefix, ""}, {Vehicles, "Home depot", Depot, ""}, {Vehicles, "DEPARTMENT", Depot, ""}, {Vehicles, "Operating centre", Depot, ""},
	{Vehicles, "Manufacturer", Make, ""}, {Vehicles, "Vehicle make", Make, ""}, {Vehicles, "Model", Model, ""}, {Vehicles, "Model Yr", ModelYear, ""}, {Vehicles, "MY", ModelYear, ""}, {Vehicles, "Year", ModelYear, ""},
	{Vehicles, "Engine type", EngineFamily, ""}, {Vehicles, "Engine Serial No.", EngineSerial, ""}, {Vehicles, "Engine no", EngineSerial, ""}, {Vehicles, "Date of manufacture", BuildDate, ""},
	{Vehicles, "InServiceDate", InServiceDate, ""}, {Vehicles, "Date into service", InServiceDate, ""}, {Vehicles, "First registered", InServiceDate, ""},
	{Vehicles, "Odometer (km)", Odometer, "km"}, {Vehicles, "Odometer [mi]", Odometer, "mi"}, {Vehicles, "ODO KM", Odometer, "km"}, {Vehicles, "Mileage", Odometer, ""}, {Vehicles, "Mileage in miles", Odometer, "mi"},
	{Vehicles, "Current odometer", Odometer, ""}, {Vehicles, "km", Odometer, "km"}, {Vehicles, "Miles", Odometer, "mi"}, {Vehicles, "Odometr", Odometer, ""}, {Vehicles, "Odomter reading", Odometer, ""},
	{Vehicles, "Odometer date", OdometerDate, ""}, {Vehicles, "Reading date (dd/mm/yyyy)", OdometerDate, ""}, {Vehicles, "As of", OdometerDate, ""}, {Vehicles, "Engine hours", EngineHours, "h"}, {Vehicles, "Hour meter", EngineHours, ""},
	{Vehicles, "km/week", KmPerWeek, "km"}, {Vehicles, "Records from km", HistoryFromKm, "km"}, {Vehicles, "history_from_km", HistoryFromKm, "km"}, {Vehicles, "Next service due", NextService, ""}, {Vehicles, "Planned disposal", DisposalDate, ""},
	{Vehicles, "Disposal km", DisposalKm, "km"}, {Vehicles, "Vehicle status", Status, ""}, {Vehicles, "Runs (Y/N)", Runs, ""}, {Vehicles, "Driver comments", Remarks, ""}, {Vehicles, "Remark", Remarks, ""},
	{Vehicles, "Lot #", Lot, ""}, {Vehicles, "Guide price (GBP)", GuidePrice, "GBP"}, {Vehicles, "Asking price €", Price, "EUR"}, {Vehicles, "Warranty (months)", WarrantyMonths, "months"}, {Vehicles, "Can open?", CanOpen, ""},
	{CodesSheet, "DTCs", Codes, ""}, {CodesSheet, "Fault code(s)", Codes, ""}, {CodesSheet, "Trouble Codes", Codes, ""}, {CodesSheet, "SPN/FMI", Codes, ""}, {CodesSheet, "DTC 2", Codes, ""}, {CodesSheet, "Scan date", Date, ""},
	{CodesSheet, "Status", State, ""}, {CodesSheet, "Distance since codes cleared (km)", KmSinceClear, "km"}, {CodesSheet, "Miles since clear", KmSinceClear, "mi"}, {CodesSheet, "MIL on", MIL, ""}, {CodesSheet, "Warm-ups since clear", WarmupsSince, ""},
	{Repairs, "Work performed", Text, ""}, {Repairs, "Job description", Text, ""}, {Repairs, "Repair date", Date, ""}, {Repairs, "Status", Status, ""}, {Repairs, "Part number", PartNo, ""}, {Repairs, "Total cost (EUR)", Cost, "EUR"},
	{Repairs, "Date completed", Date, ""}, {Repairs, "Description", Text, ""}, {Inspections, "Component", Part, ""}, {Inspections, "Finding", FindingField, ""}, {Inspections, "Inspected by", By, ""}, {Inspections, "Cylinder", Position, ""},
	{Readings, "Source", Source, ""}, {Readings, "Reading date", Date, ""}, {Readings, "Odometer x1000 km", Odometer, "km"},
	// German
	{Vehicles, "Fzg.-Nr.", Unit, ""}, {Vehicles, "Fahrzeugnummer", Unit, ""}, {Vehicles, "FIN", VIN, ""}, {Vehicles, "Fahrgestellnummer", VIN, ""}, {Vehicles, "Fahrgestell-Nr.", VIN, ""}, {Vehicles, "Fahrgestelnummer", VIN, ""},
	{Vehicles, "amtl. Kennzeichen", Registration, ""}, {Vehicles, "Kenzeichen", Registration, ""}, {Vehicles, "Standort", Depot, ""}, {Vehicles, "Hersteller", Make, ""}, {Vehicles, "Modell", Model, ""}, {Vehicles, "Typ", Model, ""},
	{Vehicles, "Modelljahr", ModelYear, ""}, {Vehicles, "Baujahr", ModelYear, ""}, {Vehicles, "km-Stand", Odometer, "km"}, {Vehicles, "Kilometerstand", Odometer, "km"}, {Vehicles, "Laufleistung in Tsd. km", Odometer, "km"}, {Vehicles, "tkm", Odometer, "km"},
	{Vehicles, "aktueller km-Stand", Odometer, "km"}, {Vehicles, "Stand vom", OdometerDate, ""}, {Vehicles, "Motornummer", EngineSerial, ""}, {Vehicles, "Motor-Nr.", EngineSerial, ""}, {Vehicles, "MKB", EngineFamily, ""},
	{Vehicles, "Nachweise ab km", HistoryFromKm, "km"}, {Vehicles, "Bemerkung", Remarks, ""}, {Vehicles, "Erstzulassung", InServiceDate, ""}, {Vehicles, "Betriebsstunden", EngineHours, ""}, {Vehicles, "Nächste Wartung", NextService, ""}, {Vehicles, "Naechste Wartung", NextService, ""},
	{CodesSheet, "Auslesedatum", Date, ""}, {CodesSheet, "Fehlercode", Codes, ""}, {CodesSheet, "Fehlerspeicher", Codes, ""}, {CodesSheet, "km seit Löschung", KmSinceClear, "km"}, {CodesSheet, "km seit Loeschung", KmSinceClear, "km"},
	{Repairs, "Datum", Date, ""}, {Repairs, "Arbeit", Text, ""}, {Repairs, "Maßnahme", Text, ""}, {Repairs, "Teilenummer", PartNo, ""}, {Repairs, "Kosten", Cost, ""}, {Inspections, "Befund", FindingField, ""}, {Inspections, "Bauteil", Part, ""},
	{Readings, "Ablesedatum (TT.MM.JJJJ)", Date, ""},
	// French
	{Vehicles, "N° de parc", Unit, ""}, {Vehicles, "N° de châssis", VIN, ""}, {Vehicles, "Numéro de chassis", VIN, ""}, {Vehicles, "Immatriculation", Registration, ""}, {Vehicles, "N° d'immatriculation", Registration, ""}, {Vehicles, "Dépôt", Depot, ""}, {Vehicles, "Marque", Make, ""},
	{Vehicles, "Modèle", Model, ""}, {Vehicles, "Année modèle", ModelYear, ""}, {Vehicles, "Kilométrage", Odometer, "km"}, {Vehicles, "Kilométrage (km)", Odometer, "km"}, {Vehicles, "Date du relevé", OdometerDate, ""}, {Vehicles, "N° moteur", EngineSerial, ""},
	{Vehicles, "Date de mise en service", InServiceDate, ""}, {Vehicles, "Remarques", Remarks, ""}, {CodesSheet, "Codes défaut", Codes, ""}, {Repairs, "Travaux effectués", Text, ""}, {Repairs, "Référence pièce", PartNo, ""}, {Repairs, "Statut", Status, ""}, {Inspections, "Pièce", Part, ""},
	// Spanish
	{Vehicles, "N.º de bastidor", VIN, ""}, {Vehicles, "Bastidor", VIN, ""}, {Vehicles, "Matrícula", Registration, ""}, {Vehicles, "Número de unidad", Unit, ""}, {Vehicles, "Marca", Make, ""}, {Vehicles, "Modelo", Model, ""}, {Vehicles, "Año modelo", ModelYear, ""},
	{Vehicles, "Kilometraje", Odometer, "km"}, {Vehicles, "Fecha de lectura", OdometerDate, ""}, {Vehicles, "Observaciones", Remarks, ""}, {Vehicles, "Horómetro", EngineHours, ""}, {CodesSheet, "Código de avería", Codes, ""}, {Repairs, "Fecha", Date, ""}, {Repairs, "Trabajo realizado", Text, ""},
	// Swedish
	{Vehicles, "Fordonsnr", Unit, ""}, {Vehicles, "Chassinummer", VIN, ""}, {Vehicles, "Reg.nr", Registration, ""}, {Vehicles, "Märke", Make, ""}, {Vehicles, "Årsmodell", ModelYear, ""}, {Vehicles, "Mätarställning (km)", Odometer, "km"}, {Vehicles, "Mätarställning (mil)", Odometer, "km"},
	{Vehicles, "Avläsningsdatum", OdometerDate, ""}, {Vehicles, "Anmärkning", Remarks, ""}, {CodesSheet, "Felkoder", Codes, ""}, {Repairs, "Åtgärd", Text, ""}, {Repairs, "Utfört arbete", Text, ""},
	// Norwegian
	{Vehicles, "Kjøretøynr.", Unit, ""}, {Vehicles, "Kjoretoynr", Unit, ""}, {Vehicles, "Understellsnummer", VIN, ""}, {Vehicles, "Kjennemerke", Registration, ""}, {Vehicles, "Merke", Make, ""}, {Vehicles, "Kilometerstand", Odometer, "km"}, {Vehicles, "Avlest dato", OdometerDate, ""},
	{Vehicles, "Avdeling", Depot, ""}, {Vehicles, "Merknader", Remarks, ""}, {CodesSheet, "Feilkode", Codes, ""}, {Repairs, "Dato", Date, ""}, {Repairs, "Utført arbeid", Text, ""},
	// Finnish
	{Vehicles, "Ajoneuvonumero", Unit, ""}, {Vehicles, "Valmistenumero", VIN, ""}, {Vehicles, "Rekisterinumero", Registration, ""}, {Vehicles, "Rek.nro", Registration, ""}, {Vehicles, "Merkki", Make, ""}, {Vehicles, "Malli", Model, ""}, {Vehicles, "Vuosimalli", ModelYear, ""},
	{Vehicles, "Mittarilukema km", Odometer, "km"}, {Vehicles, "Lukemapäivä", OdometerDate, ""}, {Vehicles, "Käyttöönottopvm", InServiceDate, ""}, {Vehicles, "Varikko", Depot, ""}, {Vehicles, "Huomautukset", Remarks, ""}, {CodesSheet, "Vikakoodit", Codes, ""}, {Repairs, "Pvm", Date, ""}, {Repairs, "Toimenpide", Text, ""},
	// Polish
	{Vehicles, "Nr boczny", Unit, ""}, {Vehicles, "Numer VIN", VIN, ""}, {Vehicles, "Nr nadwozia", VIN, ""}, {Vehicles, "Nr rejestracyjny", Registration, ""}, {Vehicles, "Marka", Make, ""}, {Vehicles, "Rok produkcji", ModelYear, ""}, {Vehicles, "Przebieg (km)", Odometer, "km"},
	{Vehicles, "Data odczytu", OdometerDate, ""}, {Vehicles, "Zajezdnia", Depot, ""}, {Vehicles, "Uwagi", Remarks, ""}, {CodesSheet, "Kod błędu", Codes, ""}, {Repairs, "Data naprawy", Date, ""}, {Repairs, "Wykonane prace", Text, ""}, {Repairs, "Nr części", PartNo, ""},
	// a second lot, written after the list of wordings, to see what it misses
	{Vehicles, "Last Odometer Date", OdometerDate, ""}, {Vehicles, "Meter Reading Date", OdometerDate, ""}, {Vehicles, "Last Known Mileage", Odometer, ""}, {Vehicles, "Manufacturer Name", Make, ""}, {Vehicles, "Assigned Depot", Depot, ""},
	{Vehicles, "Målerstand dato", OdometerDate, ""}, {Vehicles, "Avläst datum", OdometerDate, ""}, {Vehicles, "Asset No./Unit", Unit, ""}, {Vehicles, "Total engine hours", EngineHours, "h"}, {Vehicles, "Przebieg w km", Odometer, "km"},
	{Vehicles, "fahrgestellnr.", VIN, ""}, {Vehicles, "kmstand", Odometer, "km"}, {Vehicles, "letzter km-Stand", Odometer, "km"}, {Vehicles, "Fabrikat/Marke", Make, ""}, {Vehicles, "N° immat.", Registration, ""},
	{CodesSheet, "Distance since MIL reset", KmSinceClear, ""}, {CodesSheet, "Dist since clr (km)", KmSinceClear, "km"}, {CodesSheet, "Kilometer seit Löschen", KmSinceClear, "km"}, {CodesSheet, "Km since DTC cleared", KmSinceClear, "km"},
	{CodesSheet, "Scan Date/Time", Date, ""}, {CodesSheet, "Datum der Auslesung", Date, ""}, {Repairs, "Datum åtgärd", Date, ""}, {Repairs, "Dato utført", Date, ""}, {Repairs, "Travaux réalisés", Text, ""}, {Repairs, "Utförd åtgärd", Text, ""},
	{Repairs, "Beskrivelse av arbeid", Text, ""}, {Repairs, "Durchgef. Arbeiten", Text, ""}, {Repairs, "Service", Text, ""}, {Repairs, "Zakres naprawy", Text, ""},
	// the words in another order
	{Vehicles, "No. Engine", EngineSerial, ""}, {Vehicles, "Nr. Motor", EngineSerial, ""}, {Vehicles, "Number, fleet", Unit, ""}, {Vehicles, "Year, model", ModelYear, ""}, {Vehicles, "Plate, licence", Registration, ""}, {Repairs, "Number of part", PartNo, ""},
	// two languages in one heading
	{Repairs, "Datum / Date", Date, ""}, {Vehicles, "SERIAL NUM/VIN", VIN, ""}, {Vehicles, "Marke/Make", Make, ""},
}

func TestHeadings(t *testing.T) {
	for _, c := range headingCases {
		t.Run(string(c.kind)+" "+c.heading, func(t *testing.T) {
			got := alone(c.kind, c.heading)
			assert.Equal(t, c.want, got.Field, "%s; candidates %v", got.Why, got.Candidates)
			assert.Equal(t, c.unit, got.Unit)
		})
	}
}

// alone recognises a heading on a sheet that has nothing else but what every sheet has.
func alone(k Kind, heading string) Column {
	others := []string{"registration", "odometer"}
	switch got := newMatcher(Options{}).match(heading); {
	case hasClaim(got.claims, Registration):
		others[0] = "vin"
	case hasClaim(got.claims, Odometer):
		others[1] = "date"
	}
	l, _ := Recognise([][]string{append([]string{heading}, others...)}, Options{Holds: []Kind{k}})
	if len(l.Columns) == 0 {
		return Column{}
	}
	return l.Columns[0]
}

// Headings that look like a field and are none: taking one would be worse than missing one.
func TestHeadingsNotTaken(t *testing.T) {
	for _, h := range []string{"Estimated Replacement Year", "Electric Range", "Reg Valid Date", "Reg Expiration Date", "Registration Class", "InServiceCost", "Unladen weight", "Maximum Gross Weight", "SalePrice", "SaleDate", "Sales price",
		"VIN last 6", "VIN (12-17)", "DOL Vehicle ID", "Vehicle Location", "Record ID", "OBJECTID", "Lfd. Nr.", "Invoice number", "Auftragsnummer", "Work order no.", "Row", "Lp.", "Last service date", "Last service km", "Letzte Wartung",
		"Farbe", "Colour", "Kraftstoff", "Fuel type", "Driver", "Fahrer", "Labour hours", "Arbeitsstunden", "Km per year", "Annual mileage", "Engine capacity", "Hubraum", "Zul. Gesamtgewicht", "Code description", "Fehlertext", "Model group",
		"Year of last repaint", "Next inspection of tail lift", "Odometer photo", "VIN checked by", "Unit price", "Make code", "Depot phone", "Registered keeper", "Mileage allowance per year", "Status date", "Average mileage", "Total fault codes", "Model no.", "Depot value", "Repair time", "Work order opened", "Driver name", "Distance with lamp on", "Months since reset", "Katsastus", "Dernier entretien"} {
		for _, k := range []Kind{Vehicles, CodesSheet, Repairs} {
			got := alone(k, h)
			assert.Equal(t, Ignore, got.Field, "%q on %s: %s", h, k, got.Why)
		}
	}
}

func TestScaleInHeading(t *testing.T) {
	for heading, scale := range map[string]float64{"Odometer (km)": 1, "Odometer x1000 km": 1000, "Odometer (x 1000 km)": 1000, "tkm": 1000, "km-Stand (Tsd. km)": 1000, "Laufleistung tkm": 1000, "Mileage (000s)": 1000, "Mätarställning (mil)": 10, "km (×1000)": 1000, "Mileage '000 mi": 1000} {
		got := alone(Vehicles, heading)
		assert.Equal(t, Odometer, got.Field, heading)
		assert.Equal(t, scale, got.Scale, heading)
	}
}

func TestDateFormatInHeading(t *testing.T) {
	for heading, order := range map[string]value.Order{"Date (dd/mm/yyyy)": value.DayFirst, "Date [MM/DD/YYYY]": value.MonthFirst, "Datum (TT.MM.JJJJ)": value.DayFirst, "Date (jj/mm/aaaa)": value.DayFirst, "Fecha (dd/mm/aaaa)": value.DayFirst,
		"Date mm/dd/yy": value.MonthFirst, "Pvm (pp.kk.vvvv)": value.DayFirst, "Date (yyyy-mm-dd)": value.Undecided, "Date": value.Undecided, "Datum (ÅÅÅÅ-MM-DD)": value.Undecided} {
		got := alone(Repairs, heading)
		assert.Equal(t, Date, got.Field, heading)
		assert.Equal(t, order, got.DateOrder, heading)
	}
}

func TestCanonicalNamesAreAlwaysUnderstood(t *testing.T) {
	for _, k := range kindOrder {
		for _, f := range columnsOf[k] {
			if f == Measured || f == Remarks && k == Repairs { // beside the work only
				continue
			}
			for _, h := range []string{string(f), spaced(string(f)), upper(string(f))} {
				assert.Equal(t, f, alone(k, h).Field, "%q on %s", h, k)
			}
		}
	}
}
