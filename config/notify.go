package config

import (
	"net/mail"
	"strings"
	"time"
)

// Notify says who is told how a scheduled run ended.
type Notify struct {
	OnlyFailure bool          // when: failure; else every run is told of
	Command     []string      // program and arguments, run without a shell; nil: none
	Timeout     time.Duration // how long the command may take; default 60 s
	Mail        *Mail         // nil: none
}

// Mail says how the e-mail goes out. It is always encrypted on the way to its
// server; the account stays in the environment.
type Mail struct {
	Server      string // host name, without a scheme
	Port        int    // default 587, with Implicit 465
	Implicit    bool   // tls: implicit; else the connection is encrypted by STARTTLS, or not used
	From        string // address, with or without a name
	To          []string
	UserEnv     string // environment variable with the account's name; "": the server asks for none
	PasswordEnv string // and the one with its password
	Attach      bool   // the workbook goes with it; default false
	CAFile      string // path as written of a further authority that vouches for the server; "": the system's
}

// MailCAFile is the file of Mail.CAFile with Dir before it; "" for none.
func (j *Job) MailCAFile() string {
	if j.Notify == nil || j.Notify.Mail == nil {
		return ""
	}
	return j.resolve(j.Notify.Mail.CAFile)
}

// metrics reads the path of the one file that is written anew with each run.
func metrics(f field) string {
	path := f.text()
	if strings.HasSuffix(path, "/") || strings.ContainsAny(path, "*?") {
		f.fault("metrics is no path of one file", "write its name: metrics: /var/lib/node_exporter/pitlist-north.prom")
		return ""
	}
	return path
}

var notifyKeys = []string{"when", "command", "timeout_seconds", "mail"}

// notify reads who is told; nil where nobody is.
func notify(f field) *Notify {
	g, ok := f.group(notifyKeys...)
	if !ok {
		return nil
	}
	out := &Notify{
		OnlyFailure: g.get("when").oneOf("always", "always", "failure") == "failure",
		Command:     command(g.get("command")),
		Timeout:     g.get("timeout_seconds").duration(60, time.Second, span{low: 0, high: 3600, openLow: true, say: "it lies above 0 and at most at 3600 seconds"}),
		Mail:        mailing(g.get("mail")),
	}
	if !g.get("command").written() && !g.get("mail").written() && !g.meant["command"] && !g.meant["mail"] {
		g.fault("notify tells nobody", "give it a command or mail: notify: { command: [./tell.sh] }")
	}
	return out
}

// command reads a program and its arguments. A line for a shell would run as
// one strange name, so it is refused.
func command(f field) []string {
	if f.written() && f.node.Kind == kindScalar && strings.ContainsAny(strings.TrimSpace(f.raw()), " \t") {
		f.fault("command is run without a shell, and is written as a list", "write the program and each argument by itself: [./tell.sh, --list, north]")
		return nil
	}
	if f.written() && len(f.items()) == 0 && f.node.Tag != "!!null" {
		f.fault("command names no program", "write it as a list: [./tell.sh]")
	}
	return f.texts()
}

var mailKeys = []string{"server", "port", "tls", "from", "to", "user_env", "password_env", "attach", "ca_file"}

func mailing(f field) *Mail {
	g, ok := f.group(mailKeys...)
	if !ok {
		return nil
	}
	m := &Mail{
		Server:      server(g.need("server", "which server takes the mail? server: mail.example.org")),
		Implicit:    g.get("tls").oneOf("starttls", "starttls", "implicit") == "implicit",
		From:        address(g.need("from", "who sends? from: pitlist@example.org")),
		UserEnv:     passwordEnv(g.get("user_env")),
		PasswordEnv: passwordEnv(g.get("password_env")),
		Attach:      g.get("attach").yes(false),
	}
	if g.get("ca_file").written() {
		m.CAFile = g.get("ca_file").text()
	}
	port := 587 // RFC 6409: submission
	if m.Implicit {
		port = 465 // RFC 8314, section 7.3: submissions
	}
	m.Port = g.get("port").whole(port, span{low: 1, high: 65535, say: "a port lies between 1 and 65535"})
	to := g.need("to", "who is told? to: [planner@example.org]")
	for _, item := range to.items() {
		if a := address(item); a != "" {
			m.To = append(m.To, a)
		}
	}
	if to.written() && len(to.items()) == 0 && to.node.Tag != "!!null" {
		to.fault("to names nobody", "write at least one address: to: [planner@example.org]")
	}
	if user, password := g.get("user_env"), g.get("password_env"); user.written() != password.written() {
		g.fault("an account has a name and a password; mail gives one of them", "write both user_env and password_env, or neither")
	}
	return m
}

// server reads a host name.
func server(f field) string {
	name := f.text()
	if strings.Contains(name, "://") || strings.ContainsAny(name, "/ @") || strings.Contains(name, ":") && !strings.Contains(name, "::") {
		f.faultf("write the name alone, such as mail.example.org; the port has a key of its own", "server is %q, which is no host name", shorten(name))
		return ""
	}
	return name
}

// address reads one e-mail address, with or without a name before it.
func address(f field) string {
	text := f.text()
	if text == "" {
		return ""
	}
	if _, err := mail.ParseAddress(text); err != nil {
		f.faultf("write name@host, or Name <name@host>", "%s is %q, which is no e-mail address", lastWord(f.name()), shorten(text))
		return ""
	}
	return text
}

// lastWord drops the place in a list: to[1] is to.
func lastWord(name string) string {
	name, _, _ = strings.Cut(name, "[")
	return name
}
