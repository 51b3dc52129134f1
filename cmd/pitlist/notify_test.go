package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"log/slog"
	"math/big"
	"mime"
	"mime/multipart"
	"net"
	"net/mail"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/ingest"
	"pitlist/score/say"
)

// TestCommandOfNotify: the command gets the run's JSON, without a shell, in the
// job's folder, and without the job's secrets; what goes wrong with it is told
// and fails nothing.
func TestCommandOfNotify(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the commands are those of a Unix system")
	}
	t.Setenv("PITLIST_TEST_SECRET", "s3cret")
	for _, c := range []struct{ rule, command, says string }{
		{"the run's JSON on standard input", "[tee, told.json]", ""},
		{"arguments are no shell's", "[./keep.sh, '$(id)', '*']", ""},
		{"one that fails", "['false']", "exit status 1"},
		{"one that is not there", "[./nowhere.sh]", "no such file"},
		{"one that does not end", "[sleep, '60']", "took longer than 200ms"},
		{"one that leaves a child holding its output", "[./child.sh]", ""},
		{"one that does not read", "['true']", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			dir := workshop(t)
			quick(t, dir)
			require.NoError(t, os.WriteFile(filepath.Join(dir, "keep.sh"), []byte("#!/bin/sh\ncat > told.json\nprintf '%s|' \"$@\" \"$PITLIST_TEST_SECRET\" > arguments\n"), 0o700))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "child.sh"), []byte("#!/bin/sh\nsleep 30 &\n"), 0o700))
			job := filepath.Join(dir, "job.yaml")
			text, err := os.ReadFile(job)
			require.NoError(t, err)
			put(t, job, append(text, []byte("schedule: { cron: \"@yearly\", time_zone: UTC, settle_seconds: 0 }\nnotify: { timeout_seconds: 20, command: "+c.command+", mail: { server: 127.0.0.1, port: 9, from: a@example.org, to: b@example.org, user_env: PITLIST_TEST_SECRET, password_env: PITLIST_TEST_SECRET } }\n")...))
			if strings.Contains(c.command, "sleep") {
				put(t, job, bytes.ReplaceAll(mustRead(t, job), []byte("timeout_seconds: 20"), []byte("timeout_seconds: 0.2")))
			}
			code, _, errOut := invoke(t, "schedule", job, "--once")
			assert.Equal(t, exitDone, code, errOut)
			assert.NotContains(t, errOut, "s3cret")
			if c.says != "" {
				assert.Contains(t, errOut, "the command of notify failed")
				assert.Contains(t, errOut, c.says)
				return
			}
			if !strings.Contains(c.command, "told") && !strings.Contains(c.command, "keep") {
				return
			}
			var n struct {
				Job, Outcome, Folder, Day string
				ExitCode                  int `json:"exit_code"`
				Run                       struct{ Job, Name string }
			}
			require.NoError(t, json.Unmarshal(mustRead(t, filepath.Join(dir, "told.json")), &n))
			assert.Equal(t, outcomeDone, n.Outcome)
			assert.Equal(t, n.Day, n.Run.Name)
			assert.DirExists(t, n.Folder)
			if strings.Contains(c.command, "keep") {
				assert.Equal(t, "$(id)|*||", string(mustRead(t, filepath.Join(dir, "arguments"))), "as written; the secret is not passed on")
			}
		})
	}
}

func mustRead(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

// postOffice is a small mail server: TLS from the start or by STARTTLS, an
// account, one message after another.
type postOffice struct {
	listener net.Listener
	secure   *tls.Config
	implicit bool
	plain    bool          // offers no encryption
	letters  chan []string // the lines of each session, the message among them
}

// openPostOffice listens on a free port with a certificate of its own, which
// it writes to caFile.
func openPostOffice(t *testing.T, implicit, plain bool) (p *postOffice, port int, caFile string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		DNSNames: []string{"localhost"}, IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	require.NoError(t, err)
	caFile = filepath.Join(t.TempDir(), "ca.pem")
	put(t, caFile, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))
	p = &postOffice{implicit: implicit, plain: plain, letters: make(chan []string, 4), secure: &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}}}}
	p.listener, err = net.Listen("tcp", "localhost:0")
	require.NoError(t, err)
	t.Cleanup(func() { p.listener.Close() })
	go func() {
		for {
			conn, err := p.listener.Accept()
			if err != nil {
				return
			}
			go p.serve(conn)
		}
	}()
	return p, p.listener.Addr().(*net.TCPAddr).Port, caFile
}

// serve speaks as much of RFC 5321 as one client needs.
func (p *postOffice) serve(conn net.Conn) {
	defer conn.Close()
	patience := time.Minute
	if p.plain {
		patience = 3 * time.Second // a client that finds no encryption leaves without a word
	}
	_ = conn.SetDeadline(time.Now().Add(patience))
	encrypted := p.implicit
	if p.implicit {
		conn = tls.Server(conn, p.secure)
	}
	in := bufio.NewReader(conn)
	say := func(s string) { fmt.Fprintf(conn, "%s\r\n", s) }
	say("220 localhost")
	var lines []string
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			p.letters <- append(lines, "(hung up)")
			return
		}
		line = strings.TrimRight(line, "\r\n")
		lines = append(lines, line)
		switch verb := strings.ToUpper(strings.Fields(line + " x")[0]); verb {
		case "EHLO", "HELO":
			if !encrypted && !p.plain {
				say("250-localhost")
				say("250 STARTTLS")
			} else {
				say("250-localhost")
				say("250 AUTH PLAIN LOGIN")
			}
		case "STARTTLS":
			say("220 go ahead")
			conn = tls.Server(conn, p.secure)
			in, encrypted = bufio.NewReader(conn), true
		case "AUTH":
			say("235 welcome")
		case "DATA":
			say("354 go on")
			for {
				line, err := in.ReadString('\n')
				if err != nil || line == ".\r\n" {
					break
				}
				lines = append(lines, strings.TrimRight(line, "\r\n"))
			}
			say("250 taken")
		case "QUIT":
			say("221 bye")
			p.letters <- lines
			return
		default:
			say("250 fine")
		}
	}
}

// TestMail: the message arrives encrypted, with the account of the environment
// and the workbook if asked; without encryption or trust nothing is sent.
func TestMail(t *testing.T) {
	for _, c := range []struct {
		rule              string
		implicit, attach  bool
		plain, noCA, noPW bool
		says              string
	}{
		{rule: "encrypted by STARTTLS, with the workbook", attach: true},
		{rule: "encrypted from the start, without it", implicit: true},
		{rule: "a server that cannot encrypt gets nothing", plain: true, says: "STARTTLS"},
		{rule: "a server that nobody vouches for gets nothing", noCA: true, says: "certificate"},
		{rule: "an account that is not in the environment", noPW: true, says: "PITLIST_TEST_MAIL_PW"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			p, port, ca := openPostOffice(t, c.implicit, c.plain)
			t.Setenv("PITLIST_TEST_MAIL_USER", "lists")
			if t.Setenv("PITLIST_TEST_MAIL_PW", "s3cret"); c.noPW {
				os.Unsetenv("PITLIST_TEST_MAIL_PW")
			}
			dir := t.TempDir()
			workbook := filepath.Join(dir, "pitlist.xlsx")
			put(t, workbook, book(t, "", unitRows...))
			m := &config.Mail{Server: "localhost", Port: port, Implicit: c.implicit, From: "Lists <lists@example.org>", To: []string{"planner@example.org", "shift@example.org"},
				UserEnv: "PITLIST_TEST_MAIL_USER", PasswordEnv: "PITLIST_TEST_MAIL_PW", Attach: c.attach, CAFile: ca}
			if c.noCA {
				m.CAFile = ""
			}
			job := &config.Job{Name: "north", Dir: dir, Notify: &config.Notify{Mail: m, Timeout: time.Minute}}
			n := &notice{Job: "north", Day: "2026-11-23", Outcome: outcomeDone, Workbook: workbook, Head: []string{"Take in 3 of 40 vehicles: 5 h in the bay."}}
			var logged bytes.Buffer
			log, err := newLog(&logged, "json", slog.LevelInfo)
			require.NoError(t, err)
			tellAll(log)(context.Background(), job, n)
			assert.NotContains(t, logged.String(), "s3cret")
			if c.says != "" {
				assert.Contains(t, logged.String(), "the e-mail was not sent")
				assert.Contains(t, logged.String(), c.says)
				if !c.noPW {
					assert.NotContains(t, strings.Join(<-p.letters, "\n"), "AUTH", "no account without encryption")
				}
				return
			}
			assert.Empty(t, logged.String())
			lines := <-p.letters
			assert.Contains(t, lines, "MAIL FROM:<lists@example.org>")
			assert.Contains(t, lines, "RCPT TO:<shift@example.org>")
			said := strings.Join(lines, "\r\n")
			assert.Contains(t, said, "AUTH PLAIN "+base64.StdEncoding.EncodeToString([]byte("\x00lists\x00s3cret")))
			readLetter(t, said, c.attach, mustRead(t, workbook))
		})
	}
}

// readLetter opens the message that stands in a session.
func readLetter(t *testing.T, session string, attached bool, workbook []byte) {
	t.Helper()
	_, data, found := strings.Cut(session, "DATA\r\n")
	require.True(t, found)
	msg, err := mail.ReadMessage(strings.NewReader(data))
	require.NoError(t, err)
	subject, err := new(mime.WordDecoder).DecodeHeader(msg.Header.Get("Subject"))
	require.NoError(t, err)
	assert.Equal(t, "north, 2026-11-23: done", subject)
	kind, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	require.NoError(t, err)
	if !attached {
		assert.Equal(t, "text/plain", kind)
		body, err := io.ReadAll(msg.Body)
		require.NoError(t, err)
		assert.Contains(t, string(body), "Take in 3 of 40 vehicles")
		return
	}
	parts := multipart.NewReader(msg.Body, params["boundary"])
	text, err := parts.NextPart()
	require.NoError(t, err)
	body, err := io.ReadAll(text)
	require.NoError(t, err)
	assert.Contains(t, string(body), "A list is a reason to look, not a diagnosis.")
	part, err := parts.NextPart()
	require.NoError(t, err)
	assert.Equal(t, "north-2026-11-23.xlsx", part.FileName())
	got, err := io.ReadAll(base64.NewDecoder(base64.StdEncoding, part))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(workbook, got), "the workbook arrives byte by byte")
}

// TestWording: what the e-mail says of failures and of runs made up.
func TestWording(t *testing.T) {
	failed := wording(&notice{Job: "north", Day: "2026-11-23", Outcome: outcomeFailed, Tries: 12, Error: "the share is away", Hint: "mount it"})
	assert.Contains(t, failed, "failed 12 times and is given up")
	assert.Contains(t, failed, "the share is away")
	assert.Contains(t, failed, "mount it")
	madeUp := wording(&notice{Job: "north", Day: "2026-11-23", Outcome: outcomePart, MadeUp: true, Missed: 2, Scheduled: time.Date(2026, 11, 23, 5, 0, 0, 0, time.UTC)})
	assert.Contains(t, madeUp, "was made up; it stands for 2 earlier runs too")
	assert.Contains(t, madeUp, "left out")
	once := &notice{Job: "north", Day: "2026-11-23", Outcome: outcomeFailed, Tries: 1, Error: "the share is away", language: say.Spanish}
	assert.Equal(t, "north, 2026-11-23: fallida", subject(once))
	assert.True(t, strings.HasPrefix(wording(once), "La ejecución de north para el 2026-11-23 ha fallado una vez y se abandona."), wording(once))
}

// TestFailureIsToldInTheLanguageOfTheJob: what is wrong with the inputs and
// what to do about it, to the command and by mail; the log keeps to English.
func TestFailureIsToldInTheLanguageOfTheJob(t *testing.T) {
	for tag, want := range map[string][3]string{
		"en": {"no vehicle found in any input", "run `pitlist read JOB` to see how each sheet was understood", "What to do: run `pitlist read JOB`"},
		"es": {"no se encontró ningún vehículo en ninguna entrada", "ejecutar `pitlist read JOB` para ver cómo se entendió cada hoja", "Qué hacer: ejecutar `pitlist read JOB`"},
	} {
		path := filepath.Join(t.TempDir(), "units.csv")
		put(t, path, []byte("Unit;Model\n"))
		_, err := ingest.Read(context.Background(), []ingest.Input{{Path: path}}, ingest.Options{})
		require.ErrorIs(t, err, ingest.ErrNothing)
		n := failureNotice(&config.Job{Name: "north", Language: tag}, &order{}, fmt.Errorf("stage: %w", err))
		assert.True(t, strings.HasPrefix(n.Error, "stage: "+want[0]), n.Error)
		assert.Equal(t, want[1], n.Hint)
		assert.Contains(t, wording(n), want[2])
		assert.Contains(t, failureOf(err).String(), "no vehicle found in any input")
	}
}
