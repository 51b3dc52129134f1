package phrase

// italianPortuguese are the words of acting, judging, denying and binding of these two languages (common practice, no source). What another language
// uses for something else is left out: Italian "mai" is a German month, Portuguese "gasta" within a clause is what a Spanish engine does with oil, "no" denies.
var italianPortuguese = []wordList{
	{cRenew, `sostituito sostituita sostituiti sostituite sostituisce cambiato cambiata cambiati cambiate rimpiazzato rimpiazzata rimpiazzati rinnovato rinnovata
		substituido substituida substituidos substituidas substituiu substituiram trocado trocada trocados trocadas trocou trocaram`},
	{cRenew | cNoun, `sostituzione sostituzioni rimpiazzo substituicao substituicoes troca trocas`},
	{cRenew | cInf, `sostituire cambiare rimpiazzare substituir trocar`},
	{cNew, `nuova nuovo nuovi nuove nova novo novas novos`},
	{cFit, `montati montate installato installata installati instalada colocada montados montadas`},
	{cRefit, `rimontato rimontata rimontati rimontate reinstallato reinstallata recolocado recolocada remontados`},
	{cRemove, `smontato smontata smontati smontate rimosso rimossa removido removida retirado retirada`},
	{cWork, `pulito pulita puliti pulite regolato regolata regolati registrato registrata riparato riparata riparati revisionato revisionata
		ingrassato ingrassata lubrificato lubrificata spurgato spurgata serrato serrata saldato saldata
		limpo limpos limpas afinado afinada lubrificado lubrificada sangrado sangrada apertado apertada soldado soldada consertado consertada
		recondicionado recondicionada`},
	{cInspect, `controllato controllata controllati controllate controllo controlli ispezionato ispezionata ispezione esaminato esaminata provato provata
		verificato verificata verificati verificate collaudato misurato misurata verifica verifiche prova
		verificada verificados verificadas inspecionado inspecionada inspecionados inspecionadas inspecao testado testada teste testes verificacao
		medida examinado examinada`},
	{cInspect | cInf, `controllare verificare ispezionare verificar inspecionar`},
	{cNeg, `nessun nessuna nessuno senza niente nulla nao sem nenhum nenhuma nenhuns nem`},
	{cRec, `consigliato consigliata consigliati consigliate consiglia consigliamo consigliabile raccomandato raccomandata raccomanda raccomandiamo
		preventivo ordinato ordinata ordinati rinviato rinviata rimandato rimandata programmato programmata previsto prevista necessario necessaria
		necessita urge occorre dovrebbe deve offerta proposto proposta prenotato
		recomenda recomendamos aconselha aconselhado aconselhada aconselhavel aconselhamos orcamento encomendado encomendada aguarda aguardar aguardando
		adiado adiada programado programada agendado agendada necessita precisa devera pendente pendentes`},
	{cDecl, `rifiutato rifiutata rifiuta rifiuto rifiutati annullato annullata recusado recusada recusa recusou rejeitado rejeitada rejeita rejeitou anulado anulada cancelada`},
	{cGood, `buono buona integro integra intacto intacta`},
	{cBad, `usurato usurata usurati usurate consumato consumata consumati consumate guasta difettoso difettosa rotto rotta rotti grippato grippata danneggiato
		danneggiata danneggiati eccessivo eccessiva allungata
		avariado avariada avariados avariadas danificado danificada danificados danificadas partida quebrado quebrada gripado gripada excessivo excessiva defeituoso defeituosa desgastados desgastadas`},
	{cBad | cFault, `guasto`},
	{cFault, `anomalie gioco usura perdita perdite difetto difetti guasti anomalias folga folgas fugas avaria avarias defeito defeitos`},
	{cGone, `scomparso scomparsa sparito sparita eliminato eliminata risolto risolta desapareceu desaparecido resolvido resolvida`},
	{cObs, `riscontrato riscontrata riscontrati trovato trovata rilevato rilevata risulta encontrada encontradas encontrados detetado detetada constatado constatada`},
	{cDone, `eseguito eseguita eseguiti eseguite effettuato effettuata effettuati fatto fatta efetuado efetuada efetuados efectuada feito feita feitos executado executada realizados`},
	{cPrep | cStop, `per su dopo presso nel nella nei nelle sul sulla sui con para com em na nas nos apos pelo pela sob`},
	{cLink | cPrep | cStop, `di da dello della dei delle degli dal dalla dai dalle dos das ao aos alla allo alle`},
	{cFunc | cStop, `il lo gli uno sono stato stata stati state viene um uma foi foram esta estao`},
	{cFunc, `tutto tutti gia ancora anche ieri oggi ricambio ricambi garanzia originale lavori lavoro intervento
		tudo ja ainda ontem hoje peca pecas garantia trabalhos trabalho servico servicos`},
	{cBut, `tuttavia porem`},
	{cPlace, `sinistro sinistra destro destra anteriore anteriori posteriore posteriori sx dx ant post
		esquerdo esquerda direito direita dianteiro dianteira dianteiros dianteiras traseiro traseira traseiros traseiras`},
	{cHearsay, `secondo segundo`},
	{cSays, `dichiara afferma afirma diz`},
	{cPerson, `proprietario autista conducente condutor motorista`},
	{cAssent | cFunc, `autorizzato autorizzata approvato approvata accettato accettata aprovado aprovada aceitou aceito aceite`},
	{cMaybe, `sospetto sospetta forse possibile probabile suspeita suspeito talvez possivel provavel`},
	{cHead, `guarnizione sensore cavo cavi cablaggio connettore fusibile staffa coperchio vite cinghia valvola supporto tubazione manicotto tenditore puleggia
		cabo conector correia tampa parafuso mangueira retentor suporte fusivel vedante polia esticador`},
	{cHead | cHolds, `scatola caixa carcaca`},
	{cQuantity, `pressione segnale tensione pressao sinal tensao`},
}

// italianPortugueseForms are their fixed sequences. "Cambio" is a gearbox in both, where Spanish has a replacement.
var italianPortugueseForms = []formList{
	{cGood, `in ordine;tutto regolare;a posto;entro i limiti;nei limiti;entro limiti;buono stato;buone condizioni;em ordem;bom estado;dentro dos limites;boas condicoes`},
	{cBad, `fuori limite;fuori limiti;fuori tolleranza;fora dos limites;fora de tolerancia;com defeito;com avaria;esta gasta;esta gasto;estao gastas;estao gastos;muito gasta;muito gasto`},
	{cRec | cRenew, `da sostituire;da cambiare;da rimpiazzare;va sostituita;va sostituito;vanno sostituiti;vanno sostituite;va cambiata;va cambiato;a substituir;por substituir;para substituir;a trocar;por trocar;para trocar;deve ser substituida;deve ser substituido;deve ser trocada;deve ser trocado`},
	{cRec | cInspect, `da controllare;da verificare;da ispezionare;a verificar;por verificar;a inspecionar`},
	{cRec, `prossimo tagliando;prossima revisione;in attesa;proxima revisao;proximo servico;proxima manutencao;a espera de`},
	{cHearsay, `precedente proprietario;proprietario precedente;vecchio proprietario;altra officina;proprietario anterior;dono anterior;outra oficina`},
	{cFunc, `come consigliato;come richiesto;non solo;nao so;conforme orcamento;conforme recomendado`},
	{cVocab, `olio cambio;cambio automatico;cambio manuale;cambio rumoroso;scatola cambio;leva cambio;supporto cambio;pompa cambio;oleo cambio;cambio manual;caixa cambio`},
	{cPrep, `del cambio;al cambio;dal cambio;nel cambio;do cambio;no cambio;no sistema;no veiculo;no circuito;no radiador;no eixo;no coletor`},
}
