package value

import (
	"regexp"
	"strings"

	"pitlist/score/say"
)

// The words below are trade wording (common practice, no source), folded as Fold does.

var yesNoWords = map[bool]string{
	true: "yes y true 1 1.0 x✓ ✓ ✔ ok on ja j oui o vrai si s verdadero kylla k tosi tak t prawda sant sann wahr runs running fahrbereit laeuft lauft " +
		"roulant roulante anda arranca gar korkelpoinen jezdzi vero marciante sim verdadeiro да на_ходу исправен",
	false: "no n false 0 0.0 ✗ ✘ off nein non faux falso nej nei ei epatosi nie falsz falsch falskt usant nonrunner non-runner " +
		"defekt stands steht nao нет неисправен",
}

var yesNo = words(yesNoWords)

// ParseYesNo reads yes or no in the languages read, ticks and crosses, 1 and 0, and the trade's words for a vehicle that runs or does not.
// A lone x is refused: some tick with it and some cross out.
func ParseYesNo(s string) (bool, error) {
	if v, ok := yesNo[Fold(trim(s))]; ok {
		return v, nil
	}
	return false, notOneOf(s, say.F("is neither yes nor no"), say.F("write yes or no"))
}

// Status says what has become of a vehicle.
type Status string

// The statuses of the vehicles' sheets.
const (
	InUse   Status = "in use"
	Sold    Status = "sold"
	OffRoad Status = "off road"
)

var statuses = words(map[Status]string{
	InUse: "in_use active in_service operational available in_operation running on_road on_the_road deployed live current in_fleet " +
		"im_einsatz in_betrieb aktiv im_dienst verfugbar zugelassen einsatzbereit en_service actif en_circulation exploite disponible " +
		"en_uso en_servicio activo operativo i_bruk i_drift i_trafik aktiv brukes kaytossa liikenteessa aktiivinen kaytettavissa " +
		"w_uzyciu w_eksploatacji czynny aktywny w_ruchu in_uso in_servizio attivo attiva em_uso em_servico em_operacao ativo ativa operacional " +
		"в_эксплуатации эксплуатируется в_работе работает активен активный на_ходу на_линии",
	Sold: "sold disposed disposed_of auctioned gone scrapped written_off write-off retired decommissioned surplus_sold deregistered dead returned " +
		"verkauft veraussert abgang verschrottet ausgemustert ausgeschieden abgegeben vendu vendue cede reforme rebut sorti " +
		"vendido vendida baja dado_de_baja dada_de_baja desguazado sald salt avyttrad skrotad avhendet vraket solgt utgatt utrangert kassert " +
		"myyty poistettu romutettu luovutettu sprzedany sprzedana zbyty zezlomowany skreslony wycofany venduto venduta alienato dismesso rottamato abatido abatida sucateado alienado продан продана продано списан списана списано утилизирован выбыл",
	OffRoad: "off_road off_the_road off-road vor sorn in_workshop in_shop workshop under_repair in_repair out_of_service oos down standing parked laid_up " +
		"inactive awaiting_parts awaiting_repair not_in_use stillgelegt abgestellt in_werkstatt in_der_werkstatt ausser_betrieb abgemeldet nicht_im_einsatz steht " +
		"hors_service immobilise immobilisee a_l'arret en_panne en_reparation en_atelier parado inmovilizado fuera_de_servicio en_taller averiado " +
		"avstalld ur_drift pa_verkstad ur_bruk avskiltet ute_av_drift pa_verksted ute_av_bruk seisonnassa poissa_kaytosta korjaamolla korjauksessa liikennekaytosta_poistettu " +
		"wylaczony w_naprawie nieczynny w_warsztacie unieruchomiony odstawiony fermo fermo_macchina in_officina in_riparazione fuori_servizio guasto em_oficina na_oficina em_reparacao em_manutencao fora_de_servico imobilizado avariado " +
		"в_ремонте на_ремонте ремонт простой простаивает на_консервации не_на_ходу неисправен",
})

// ParseStatus reads a vehicle's status.
func ParseStatus(s string) (Status, error) {
	if v, ok := oneOf(statuses, s); ok {
		return v, nil
	}
	if v, ok := oneOf(statuses, beforeDay(s)); ok {
		return v, nil
	}
	return "", notOneOf(s, say.F("is no status of a vehicle"), say.F("write in use, sold or off road"))
}

// beforeDay is what stands before a day in "Sold 03/2026" and "VOR since 12/11"; "" where no figure follows.
func beforeDay(s string) string {
	at := strings.IndexAny(s, "0123456789")
	if at < 0 {
		return ""
	}
	words := strings.FieldsFunc(Fold(s[:at]), func(r rune) bool { return strings.ContainsRune(" ,:;(/", r) })
	for len(words) > 1 && sinceWords[words[len(words)-1]] {
		words = words[:len(words)-1]
	}
	return strings.Join(words, " ")
}

// sinceWords stand between a status and its day, folded.
var sinceWords = set("since", "on", "from", "in", "as", "of", "seit", "am", "ab", "im", "depuis", "le", "el", "desde", "sedan", "siden", "den", "od", "dal", "il", "em", "-")

// RepairStatus says whether work was done. Only Done work changes a vehicle.
type RepairStatus string

// The statuses of the repairs' sheets.
const (
	Done        RepairStatus = "done"
	Declined    RepairStatus = "declined"
	Recommended RepairStatus = "recommended"
)

var repairStatuses = words(map[RepairStatus]string{
	Done: "paid bezahlt paye payee pagado pagada betald betalt invoice rechnung facture factura fattura fatura faktura lasku done complete completed finished closed invoiced carried_out performed repaired ok erledigt ausgefuhrt abgeschlossen fertig durchgefuhrt berechnet repariert " +
		"fait effectue effectuee termine terminee realise realisee cloture facture hecho realizado realizada terminado completado facturado cerrado " +
		"klar klart utford utfort avslutad avsluttet ferdig utfort fakturerad fakturert lukket tehty valmis suoritettu korjattu laskutettu wykonano wykonane wykonany zrobione zakonczone gotowe naprawiono fatto eseguito eseguita completato completata chiuso fatturato riparato feito executado executada concluido concluida faturado reparado " +
		"выполнено выполнен выполнена сделано завершено завершен закрыто закрыт оплачено",
	Declined: "credit credit_note credit_memo gutschrift avoir abono nota_de_credito kreditnota declined refused rejected not_authorised not_authorized not_approved cancelled canceled customer_declined not_done abgelehnt nicht_freigegeben nicht_ausgefuhrt storniert nicht_erledigt " +
		"refuse refusee non_fait annule annulee non_effectue rechazado rechazada no_realizado anulado cancelado denegado avbojd avbojt nekad ej_utford avvist avslatt ikke_utfort avlyst " +
		"hylatty ei_tehty peruttu odrzucono odrzucone nie_wykonano odmowa anulowano rifiutato rifiutata non_eseguito non_eseguita annullato recusado recusada nao_realizado nao_executado отказ отклонено отклонен не_выполнено отменено отменен",
	Recommended: "quotation proforma in_progress wip overdue submitted on_hold awaiting_parts awaiting_approval not_started kostenvoranschlag in_arbeit en_cours recommended advised advisory suggested quoted quote estimate due pending open planned deferred monitor to_do scheduled empfohlen angeraten vorgeschlagen angebot offen geplant faellig fallig ausstehend aufgeschoben " +
		"recommande recommandee conseille conseillee propose devis a_faire a_prevoir prevu recomendado recomendada aconsejado presupuesto pendiente sugerido " +
		"rekommenderad rekommenderas rekommenderat foreslagen offert oppen planerad anbefalt foreslatt tilbud apen planlagt suositeltu suositellaan ehdotettu tarjous avoin suunniteltu " +
		"zalecono zalecane zalecany sugerowane oferta do_zrobienia planowane otwarte consigliato consigliata raccomandato da_fare da_eseguire preventivo in_attesa pianificato aperto a_fazer orcamento aberto planeado planejado " +
		"рекомендовано рекомендуется запланировано план ожидает открыт открыто",
})

// ParseRepairStatus reads whether a repair was done, declined or only recommended.
func ParseRepairStatus(s string) (RepairStatus, error) {
	if v, ok := oneOf(repairStatuses, s); ok {
		return v, nil
	}
	return "", notOneOf(s, say.F("is no status of a repair"), say.F("write done, declined or recommended"))
}

// Finding is what an inspection found.
type Finding string

// The findings of the inspections' sheets.
const (
	Worn      Finding = "worn"
	Sound     Finding = "sound"
	NotOpened Finding = "not opened"
	Failed    Finding = "failed"
)

var findings = words(map[Finding]string{
	Worn: "worn wear worn_out verschlissen abgenutzt verschleiss eingelaufen use usee usure desgastado desgastada desgaste sliten slitt slitet slitasje slitage " +
		"kulunut kulumaa loppuun_kulunut zuzyty zuzyta zuzyte zuzycie usurato usurata usura consumato consumata gasto gasta изношен изношена изношено износ",
	Sound: "sound good ok okay o.k. i.o. io in_ordnung fine serviceable no_wear no_fault_found nff pass passed gut unauffallig kein_befund ohne_befund bon bonne en_bon_etat rien_a_signaler ras conforme " +
		"bien bueno buena en_buen_estado buen_estado correcto sin_desgaste sin_novedad bra hel utan_anmarkning u.a. uten_anmerkning i_orden ehja kunnossa hyva ei_vikaa dobry dobra dobre sprawny sprawna bez_uwag w_porzadku buono buona in_ordine in_buono_stato bom boa em_bom_estado исправен исправна исправно норма в_норме годен хорошее без_замечаний",
	NotOpened: "not_opened not_open unopened not_inspected not_checked not_looked_at nicht_geoffnet ungeoffnet nicht_gepruft non_ouvert non_ouverte pas_ouvert non_controle no_abierto no_abierta sin_abrir no_revisado " +
		"ej_oppnad inte_oppnad ej_kontrollerad ikke_apnet ikke_kontrollert avaamatta ei_avattu ei_tarkastettu nieotwarty nie_otwarto nie_otwierano niesprawdzony non_aperto non_aperta non_controllato nao_aberto nao_aberta nao_verificado не_вскрыт не_вскрыта не_вскрывался не_проверен не_проверялось",
	Failed: "failed fail broken seized defective ausgefallen gebrochen gefressen kaputt defekt casse cassee hors_service rompu grippe roto rota averiado averiada gripado gripada fallado gatt_sonder trasig havererad havarert odelagt brukket skuren " +
		"rikki rikkoutunut hajonnut leikannut kiinnileikannut uszkodzony uszkodzona zatarty zatarta zepsuty pekniety guasto guasta rotto rotta grippato avariado avariada quebrado quebrada partido fundido неисправен неисправна неисправно сломан сломана разрушен вышел_из_строя",
})

// withMeasure is a finding with a measured figure behind it: "worn 1.2 mm", "OK (0,2 mm)".
var withMeasure = regexp.MustCompile(`^\s*([\p{L}. ]+?)[\s,:(–-]+[\d.,]+ ?(?:mm|cm|%|bar|V|Nm|µm)?\)?\s*$`)

// ParseFinding reads what an inspection found.
func ParseFinding(s string) (Finding, error) {
	if v, ok := oneOf(findings, s); ok {
		return v, nil
	}
	if m := withMeasure.FindStringSubmatch(s); m != nil {
		if v, ok := oneOf(findings, m[1]); ok {
			return v, nil
		}
	}
	if lights[strings.TrimRight(Fold(trim(s)), ".!")] {
		return "", notOneOf(s, say.F("is a colour, and nothing says what was found under it"), say.F("write what it stands for: worn, sound, not opened or failed"))
	}
	return "", notOneOf(s, say.F("is no finding of an inspection"), say.F("write worn, sound, not opened or failed"))
}

// lights are the colours of a traffic light, as inspectors fill them in, folded. What amber stands for differs from one form to the next.
var lights = map[string]bool{"red": true, "amber": true, "yellow": true, "orange": true, "green": true, "rot": true, "gelb": true, "grun": true, "rouge": true, "jaune": true, "vert": true, "rojo": true, "ambar": true, "amarillo": true, "verde": true,
	"rosso": true, "giallo": true, "vermelho": true, "amarelo": true, "rood": true, "geel": true, "oranje": true, "groen": true, "gul": true, "rod": true, "gron": true, "punainen": true, "keltainen": true, "vihrea": true, "czerwony": true, "zolty": true, "zielony": true,
	"\U0001F534": true, "\U0001F7E1": true, "\U0001F7E0": true, "\U0001F7E2": true, "r": true, "g": true}

// ticks are signs of a checklist that say good or bad and not how bad.
var ticks = map[string]bool{"\u2713": true, "\u2714": true, "\u2611": true, "\u2705": true, "\u2717": false, "\u2718": false, "\u2612": false, "\u274C": false, "nok": false, "n.i.o": false, "nio": false}

// IsMark reports a tick, a cross or the colour of a traffic light.
func IsMark(s string) bool {
	f := markOf(s)
	_, tick := ticks[f]
	return tick || lights[f] && len(f) > 1
}

// IsGoodMark reports a tick, or green.
func IsGoodMark(s string) bool { return ticks[markOf(s)] || greens[markOf(s)] }

func markOf(s string) string {
	if len(s) > 20 {
		return ""
	}
	return strings.TrimRight(strings.ReplaceAll(Fold(trim(s)), "\uFE0F", ""), ".!")
}

var greens = set("green", "grun", "vert", "verde", "groen", "gron", "vihrea", "zielony", "\U0001F7E2")

// CodeState says in which memory a trouble code stood.
type CodeState string

// The states of the codes' sheets. Active codes count as stored.
const (
	Stored    CodeState = "stored"
	Pending   CodeState = "pending"
	Permanent CodeState = "permanent"
)

var codeStates = words(map[CodeState]string{
	Stored: "stored confirmed active current present gespeichert bestatigt aktiv aktuell vorhanden memorise confirme actif present presente almacenado almacenada confirmado activo presente " +
		"lagrad bekraftad aktiv lagret bekreftet tallennettu vahvistettu aktiivinen zapisany potwierdzony aktywny obecny memorizzato confermato attivo armazenado ativo сохраненный подтвержденный активный текущий mode03 mode_03 mode_3 dm1",
	Pending: "pending intermittent sporadic maturing anstehend sporadisch vorlaufig unbestatigt en_attente provisoire intermittent sporadique pendiente intermitente esporadico " +
		"vantande vilande tilfallig ventende sporadisk odottava satunnainen oczekujacy sporadyczny in_attesa intermittente pendente ожидающий непостоянный спорадический mode07 mode_07 mode_7 dm6",
	Permanent: "permanent dauerhaft permanente permanenter pysyva staly trwaly mode0a mode_0a mode_a dm28",
})

// ParseCodeState reads whether a code was stored, pending or permanent.
func ParseCodeState(s string) (CodeState, error) {
	if v, ok := oneOf(codeStates, s); ok {
		return v, nil
	}
	return "", notOneOf(s, say.F("is no state of a trouble code"), say.F("write stored, pending or permanent"))
}

// words turns the lists above into a look-up; an underscore in a list stands for a blank. A word on two lists would be read now this way,
// now that; it is a mistake of this file and stops the program at its start.
func words[T comparable](lists map[T]string) map[string]T {
	m := make(map[string]T)
	for v, list := range lists {
		for _, w := range strings.Fields(list) {
			w = Fold(strings.ReplaceAll(w, "_", " "))
			if was, ok := m[w]; ok && was != v {
				panic("value: " + w + " stands on two lists")
			}
			m[w] = v
		}
	}
	return m
}

// oneOf looks a cell up, with and without what people put between or behind the words.
func oneOf[T ~string](table map[string]T, s string) (T, bool) {
	key := Fold(trim(s))
	for _, k := range [...]string{key, strings.TrimRight(key, ".!"), plainer.Replace(key)} {
		if v, ok := table[k]; ok {
			return v, true
		}
	}
	return "", false
}

// plainer takes out what people put between the words of a fixed wording, or leave away.
var plainer = strings.NewReplacer("_", " ", "-", " ", ".", "")

func notOneOf(s string, reason, suggestion say.Text) error {
	return &Problem{Value: s, Reason: reason, Suggestion: suggestion}
}
