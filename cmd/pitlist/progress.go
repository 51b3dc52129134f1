package main

import (
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
)

// progress shows on a terminal how far a run has come, once it has taken two
// seconds. Elsewhere it is silent. The zero value and nil are silent too.
type progress struct {
	bars  *mpb.Progress
	out   io.Writer
	begun time.Time

	mu    sync.Mutex
	bar   *mpb.Bar
	name  string
	total int
	done  atomic.Int64
}

// showAfter is how long a run may take before progress is shown.
const showAfter = 2 * time.Second

// newProgress shows on w if it is a terminal.
func newProgress(w io.Writer) *progress {
	f, ok := w.(*os.File)
	if !ok {
		return nil
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return &progress{out: w, begun: time.Now()}
}

// rows tells that rows of a file were read.
func (p *progress) rows(_ string, n int) {
	if p == nil {
		return
	}
	p.mu.Lock()
	if p.name == "" {
		p.name = "reading rows"
	}
	p.mu.Unlock()
	p.add(n)
}

// start begins another stage of total steps.
func (p *progress) start(name string, total int) {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.finish()
	p.name, p.total = name, total
	p.done.Store(0)
}

// add tells that n more steps are done.
func (p *progress) add(n int) {
	if p == nil {
		return
	}
	done := p.done.Add(int64(n))
	if time.Since(p.begun) < showAfter {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar == nil {
		p.open()
	}
	p.bar.SetCurrent(done)
}

func (p *progress) open() {
	if p.bars == nil {
		p.bars = mpb.New(mpb.WithOutput(p.out), mpb.WithWidth(40))
	}
	counter := decor.CountersNoUnit(" %d / %d")
	if p.total == 0 {
		counter = decor.CurrentNoUnit(" %d")
	}
	p.bar = p.bars.AddBar(int64(p.total), mpb.BarRemoveOnComplete(), mpb.PrependDecorators(decor.Name(p.name)), mpb.AppendDecorators(counter))
}

func (p *progress) finish() {
	if p.bar != nil {
		p.bar.Abort(true)
		p.bar = nil
	}
}

// end clears the line.
func (p *progress) end() {
	if p == nil {
		return
	}
	p.mu.Lock()
	p.finish()
	bars := p.bars
	p.mu.Unlock()
	if bars != nil {
		bars.Wait()
	}
}
