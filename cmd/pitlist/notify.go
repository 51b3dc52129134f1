package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pitlist/config"
)

// mostSaid is how much of a command's own output is kept for the log.
const mostSaid = 4096

// tellAll tells of a run by the job's command and by e-mail. What goes wrong
// is logged and fails nothing: the run is written, whoever hears of it.
func tellAll(log *slog.Logger) func(ctx context.Context, job *config.Job, n *notice) {
	return func(ctx context.Context, job *config.Job, n *notice) {
		if len(job.Notify.Command) > 0 {
			said, err := tellCommand(ctx, job, n)
			if err != nil {
				log.Warn("the command of notify failed", "command", job.Notify.Command[0], "err", err)
			}
			log.Debug("the command of notify", "said", said)
		}
		if job.Notify.Mail != nil {
			if err := tellMail(ctx, job, n); err != nil {
				log.Warn("the e-mail was not sent", "server", job.Notify.Mail.Server, "err", err)
			}
		}
	}
}

// tellCommand runs the command in the job's folder, without a shell, with the
// notice on its standard input.
func tellCommand(ctx context.Context, job *config.Job, n *notice) (said string, err error) {
	data, err := json.MarshalIndent(n, "", "  ")
	if err != nil {
		return "", err
	}
	ctx, cancel := context.WithTimeout(ctx, job.Notify.Timeout)
	defer cancel()
	program := job.Notify.Command[0]
	if strings.ContainsAny(program, `/\`) && !filepath.IsAbs(program) {
		if program, err = filepath.Abs(filepath.Join(job.Dir, program)); err != nil {
			return "", err
		}
	}
	out := &limited{most: mostSaid}
	cmd := exec.CommandContext(ctx, program, job.Notify.Command[1:]...)
	cmd.Dir, cmd.Env = job.Dir, withoutSecrets(os.Environ(), job)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(append(data, '\n')), out, out
	cmd.WaitDelay = 2 * time.Second // what it started itself may hold its output open
	err = cmd.Run()
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		err = fmt.Errorf("it took longer than %s and was ended", job.Notify.Timeout)
	}
	return out.String(), err
}

// withoutSecrets leaves out of an environment what the job keeps there for
// itself: passwords of workbooks and the account of the mail server.
func withoutSecrets(env []string, job *config.Job) []string {
	secret := map[string]bool{}
	for _, in := range job.Inputs {
		secret[in.PasswordEnv] = true
	}
	if m := job.Notify.Mail; m != nil {
		secret[m.UserEnv], secret[m.PasswordEnv] = true, true
	}
	return slices.DeleteFunc(env, func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		return secret[name]
	})
}

// limited keeps the beginning of what is written to it.
type limited struct {
	bytes.Buffer
	most int
}

func (l *limited) Write(p []byte) (int, error) {
	l.Buffer.Write(p[:min(len(p), max(0, l.most-l.Len()))])
	return len(p), nil
}
