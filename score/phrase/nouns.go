package phrase

import "strings"

// thingLists are nouns that change what a noun before them names, and words that are only known (common practice, no
// source). A "fuel pump relay" is not the fuel pump.
var thingLists = []wordList{
	{cHead, `relay fuse sensor connector connection wiring wire loom harness cable gasket seal bracket cover hose bolt strap mount
		mounting filter pipe line plug switch screw nut stud washer clamp clip bush bushing boot gaiter shield guard module ecu
		controller driver valve motor pulley belt chain sprocket gear gearwheel bearing brg shaft follower tappet rod lever arm link
		joint pin spring spacer shim oring flange stub sender sensing terminal socket earth ground lead resistor regulator
		solenoid actuator damper tensioner idler coupling adapter adaptor union fitting banjo nozzle injector reservoir tank cap lid
		strainer screen gauze mesh inlet outlet manifold impeller rotor vane piston plunger diaphragm element cartridge label tag
		circuit card board lamp bulb light gauge grommet insulation insulator heater cooler fan blower drive carrier stay hanger
		relais sicherung sensor stecker dichtung kabel kabelbaum halter halterung deckel schlauch schraube leitung filter ventil
		riemen kette simmerring schalter geber schelle
		fusible capteur connecteur joint cable support couvercle durite boulon vis tuyau courroie filtre soupape cablage vanne
		rele fusible sensor conector junta cableado soporte tapa manguera tornillo tubo correa filtro valvula cable interruptor
		rela sakring givare kontakt packning tatning kabel faste lock slang slange bult bolt ledning rem reim brakett deksel pakning
		sikring giver
		sulake anturi liitin tiiviste johto letku pultti kansi hihna venttiili kiinnike
		przekaznik bezpiecznik czujnik zlacze uszczelka przewod wspornik pokrywa waz sruba pasek zawor uszczelki wiazka`},
	{cHead | cHolds, `housing bowl casing case body pan canister pot chamber sump gehause boitier carcasa hus kotelo obudowa`},
	{cQuantity, `noise noises setting settings recall number tone pressure voltage signal current output flow reading readings value values temperature code codes dtc speed delivery
		pression presion druck trykk tryck paine cisnienie spannung signal senal`},
	{cVocab, `charging charge charged charges charger recharged chafed changer exchanger exchangers adjuster adjusters cleaner cleaners remover
		installer revealed flashed flasher flashing control controls controlled detective fastener fasteners fixing fixings retainer
		receiver reverse reversed tester testers inspector services service striped creased strained position default conform
		repainted reviewed resend treated shorted stored stores storing stared started score scores filed failing fading worm warn warned boken spoken near rear font front brake break header heater lead value valve boots boost wheel while  fitter fitters
		motor rotor petal pedal pedals bearing wearing hearing tearing cooling coolant started starter starting cower nosy noise
		nose noses piston pistol houses cheek bumps jumps dumps thanks censor senior casket basket radiation
		radiator buttery battery string strong spring sprung sprint shift shaft shafts crack crank clank cable cabin table rattle
		battle cattle knack knock knob sterling steering stirring medal metal mettle petrol patrol clutch crutch steel steal still
		front frost trunk track truck trace tread thread treat trailer trailed tyres tires types tubes cubes plate plates place
		light tight right might night height weight freight water wafer later waist waste power tower lower mower cover coved
		alarm frame flame blade black block clock click lock lack locks slack slick slack sleeve steeve smoke spoke stoke stroke
		brush crush bumper dumper jumper camper damper hamper temper rubber robber ladder bladder bleeder feeder seeder loose
		lose goose close closed closer chose sheet sheer shear share sharp shape phone drone prone drain train brain grain
		chain chair choir hinge singe binge fringe handle candle bundle spindle swindle spark stark start stall small smell
		shell spell swell drill grill grille trill thrill whine shine spine vibrates vibration rumble tumble grumble humble
		squeak squeal squeals squeaks speak sneak steam stream cream scream steady ready heavy heave leave sleeve drift draft
		shake shade slide glide guide guise grease crease increase release relapse engine ensign engage enrage limit limits
		metal metals motel model modal mode inner outer other under hours house horse course coarse nurse purse pulse
		petrol diesel weasel vessel tassel hassle axles ankle angle angles uphill downhill hydraulic horn worn torn`},
	{cVocab, `rough tough cough bough dough though through traction fraction friction turbo turbine cabinet oil oils fluid fluids
		filled fitted tilted lifted listed lifter filter filler falter halter salter canter center centre meter motor matter
		cutter gutter butter better bitter letter latter lather leather feather weather whether neither pepper copper hopper
		chopper dropper stopper topper slipper flipper stripper zipper dipper tipper supper upper paper taper caper wiper viper
		hitch pitch witch switch stitch ditch notch batch match patch catch latch hatch watch wrench bench trench drench
		french front shock stock stick stuck struck truck trick brick crick click thick track crack wreck check cheek creek
		break bleak freak creak squeal steel wheel heel peel reel feel fuel duel dual oval idle idler cold hot warm dry wet
		noisy noises knocks knocking leaking leaks leaked metal swarf debris particles when pulls pulling drags judder judders
		cutting cuts misfire misfires misses missing smokes smoking slips slipping stiff sticks sticking jams jammed`},
}

// headEndings are the things of cHead that stand at the end of the compounds of German, Swedish, Norwegian and Finnish:
// "Keilriemen", "Pumpenrelais".
var headEndings = []string{"riemen", "relais", "sicherung", "sensor", "stecker", "dichtung", "kabel", "halter", "deckel", "schlauch",
	"schraube", "leitung", "filter", "ventil", "kette", "schalter", "regler", "packning", "pakning", "slang", "slange", "givare",
	"sakring", "sikring", "anturi", "letku", "hihna", "tiiviste", "sulake", "rele"}

// forms are sequences of words that mean something other than their words.
var forms = []formList{
	{cGood, `in good order;in order;in good condition;good condition;in ordnung;en orden;w porzadku;within limits;within limit;
		within spec;within specification;within tolerance;within range;in spec;in tolerance;as new;bon etat;buen estado;
		sans remarque;i orden;i ordning;uten anm;utan anm;no faults found;innerhalb toleranz;innerhalb grenzwert;inom tolerans;
		innenfor toleranse;dans les tolerances;dentro de tolerancia;w normie`},
	{cBad, `out of limits;outside limits;beyond limits;over limits;over limit;out of spec;out of tolerance;outside tolerance;
		beyond tolerance;out of order;ausserhalb toleranz;hors tolerance;fuera de tolerancia;a bout de course`},
	{cFunc, `in order to;not only;no only;not just;nicht nur;non seulement;no solo;inte bara;ikke bare;nie tylko;no doubt;
		as recommended;as advised;as required;as needed;as quoted;as necessary;as suggested;as per quote;per quote;as per estimate;
		per estimate;wie empfohlen;comme conseille;segun presupuesto;if required;where required;when required;
		gone through;gone over;gone into;went through;pas seulement;not sure why;best before;good will;new style;new type;
		customer request;on request;upon request;as requested;owner request;driver request;fine tune;road test;test drive`},
	{cRec, `to be;to do;on order;back order;backorder;next service;next visit;next time;next inspection;next mot;at next;before next;next pm;
		hay que;a prevoir;
		nachster service;nachste inspektion;nachsten service;nachsten inspektion;beim nachsten;bei nachster;prochaine visite;
		prochain entretien;proxima visita;proxima revision;nasta service;neste service;seuraavassa huollossa;on hold;steht an;going to;want to;wants to;plan to;planned for;will be;will need;going to need;due for;
		parts ordered;price for;cost for`},
	{cRec | cRenew, `do wymiany;a remplacer;a changer;por cambiar;por sustituir;por reemplazar;zu ersetzen;zu erneuern;zu tauschen;zu wechseln;att byta;ma byttes;ma skiftes;bor byttes;bor bytas`},
	{cRec | cInspect, `a controler;a verifier;zu prufen;do sprawdzenia`},
	{cQuantity, `part no;part nr;part number;parts no;serial no;serial number`},
	{cRec, `out of stock;no stock`},
	{cPrep | cFunc, `due to;owing to;because of;caused by;as a result of;in place of;a cause de;debido a;pa grund av;grunnet`},
	{cNeg, `free of;free from;instead of;rather than;anstatt;statt;au lieu de;en lugar de;i stedet for;lack of success;failed to;
		clear of;devoid of;absence of;frei von;exempt de;libre de;fri fran;fri for;wolne od`},
	{cHearsay, `previous owner;previous keeper;last owner;former owner;prior owner;according to;by owner;by others;
		by another garage;other garage;by seller;by dealer;ancien proprietaire;propietario anterior;anterior propietario;tidigare agare;tidligere eier;
		edellinen omistaja;poprzedni wlasciciel;poprzedniego wlasciciela;d apres;customer own;by previous`},
	{cRefit, `aus und eingebaut;ein und ausgebaut;put back;refit same;fitted back;wieder eingebaut;wieder montiert;fitted again;same refitted;remis en place;
		ponownie zamontowano;installed back;back in place`},
	{cRemove, `took off;taken off;took out;taken out`},
	{cRenew, `remove and replace;removed and replaced;r and r;exchange unit fitted;fitted exchange;changed out;changed over;swapped out;
		mis a neuf`},
	{cPlace, `left hand;right hand;off side;near side`},
}

// expansions are short forms of words that a catalogue writes out, or the other way round: each is read as the words on
// its right, wherever it stands. A full stop after one does not end the clause.
var expansions = map[string]string{
	"brg": "bearing", "brgs": "bearing", "hyd": "hydraulic", "eng": "engine", "temp": "temperature", "press": "pressure",
	"inj": "injector", "susp": "suspension", "trans": "transmission", "assy": "assembly", "alt": "alternator", "batt": "battery",
	"rad": "radiator", "cyl": "cylinder", "exh": "exhaust", "elec": "electric", "vlv": "valve", "fltr": "filter",
	"hp": "high pressure", "lp": "low pressure", "lh": "left", "rh": "right", "lhs": "left", "rhs": "right",
	"hgv": "hgv", "sens": "sensor", "snsr": "sensor", "diff": "differential", "gbox": "gearbox", "cltch": "clutch", "w-pump": "water pump",
}

// compounds are short forms with marks inside them, as written in folded text, and the word each is read as.
var compounds = []struct{ form, word string }{
	{"n.i.o.", "defective"}, {"n.i.o", "defective"}, {"i.o.", "io"}, {"i.o", "io"}, {"e.o.", "io"}, {"o.k.", "ok"}, {"o.k", "ok"},
	{"r&r", "rr"}, {"r & r", "rr"}, {"r/r", "rr"}, {"r+r", "rr"}, {"r + r", "rr"}, {"r-&-r", "rr"}, {"r and r", "rr"},
	{"w/o", "without"}, {"w/", "with"}, {"o/s", "offside"}, {"n/s", "nearside"}, {"l/h", "left"}, {"r/h", "right"}, {"u/s", "unserviceable"},
	{"b/o", "ordered"}, {"n/f/f", "nff"}, {"s&f", "sf"}, {"s/f", "sf"}, {"p/o", "owner"}, {"u.a.", "nff"}, {"r.a.s.", "ras"}, {"r.a.s", "ras"},
	{"n.f.f.", "nff"}, {"c/o", "complained"}, {"h.s.", "hs"}, {"s/b", "should"},
	{"r&i", "refit"}, {"r & i", "refit"}, {"r/i", "refit"}, {"r+i", "refit"},
}

// unstemmed are words whose ending is no ending.
var unstemmed = set(`timing bearing steering spring string ring wiring lining casing coupling housing bushing during nothing
	morning evening fitting winding mounting opening cooling heating warning reading building ceiling need seed speed feed bleed
	bled shed bed red used hundred tired wired screen green seen been keen queen open oven even`)

// set makes a set of the words of a list.
func set(list string) map[string]struct{} {
	m := map[string]struct{}{}
	for w := range strings.FieldsSeq(list) {
		m[w] = struct{}{}
	}
	return m
}
