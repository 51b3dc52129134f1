package ordinary

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func put(t *testing.T, path, text string) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func link(t *testing.T, to, path string) string {
	t.Helper()
	if err := os.Symlink(to, path); err != nil {
		t.Skip("no links here: ", err)
	}
	return path
}

func contents(t *testing.T, path, folder string) string {
	t.Helper()
	f, info, refused := Open(path, folder)
	require.Nil(t, refused)
	data, err := io.ReadAll(f)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	assert.EqualValues(t, len(data), info.Size())
	return string(data)
}

func TestWhatIsRefused(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	secret := put(t, filepath.Join(outside, "secret.csv"), "secret")
	put(t, filepath.Join(dir, "deep", "a.csv"), "a")
	join := func(name string) string { return filepath.Join(dir, name) }
	link(t, secret, join("out.csv"))
	link(t, "../"+filepath.Base(outside)+"/secret.csv", join("up.csv"))
	link(t, "out.csv", join("twice.csv"))
	link(t, "nowhere.csv", join("none.csv"))
	link(t, "ring.csv", join("ring.csv"))
	link(t, outside, join("north"))
	for _, c := range []struct {
		path, folder, says string
		kind               Kind
	}{
		{"missing.csv", "", "no such file", Missing},
		{"no/such/folder.csv", "", "no such file", Missing},
		{"deep", "", "is a folder, not a file", Directory},
		{"out.csv", "", "a link that leads out of its folder; it is not followed", Link},
		{"up.csv", "", "a link that leads out of its folder; it is not followed", Link},
		{"twice.csv", "", "a link that leads out of its folder; it is not followed", Link},
		{"none.csv", "", "a link that leads nowhere", Link},
		{"ring.csv", "", "cannot be looked at", Unreadable},
		{"north/secret.csv", dir, "a link that leads out of its folder; it is not followed", Link},
		{"deep/../../" + filepath.Base(outside) + "/secret.csv", dir, "a link that leads out of its folder; it is not followed", Link},
	} {
		f, _, refused := Open(join(c.path), c.folder)
		if !assert.NotNil(t, refused, c.path) {
			f.Close()
			continue
		}
		assert.Equal(t, []string{string(c.kind), c.says}, []string{string(refused.Kind), refused.Text.String()}, c.path)
		if refused.Err != nil {
			assert.NotContains(t, refused.Err.Error(), outside, "where it leads is nobody's business")
		}
	}
}

func TestLinksWithinTheFolder(t *testing.T) {
	dir := t.TempDir()
	real := put(t, filepath.Join(dir, "deep", "a.csv"), "a")
	assert.Equal(t, "a", contents(t, real, ""))
	assert.Equal(t, "a", contents(t, link(t, "deep/a.csv", filepath.Join(dir, "in.csv")), ""))
	assert.Equal(t, "a", contents(t, link(t, real, filepath.Join(dir, "top.csv")), ""), "its target is named from the top of the disk")
	link(t, "deep", filepath.Join(dir, "north"))
	assert.Equal(t, "a", contents(t, filepath.Join(dir, "north", "a.csv"), dir))
	whole := link(t, dir, filepath.Join(t.TempDir(), "intake"))
	assert.Equal(t, "a", contents(t, filepath.Join(whole, "in.csv"), ""), "a folder that is a link is the job's own choice")
	assert.Equal(t, "a", contents(t, filepath.Join(whole, "north", "a.csv"), whole))
	t.Chdir(dir)
	assert.Equal(t, "a", contents(t, filepath.Join("deep", "a.csv"), ""))
	assert.Equal(t, "a", contents(t, "in.csv", "."))
}
