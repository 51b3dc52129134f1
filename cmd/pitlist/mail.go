package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/wneessen/go-mail"

	"pitlist/config"
	"pitlist/score/say"
)

// mailTakes is how long the server has for one message.
const mailTakes = time.Minute

// tellMail sends the notice as an e-mail, encrypted on its way to the server
// or not at all.
func tellMail(ctx context.Context, job *config.Job, n *notice) error {
	message, err := letter(job.Notify.Mail, n)
	if err != nil {
		return err
	}
	options, err := mailOptions(job)
	if err != nil {
		return err
	}
	client, err := mail.NewClient(job.Notify.Mail.Server, options...)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, mailTakes)
	defer cancel()
	return client.DialAndSendWithContext(ctx, message)
}

// letter words the notice.
func letter(m *config.Mail, n *notice) (*mail.Msg, error) {
	message := mail.NewMsg()
	if err := message.From(m.From); err != nil {
		return nil, err
	}
	if err := message.To(m.To...); err != nil {
		return nil, err
	}
	message.Subject(subject(n))
	message.SetBodyString(mail.TypeTextPlain, wording(n))
	if m.Attach && n.Workbook != "" {
		if _, err := os.Stat(n.Workbook); err != nil {
			return nil, fmt.Errorf("the workbook cannot be attached: %w", cause(err))
		}
		message.AttachFile(n.Workbook, mail.WithFileName(n.Job+"-"+n.Day+".xlsx"))
	}
	return message, nil
}

// subject is the heading of the e-mail.
func subject(n *notice) string {
	switch n.Outcome {
	case outcomeDone:
		return n.speaks().F("%s, %s: done", n.Job, n.Day)
	case outcomePart:
		return n.speaks().F("%s, %s: done, some rows or files left out", n.Job, n.Day)
	}
	return n.speaks().F("%s, %s: failed", n.Job, n.Day)
}

// wording is the text of the e-mail. What went wrong is quoted as the terminal
// would have it.
func wording(n *notice) string {
	var b strings.Builder
	line := func(t say.Text) { b.WriteString(n.speaks().Say(t) + "\n") }
	if n.Outcome == outcomeFailed {
		line(gaveUpAfter(n))
		b.WriteString("\n" + n.Error + "\n")
		if n.Hint != "" {
			line(say.F("What to do: %s", n.Hint))
		}
		return b.String()
	}
	if n.MadeUp {
		line(madeUpFor(n))
	}
	for _, said := range n.Head {
		b.WriteString(said + "\n")
	}
	if n.Outcome == outcomePart {
		line(say.F("Some rows or files were left out; the sheet of refused rows says which and why."))
	}
	b.WriteString("\n")
	line(say.F("The list is in %s", n.Workbook))
	b.WriteString("\n")
	line(say.F("A list is a reason to look, not a diagnosis. Local rules and licensed practice come first."))
	return b.String()
}

func gaveUpAfter(n *notice) say.Text {
	if n.Tries == 1 {
		return say.F("The run of %s for %s failed once and is given up. Earlier lists are untouched.", n.Job, n.Day)
	}
	return say.F("The run of %s for %s failed %d times and is given up. Earlier lists are untouched.", n.Job, n.Day, n.Tries)
}

func madeUpFor(n *notice) say.Text {
	at := n.Scheduled.Format(dueFormat)
	switch n.Missed {
	case 0:
		return say.F("This run was due at %s, when nothing was running, and was made up.", at)
	case 1:
		return say.F("This run was due at %s, when nothing was running, and was made up; it stands for one earlier run too.", at)
	}
	return say.F("This run was due at %s, when nothing was running, and was made up; it stands for %d earlier runs too.", at, n.Missed)
}

// mailOptions are how the server is spoken to. The account comes from the
// environment and goes nowhere else.
func mailOptions(job *config.Job) ([]mail.Option, error) {
	m := job.Notify.Mail
	secure := &tls.Config{ServerName: m.Server, MinVersion: tls.VersionTLS12}
	if path := job.MailCAFile(); path != "" {
		roots, err := withAuthority(path)
		if err != nil {
			return nil, err
		}
		secure.RootCAs = roots
	}
	options := []mail.Option{mail.WithPort(m.Port), mail.WithTimeout(30 * time.Second), mail.WithTLSConfig(secure), mail.WithTLSPolicy(mail.TLSMandatory)}
	if m.Implicit {
		options = append(options, mail.WithSSL())
	}
	if m.UserEnv != "" {
		user, password := os.Getenv(m.UserEnv), os.Getenv(m.PasswordEnv)
		if user == "" || password == "" {
			return nil, fmt.Errorf("the environment variables %s and %s, which hold the account, are not both set", m.UserEnv, m.PasswordEnv)
		}
		options = append(options, mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover), mail.WithUsername(user), mail.WithPassword(password))
	}
	return options, nil
}

// withAuthority is the system's authorities and one more.
func withAuthority(path string) (*x509.CertPool, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("read ca_file: %w", err)
	}
	roots, err := x509.SystemCertPool()
	if err != nil {
		roots = x509.NewCertPool()
	}
	if !roots.AppendCertsFromPEM(data) {
		return nil, fmt.Errorf("ca_file %s holds no certificate in PEM form", path)
	}
	return roots, nil
}
