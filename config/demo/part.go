package demo

import "pitlist/score/life"

// part is one weak part with the truth that its catalogue entry tells: curves,
// rates and the way people write of it. Rates of rules are P(the rule speaks).
type part struct {
	id                 string
	byHours            bool
	onset, delay       life.Distribution
	improved           bool // renewed with a design that does not wear this way
	detects, falseFind float64
	codes              codes
	words              words
	measure            measure
	says               map[string]wording // by language
}

// codes are the part's code rules, the first that matches first; back are the
// rates of the rule for codes that came back after a treatment.
type codes struct {
	rules            []codeRule
	toSet            float64 // km
	backWorn, backNo float64
}

// codeRule holds the sets of codes that make one rule speak.
type codeRule struct {
	sets     [][]string
	worn, no float64
}

type words struct{ worn, no float64 }

// measure is a value taken in the yard without opening; "" where there is none.
type measure struct {
	name           string
	limit          float64
	overWorn, over float64 // P(over the limit | worn), (| not worn)
}

// wording is how one language's workshop writes of the part.
type wording struct {
	name    string // in an inspection's column
	failed  []string
	planned []string
	treat   []string
	advise  []string
	symptom []string
	denied  []string // said of a part without the symptom; must mean nothing
}

func tableOf(points ...life.Point) life.Distribution {
	t, err := life.NewTable(points)
	if err != nil { // the points stand in this file
		panic(err)
	}
	return t
}

var pumpFollower = &part{
	id: "pump-follower", improved: true, detects: 0.92, falseFind: 0.01,
	onset: life.Weibull{Shape: 3.2, Scale: 215000}, delay: life.Weibull{Shape: 1.8, Scale: 42000},
	codes: codes{rules: []codeRule{
		{[][]string{{"P0087", "P0191"}}, 0.50, 0.004},
		{[][]string{{"P0087"}, {"P0191"}, {"P0087", "P0191", "P0193"}}, 0.30, 0.012},
	}, toSet: 180, backWorn: 0.80, backNo: 0.005},
	words: words{0.38, 0.012},
	says: map[string]wording{
		english: {"HP pump follower",
			[]string{"Recovered. High-pressure pump follower replaced with revised part, metal in the filter, rail and injectors flushed", "Follower seized, high-pressure pump follower replaced"},
			[]string{"High-pressure pump follower replaced as a precaution, revised part", "HP pump follower renewed as a precaution"},
			[]string{"Rail pressure sensor replaced, codes cleared", "Renewed rail press. sensor + cleared codes", "Fuel filter changed, codes erased, road test ok"},
			[]string{"Advise HP pump follower replacement at next service", "HP pump follower replacement declined by depot manager"},
			[]string{"pump knocks when hot", "knock from the pump when hot", "Pump knocks when hot, worse uphill"},
			[]string{"no knock from the pump when hot", "no metal in filter"}},
		norsk: {"pumpeløfter",
			[]string{"Pumpeløfter skåret, pumpeløfter skiftet, spon i filter"},
			[]string{"Pumpeløfter skiftet forebyggende"},
			[]string{"Raildrykksensor skiftet, koder slettet", "Byttet raildrykksensor"},
			[]string{"Anbefaler skifte av pumpeløfter ved neste service"},
			[]string{"pumpa banker når motoren er varm"},
			[]string{"ingen lyd fra pumpa"}},
	},
}

var phaserTensioner = &part{
	id: "phaser-tensioner", improved: true, detects: 0.9, falseFind: 0.02,
	onset: tableOf(life.Point{Distance: 60000, Share: 0.03}, life.Point{Distance: 120000, Share: 0.18}, life.Point{Distance: 180000, Share: 0.45}, life.Point{Distance: 240000, Share: 0.70}),
	delay: life.Exponential{Mean: 24000},
	codes: codes{rules: []codeRule{
		{[][]string{{"P0018", "P0019"}, {"P0018", "P0019", "P0016"}}, 0.35, 0.002},
		{[][]string{{"P0016", "P0017"}}, 0.20, 0.002},
		{[][]string{{"P0018"}, {"P0016"}, {"P0019"}}, 0.30, 0.012},
	}, toSet: 220, backWorn: 0.85, backNo: 0.006},
	words: words{0.40, 0.02},
	says: map[string]wording{
		english: {"phaser tensioner",
			[]string{"Belt jumped, phaser drive belt tensioner replaced, valves checked"},
			[]string{"Phaser tensioner replaced as a precaution"},
			[]string{"Cam position sensor bank 2 replaced, codes cleared", "Cam position sensor swapped, fault codes erased"},
			[]string{"Recommend phaser tensioner replacement"},
			[]string{"rattle for a second on cold start", "Rattle for a second on cold start most mornings"},
			[]string{"no rattle on cold start"}},
		norsk: {"faserstrammer",
			[]string{"Rem hoppet, faserstrammer skiftet"},
			[]string{"Faserstrammer skiftet forebyggende"},
			[]string{"Kamsensor skiftet, koder slettet"},
			[]string{"Anbefaler skifte av faserstrammer"},
			[]string{"skrangler ved kaldstart"},
			[]string{"ingen lyd ved kaldstart"}},
	},
}

var rackJoint = &part{
	id: "rack-joint", detects: 0.95, falseFind: 0.02,
	onset: life.Weibull{Shape: 2.6, Scale: 290000}, delay: life.Exponential{Mean: 30000},
	words:   words{0.42, 0.015},
	measure: measure{"joint_play_mm", 1.2, 0.85, 0.04},
	says: map[string]wording{
		english: {"rack joint",
			[]string{"Rack joint broken, towed in, steering rack inner joint renewed", "Steering rack inner joint renewed after rack joint broken in yard"},
			[]string{"Steering rack inner joint renewed, toe set", "Rack joint renewed as a precaution"},
			[]string{"Wheel alignment set", "Wheel alignment checked and adjusted"},
			[]string{"Rack joint renewal advised", "Rack joint renewal declined"},
			[]string{"clunk through the wheel on full lock", "knock from the rack"},
			[]string{"no knock from the rack", "steering good"}},
		norsk: {"indre styreledd",
			[]string{"Styreledd røket, indre styreledd skiftet"},
			[]string{"Indre styreledd skiftet forebyggende"},
			[]string{"Hjulstilling justert"},
			[]string{"Anbefaler skifte av indre styreledd"},
			[]string{"dunk i rattet ved fullt utslag"},
			[]string{"ingen slark i styring"}},
	},
}

var coolantPump = &part{
	id: "coolant-pump", detects: 0.88, falseFind: 0.03,
	onset: life.Lognormal{Mu: 11.7, Sigma: 0.45}, delay: life.Weibull{Shape: 1.4, Scale: 24000},
	codes: codes{rules: []codeRule{{[][]string{{"SPN 110 FMI 0"}, {"SPN 110 FMI 16"}}, 0.20, 0.006}}, toSet: 300},
	words: words{0.45, 0.02},
	says: map[string]wording{
		english: {"coolant pump",
			[]string{"Engine overheated, coolant pump renewed, head checked", "Coolant pump seized, water pump replaced"},
			[]string{"Coolant pump renewed as a precaution", "Water pump replaced at the interval"},
			[]string{"Thermostat replaced", "Fan belt replaced"},
			[]string{"Coolant pump renewal recommended", "Water pump replacement declined, budget"},
			[]string{"weeps coolant at the pump", "whine from the coolant pump"},
			[]string{"no coolant leaks seen", "no whine from the coolant pump"}},
		norsk: {"vannpumpe",
			[]string{"Motoren gikk varm, vannpumpe skiftet"},
			[]string{"Vannpumpe skiftet forebyggende"},
			[]string{"Termostat byttet"},
			[]string{"Anbefaler skifte av vannpumpe"},
			[]string{"kjølevæske drypper ved pumpa"},
			[]string{"ingen lekkasje"}},
	},
}

var boomCoupling = &part{
	id: "boom-coupling", byHours: true, improved: true, detects: 0.9, falseFind: 0.02,
	onset: life.Weibull{Shape: 2.4, Scale: 9500}, delay: life.Weibull{Shape: 1.5, Scale: 1300},
	words:   words{0.50, 0.02},
	measure: measure{"coupling_play_deg", 4, 0.80, 0.03},
	says: map[string]wording{
		english: {"boom coupling",
			[]string{"Coupling sheared on site, boom pump drive coupling replaced with improved type"},
			[]string{"Boom coupling replaced as a precaution, improved type"},
			[]string{"Hydraulic filter changed"},
			[]string{"Boom coupling replacement recommended"},
			[]string{"boom slow when hot", "rattle from the boom pump"},
			[]string{"no rattle from the boom pump"}},
		norsk: {"bomkobling",
			[]string{"Kobling røket, bomkobling skiftet"},
			[]string{"Bomkobling skiftet forebyggende"},
			[]string{"Hydraulikkfilter byttet"},
			[]string{"Anbefaler skifte av bomkobling"},
			[]string{"bommen er treg når den er varm"},
			[]string{"ingen lyd fra bommen"}},
	},
}

var actuatorLinkage = &part{
	id: "actuator-linkage", improved: true, detects: 0.92, falseFind: 0.02,
	onset: life.Weibull{Shape: 2.2, Scale: 230000}, delay: life.Weibull{Shape: 1.4, Scale: 30000},
	codes: codes{rules: []codeRule{
		{[][]string{{"SPN 641 FMI 7", "SPN 102 FMI 18"}}, 0.40, 0.004},
		{[][]string{{"SPN 641 FMI 7"}, {"SPN 102 FMI 18"}}, 0.35, 0.015},
	}, toSet: 250, backWorn: 0.75, backNo: 0.006},
	words: words{0.35, 0.03},
	says: map[string]wording{
		english: {"actuator linkage",
			[]string{"Actuator linkage broken, limp home, actuator linkage replaced with revised part"},
			[]string{"Actuator linkage replaced as a precaution"},
			[]string{"Charge air hose replaced, codes cleared"},
			[]string{"Actuator linkage replacement advised"},
			[]string{"no power under load", "lacks power uphill"},
			[]string{"power good uphill"}},
		norsk: {"ladeluftaktuator",
			[]string{"Aktuator røket, ladeluftaktuator skiftet"},
			[]string{"Ladeluftaktuator skiftet forebyggende"},
			[]string{"Ladeluftslange byttet, koder slettet"},
			[]string{"Anbefaler skifte av ladeluftaktuator"},
			[]string{"mangler kraft i bakker"},
			[]string{"god kraft i bakker"}},
	},
}
