// Package ordinary opens ordinary files for reading, and nothing else: no folder, no
// named pipe, which would be waited for, no device, and no file that a link leads to
// out of the folder that the job names. Who may write into an intake folder must not
// be able to have other files read and shown.
//
// It reads nothing, and holds one rule for every reader of inputs.
package ordinary

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"pitlist/score/say"
)

// Kind sorts what stands in the way, as the readers' own kinds of fault do.
type Kind string

// The kinds of refusal.
const (
	Missing    Kind = "no such file"
	Directory  Kind = "a folder, not a file"
	NotRegular Kind = "not a regular file"
	Unreadable Kind = "cannot be read"
	Link       Kind = "a link that is not followed"
	Changed    Kind = "changed while it was read"
)

// Refusal says why a file is not opened. It names no path: where a link leads is
// nobody's business.
type Refusal struct {
	Kind Kind
	Text say.Text
	Err  error // cause in the words of the system, may be nil
}

// Open opens the file at path and tells of it. Links are followed as long as they
// stay within folder, which may be a link itself: that is the job's own choice. The
// folder "" is the one that the file lies in. The system looks for the file from
// within the folder, so that a link put there meanwhile leads nowhere else either.
func Open(path, folder string) (*os.File, fs.FileInfo, *Refusal) {
	s, refused := look(path, folder)
	if refused != nil {
		return nil, nil, refused
	}
	defer s.root.Close()
	f, refused := s.open()
	return f, s.info, refused
}

// seen is a file that was looked at, and that may be opened.
type seen struct {
	root *os.Root
	name string // below root
	info fs.FileInfo
}

// look refuses what is not an ordinary file before it is opened: opening a device
// may do something, opening a named pipe would wait for ever.
func look(path, folder string) (*seen, *Refusal) {
	if folder == "" {
		folder = filepath.Dir(path)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, unseen(err)
	}
	s, refused := within(root, path, folder)
	switch {
	case refused != nil:
	case s.info.IsDir():
		refused = &Refusal{Kind: Directory, Text: say.F("is a folder, not a file")}
	case !s.info.Mode().IsRegular():
		refused = &Refusal{Kind: NotRegular, Text: say.F("not a regular file")}
	default:
		return s, nil
	}
	root.Close()
	return nil, refused
}

// within finds the file below root, the folder. A link that names its target from
// the top of the disk counts by where it leads.
func within(root *os.Root, path, folder string) (*seen, *Refusal) {
	name, err := filepath.Rel(folder, path)
	if err != nil {
		return nil, unseen(err)
	}
	info, err := root.Stat(name)
	if err == nil {
		return &seen{root, name, info}, nil
	}
	target, lost := filepath.EvalSymlinks(path)
	if _, there := os.Lstat(path); errors.Is(lost, fs.ErrNotExist) && there == nil {
		return nil, &Refusal{Kind: Link, Text: say.F("a link that leads nowhere")}
	}
	real, unknown := filepath.EvalSymlinks(folder)
	if lost != nil || unknown != nil {
		return nil, unseen(err)
	}
	if name, err = filepath.Rel(real, target); err != nil || !filepath.IsLocal(name) {
		return nil, &Refusal{Kind: Link, Text: say.F("a link that leads out of its folder; it is not followed")}
	}
	if info, err = root.Stat(name); err != nil {
		return nil, unseen(err)
	}
	return &seen{root, name, info}, nil
}

func unseen(err error) *Refusal {
	if errors.Is(err, fs.ErrNotExist) {
		return &Refusal{Kind: Missing, Text: say.F("no such file")}
	}
	return &Refusal{Kind: Unreadable, Text: say.F("cannot be looked at"), Err: err}
}

// open opens what was looked at, and no other file that was put in its place
// meanwhile.
func (s *seen) open() (*os.File, *Refusal) {
	f, err := s.root.OpenFile(s.name, os.O_RDONLY|noWait, 0)
	if err != nil {
		return nil, &Refusal{Kind: Unreadable, Text: say.F("cannot be opened"), Err: err}
	}
	now, err := f.Stat()
	if err == nil && os.SameFile(s.info, now) {
		return f, nil
	}
	return nil, &Refusal{Kind: Changed, Text: say.F("another file was put in its place while it was opened"), Err: errors.Join(err, f.Close())}
}
