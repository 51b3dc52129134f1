package header

// doneWords head a column of repairs that says yes or no: whether the work was done.
var doneWords = toSet("done closed completed complete executed performed carriedout workdone finished erledigt ausgefuhrt durchgefuhrt fait effectue realise hecho realizado hecha utfort utford tehty wykonano uitgevoerd eseguito fatto feito executado выполнено")

// AsksDone reports a heading under which yes means that the work was done: "Done?", "Completed Y/N".
func AsksDone(heading string) bool {
	words := rawWords(heading)
	for n := len(words); n > 0; n-- {
		if doneWords[key(words[:n])] {
			return true
		}
	}
	return false
}
