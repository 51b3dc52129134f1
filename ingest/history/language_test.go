package history

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

// TestFaultsOfARecordAreSaidInEveryLanguage: what is wrong with a record gets
// into the notes of a run, whole and wrapped.
func TestFaultsOfARecordAreSaidInEveryLanguage(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pitlist.db")
	for _, c := range []struct{ content, en, es string }{
		{"", "the record %s is damaged: it is empty", "el registro %s está dañado: está vacío"},
		{"a,b\n1,2\n", "%s cannot be the job's record: it is no record of pitlist", "%s no puede ser el registro del trabajo: no es un registro de pitlist"},
	} {
		require.NoError(t, os.WriteFile(path, []byte(c.content), 0o600))
		_, err := Open(t.Context(), path)
		require.Error(t, err)
		assert.Equal(t, fmt.Sprintf(c.en, path), err.Error())
		assert.Equal(t, fmt.Sprintf(c.es, path), say.Spanish.Say(say.OfError(err)))
	}
	newer := &NewerError{Have: 9, Know: 2}
	assert.Equal(t, "abrir el registro x: su esquema tiene la versión 9 y este programa conoce hasta la 2: lo escribió una versión posterior de pitlist",
		say.Spanish.Say(say.OfError(say.NewError("open the record %s: %s", "x", newer))))
}
