package table

import (
	"flag"

	_ "pgregory.net/rapid" // whose flags stand before they are set here
)

// The properties look at the same examples every time, so that a change fails
// for what it does and not by chance; -rapid.seed looks at others.
func init() { _ = flag.Set("rapid.seed", "20261125") }
