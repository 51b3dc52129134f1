package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"

	"pitlist/report"
	"pitlist/report/workbook"
	"pitlist/score"
)

// Names of what a study writes, and the beginnings of its folder's name.
const (
	studyBook  = "study.xlsx"
	studyText  = "study.txt"
	ofFit      = "fit-"
	ofBacktest = "backtest-"
)

// studies matches the names of the folders of studies. They are never removed:
// a study is made by hand, and seldom.
var studies = regexp.MustCompile(`^(?:fit|backtest)-\d{4}-\d{2}-\d{2}(?:-\d+)?$`)

// openStudy reads what a study of a job rests on: its inputs and its record, by
// the catalogue without what earlier fits learned from them, whose files left
// names. The output folder is held until the caller releases it.
func (w *world) openStudy(ctx context.Context, path string, day score.Day, p *progress) (b *batch, f *folder, left []string, err error) {
	if b, err = configure(path, day, p); err != nil {
		return nil, nil, nil, err
	}
	b.without, b.language = w.without, w.language
	if left, err = b.unlearn(); err != nil {
		return nil, nil, nil, err
	}
	if f, err = hold(b.job.OutputFolder()); err != nil {
		return nil, nil, nil, err
	}
	if err = b.readInputs(ctx); err == nil {
		err = b.look(ctx)
	}
	if err != nil {
		f.release()
		return nil, nil, nil, err
	}
	return b, f, left, nil
}

// appear makes a study's folder beside the others and renames it into place,
// whole, once fill has written its files. No run's latest knows of it.
func (f *folder) appear(name string, fill func(dir string) error) error {
	tmp := filepath.Join(f.path, beside+name)
	defer os.RemoveAll(tmp)
	err := os.Mkdir(tmp, 0o777)
	if err == nil {
		err = fill(tmp)
	}
	if err == nil {
		err = errors.Join(syncDir(tmp), os.Rename(tmp, filepath.Join(f.path, name)), syncDir(f.path))
	}
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case err != nil:
		return cannotWrite(f.path, err)
	}
	return nil
}

// writeStudy writes a study as a workbook and as text, which may be shorter.
func writeStudy(ctx context.Context, dir string, sheet, page *report.Study) error {
	return errors.Join(
		save(filepath.Join(dir, studyBook), func(w io.Writer) error {
			return workbook.WriteStudy(ctx, w, sheet, workbook.Options{TmpDir: dir})
		}),
		save(filepath.Join(dir, studyText), func(w io.Writer) error {
			_, err := io.WriteString(w, page.Text())
			return err
		}))
}
