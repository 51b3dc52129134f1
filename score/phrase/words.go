package phrase

// wordLists are the words of acting, judging, denying and binding (common practice, no source). A word may stand in
// several lists and then has all their classes. English first, then de, fr, es, sv/no, fi, pl.
var wordLists = []wordList{
	{cRenew, `replaced replace replaces replacing renewed renew renews renewing changed change changes changing exchanged
		exchange swapped swap swapping reconditionned renewd repld rplcd replcd rplc rplce
		ersetzt erneuert getauscht ausgetauscht gewechselt ausgewechselt umgetauscht
		remplace remplacee remplaces remplacees change changee changes changees echange echangee renouvele
		sustituido sustituida sustituidos sustituidas cambiado cambiada cambiados cambiadas reemplazado reemplazada
		reemplazados reemplazadas renovado renovada sustituye cambia cambie cambio sustituyo reemplazo
		bytt bytte bytta byttes bytts bytet utbytt utbytta utbytet ersatt skiftet skifta utskiftet utskifta byttet fornyet fornyad
		vaihdettu vaihdettiin vaihdoin uusittu uusittiin
		wymieniono wymieniony wymieniona wymienione wymienil wymienili`},
	{cRenew | cShort, `repl rep-l renwd rnwd repd rr`},
	{cRenew | cNoun, `replacement replacements renewal renewals replacing austausch erneuerung ersatz wechsel tausch
		remplacement echange changement sustitucion cambio reemplazo recambio byte utbyte bytte skifte skifting utskifting
		utskiftning vaihto vaihtoa vaihdon uusinta wymiana wymiany wymiane`},
	{cRenew | cInf, `replace renew change exchange swap ersetzen erneuern tauschen austauschen wechseln auswechseln
		remplacer changer echanger sustituir cambiar reemplazar byta skifte vaihtaa wymienic`},
	{cRenew | cRec, `vaihdettava vaihdettavaksi vaihdetaan skiftes utskiftes byttes bytes bytas wymienic`},
	{cNew, `new neu neue neuer neues neuen neuf neuve nouveau nouvelle nuevo nueva ny nytt nye nya uusi uudet uuden nowy nowa nowe brandnew`},
	{cFit, `fitted fit fits fitting installed install installing mounted eingebaut verbaut montiert einbau eingesetzt monte montee
		installe installee pose posee montado montada instalado instalada colocado montert monterad monterat
		installerad installert satt asennettu zamontowano zamontowany zamontowana zalozono`},
	{cFit | cShort, `instl instld`},
	{cSupply, `supplied supply supplying sf reman remanufactured recon reconditioned`},
	{cRefit, `refitted refit refitting reinstalled reinstall reassembled reassemble reattached remounted replug
		remonte remontee wiedereingebaut wiedermontiert remontado remontada reinstalado atermonterad aterinstallerad remontert
		takaisinasennettu`},
	{cRemove, `removed remove removing dismantled dismantle stripped detached withdrawn dropped
		ausgebaut demontiert depose deposee demonte demontee desmontado desmontada demonterad demontert irrotettu
		zdemontowano wymontowano`},
	{cRemove | cShort, `rmvd remd`},
	{cWork, `cleaned clean cleaning cleaned adjusted adjust adjusting readjusted repaired repair repairs repairing overhauled overhaul
		rebuilt reconditioned refurbished greased lubricated lubed tightened torqued retorqued flushed bled bleed bleeding
		reset cleared erased calibrated recalibrated reprogrammed aligned realigned topped welded resealed sealed freed
		serviced drained refilled shimmed balanced machined honed patched secured straightened fixed rectified
		gereinigt eingestellt repariert instandgesetzt geschmiert nachgezogen entluftet geloscht gespult kalibriert uberholt
		nettoye nettoyee regle reglee repare reparee purge graisse serre limpiado limpiada ajustado ajustada reparado reparada
		engrasado purgado purgada rengjort rengjord rengort justerad justert justerat reparerad reparert reparerat smord smurt
		puhdistettu saadetty korjattu rasvattu ilmattu oczyszczono wyczyszczono wyregulowano naprawiono nasmarowano`},
	{cWork | cShort, `adj adjd clnd lubd calib`},
	{cInspect, `inspected inspect inspecting inspection inspections checked check checks checking rechecked recheck examined examine
		tested test tests testing measured measure assessed investigated investigate diagnosed diagnosis looked viewed listened listen
		verified verify monitored monitor
		gepruft uberpruft kontrolliert prufung prufen inspiziert gemessen kontrolle getestet begutachtet uberprufung
		prufte kontrolleras kontrolleres revisa revisar comprueba comprobar inspecciona verifica controle controlee verifie verifiee inspecte inspectee examine examinee mesure revisado revisada comprobado comprobada
		inspeccionado inspeccionada verificado verificada medido revision
		kontrollerad kontrollert kontrollerat inspekterad inspisert undersokt matt besiktad kontroll sjekket sjekk
		tarkastettu tarkistettu mitattu tarkastus tarkistus sprawdzono sprawdzony sprawdzona sprawdzone skontrolowano zbadano kontrola`},
	{cInspect | cShort, `insp inspd chk chkd chked chkg ck ckd msrd`},
	{cNeg, `no not non never without none nil nothing neither nor cannot cant couldnt wont wouldnt didnt doesnt dont isnt wasnt arent havent
		hasnt hadnt wasnot unable neg zero unsuccessful
		kein keine keinen keiner keines keinem nicht ohne nie niemals weder nichts
		sans pas aucun aucune jamais rien non sin ningun ninguna ninguno nunca nada tampoco
		ingen inga inget inte ej icke ikke uten utan intet aldri aldrig
		ei eivat ilman eika bez brak nie zaden zadna zadnych zadnego ani`},
	{cRec, `recommended recommend recommends recommending recommendation recommendations advise advised advises advising advisory
		advisories suggest suggested suggests quote quoted quotation estimate estimated needs need needed needing requires
		require required requiring due should must pending outstanding unavailable unobtainable backordered ordered ordering awaiting booked deferred postponed rebook rebooked book booking
		consider shall necessary price priced reqd rqd
		empfohlen empfehlen empfehle empfehlung sollte sollten soll muss mussen musste notig notwendig erforderlich fallig
		angebot kostenvoranschlag bestellt demnachst vorgemerkt
		recommande recommandee recommandes conseille conseillee conseiller preconise preconisee prevoir devis commande commandee doit
		necessaire necessite recomendado recomendada recomienda recomendamos recomendar aconseja presupuesto pendiente necesita
		debe pedido necesario aconsejado
		rekommenderas rekommenderat rekommenderad rekommendation anbefalt anbefales anbefaler bor maste behover trenger offert
		tilbud bestilt bestalld foreslas foreslatt anbefaling
		suositellaan suositeltu suositus suosittelemme tulisi pitaisi tarvitsee tarjous tilattu
		zalecana zalecany zalecane zalecono zaleca zalecenie zalecamy nalezy wymaga wskazana wskazane konieczna konieczne
		wycena zamowiono`},
	{cRec | cShort, `recc recom rec recd recmd recommd rcmd reco adv est`},
	{cDecl, `declined decline declines declining refused refuse refuses refusal rejected reject rejects cancelled canceled unapproved
		unauthorised unauthorized deferral
		abgelehnt lehnt ablehnung verweigert unerwunscht storniert refuse refusee refuses rechaza rechazado rechazada rechazo
		cancelado annule annulee avbojt avbojde avbojer avslatt avslag avvist avboyd nekat nektet
		kieltaytyi kieltaytynyt hylatty hylkasi peruttu odmowil odmowila odmowa odrzucono odrzucil odmawia anulowano`},
	{cDecl | cShort, `decl decld dec-d`},
	{cGood, `ok okay oky good fine serviceable satisfactory passed pass healthy acceptable correct
		io ordnung intakt einwandfrei ras conforme correcte bon bonne bien correcto correcta bueno buena
		anmarkningsfri feilfri felfri kunnossa ehja kunto sprawny sprawna sprawne porzadku dobry dobra dobrym`},
	{cGood | cShort, `nff ntf npf nfa satis`},
	{cBad, `worn defective faulty failed seized broken cracked scored perished damaged unserviceable shot knackered excessive
		excess collapsed
		defekt defekte verschlissen kaputt schadhaft gerissen gebrochen festgefressen beschadigt ausgeschlagen
		usee use usees uses hs defectueux defectueuse casse cassee grippe abime
		desgastado desgastada gastado gastada defectuoso defectuosa roto rota averiado averiada
		sliten slitt slitna slitet utslitt utsliten trasig odelagt skadd knackt
		kulunut kuluneet viallinen rikki vaurioitunut
		zuzyty zuzyta zuzyte uszkodzony uszkodzona uszkodzone wadliwy zatarty niesprawny niesprawna`},
	{cFault, `fault faults defect defects wear play leak leaks leakage issue issues problem problems damage concern concerns
		abnormality abnormalities slack movement looseness anomaly anomalies scoring corrosion rust cracks scratches pitting
		fehler mangel beanstandung beanstandungen spiel verschleiss befund auffalligkeiten schaden
		defaut defauts anomalie jeu usure remarque fuite fuites fallo fallos defecto defectos holgura desgaste anomalia fuga
		anmarkning anmarkningar anmerkning anmerkninger anm feil fel slitage slitasje glapp slark lackage lekkasje
		vikaa vika vikoja huomautettavaa valysta kulumaa uwag usterek usterka luzu luzow wycieku wyciekow zuzycia`},
	{cGone, `gone disappeared disappears cured resolved rectified fixed eliminated solved ceased vanished
		weg verschwunden behoben beseitigt abgestellt disparu disparue elimine eliminee resolu desaparecido desaparecida eliminado
		eliminada solucionado borta forsvunnet forsvunnen forsvann borte vekk avhjalpt utbedret poissa havinnyt poistunut
		zniknal zniknelo usunieto ustapilo ustapil`},
	{cObs, `found find seen heard present noted detected detectable evident observed visible reproduce reproduced duplicate duplicated
		replicate replicated confirmed confirm apparent hear see any sign signs evidence trace traces indication whatsoever audible
		felt yes longer more anymore gefunden festgestellt vorhanden horbar mehr feststellbar sichtbar erkennbar nachvollziehbar
		trouve trouvee constate constatee entendu plus reproduit encontrado encontrada detectado detectada observado oido mas
		funnet funnen hittat hittad hittades hors hores langre lenger mer mere havaittu loytynyt loytyi enaa kuulu
		stwierdzono znaleziono wykryto slychac juz wiecej`},
	{cDone, `done completed complete performed executed carried finished erledigt durchgefuhrt ausgefuhrt effectue effectuee fait faite
		realise realizado realizada hecho hecha efectuado utfort utfert gjort gjord klart tehty suoritettu wykonano wykonane zrobione`},
	{cPrep | cStop, `on at from near beside behind under over by because after before during through via per between around into onto
		above below against
		an am auf bei beim von vom fur zum zur aus nach wegen hinter neben unter vor an um durch
		pour sur dans chez apres avant sous par en por para con tras sobre
		pa vid hos efter etter fra fran till til fore for ved i ur mot gjennom genom
		przy na od dla w po przez`},
	{cLink | cPrep | cStop, `of in to a de du des der des do of del d av z ze au aux`},
	{cFor | cPrep | cStop, `for`},
	{cTo | cStop, `to zu att`},
	{cFunc | cStop, `the a an is are was were be been being has have had it its this that these those there when while with as
		der die das den dem ein eine einer eines einem ist sind war wurde wurden worden werden wird hat im mit wenn
		le la les l un une est sont ete a avec quand ce se s n ne
		el los las lo una unos es son fue ha han se con cuando
		en ett et ei det de er ar ble blev blitt har hatt med nar som den
		on oli ovat ja kun jest byl byla sa zostal zostala si to sie przy gdy lub`},
	{cFunc, `both beide beiden beides deux ambos ambas bada begge molemmat oba obie
		today yesterday tomorrow previously earlier later last ago day days week weeks month months year years since
		heute gestern aujourd hui ayer idag dag tanaan eilen dzisiaj wczoraj todo todos alles tout allt alt kaikki wszystko
		now then still also again today already yet just very only further both all some part parts unit units item items assembly
		assy complete kit kits genuine oem oe pattern aftermarket old warranty it them one ones same job
		informed told advisedly reported complained complains complaint
		carried out however therefore afterwards anyway successfully ltr litres pcs pc x2 x4 qty can could did does do will would
		time times soon urgent urgently asap normal visit due
		jetzt noch auch wieder schon bereits sehr nur komplett teil teile einheit original
		maintenant encore aussi deja tres piece complet hoy ya tambien muy completo pieza
		nu na igjen igen ocksa ogsa redan allerede del delar komplett nyt myos taas osa juz teraz tez czesc`},
	{cAnd | cShort, `incl inkl`},
	{cAnd, `and including und et y e och og ja i plus sowie`},
	{cOr, `or oder ou o eller tai ani lub nor bzw`},
	{cBut, `but however aber jedoch sondern mais pero sino men mutta vaan ale lecz although though`},
	{cPlace, `lh rh left right front rear offside nearside os ns lhs rhs upper lower inner outer ofs nsf nsr osf osr fr rr-axle
		links rechts vorne hinten vorn vl vr hl hr gauche droite avant arriere izquierda izquierdo derecha derecho
		delantero delantera trasero trasera vanster hoger venstre hoyre fram bak foran takana edessa vasen oikea
		lewy lewa prawy prawa przod tyl`},
	{cHearsay, `elsewhere allegedly apparently supposedly laut angeblich vorbesitzer anderswo selon segun enligt ifolge
		mukaan wedlug podobno`},
	{cSays, `states stated says said claims claimed claiming angibt sagt dit dice sier sager sanoo twierdzi mowi`},
	{cPerson, `customer client cust owner driver keeper seller vendor operator kunde kunden kundin fahrer halter kundenseitig conducteur
		cliente conductor propietario kund kunden kunde eier agare forare sjafor asiakas kuljettaja klient klienta kierowca`},
	{cAssent | cFunc, `available lieferbar disponible tillganglig tilgjengelig saatavilla dostepny dostepna authorise authorised authorize authorized approve approved agree agreed accept accepted allow allowed
		genehmigt freigegeben accepte autorise autorizado autorizada aprobado aprueba godkjent godkand godkant hyvaksy hyvaksynyt
		zgodzil zaakceptowal`},
	{cAssent | cRec, `want wants wanted wish wishes requests requested request gewunscht wunscht mochte veut souhaite quiere desea
		vill onsker onskar vil halua haluaa halunnut chce chcial`},
	{cMaybe, `possible possibly poss suspect suspected suspects maybe perhaps probable probably unsure query if unclear
		evtl eventuell vielleicht vermutlich verdacht moglicherweise falls vermutet soupcon possible suspecte peut-etre
		posible posiblemente sospecha mojlig mojligen kanskje kanske mulig muligens misstankt mistenkt hvis
		ehka mahdollinen mahdollisesti epaillaan jos moze mozliwe mozliwy podejrzenie jesli`},
}
