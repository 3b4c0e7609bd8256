package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// tellUse makes wrong calls of a command, and of those below it, say how it is called
// or where that stands: the library itself counts arguments and quotes its parser.
func tellUse(c *cobra.Command) {
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error { return argsError(c, check(c, args)) }
	}
	for _, sub := range c.Commands() {
		tellUse(sub)
	}
}

// argsError words an error about the number of arguments, or about a command's name.
func argsError(c *cobra.Command, err error) error {
	switch {
	case err == nil:
		return nil
	case strings.Contains(err.Error(), " arg(s)"):
		return fmt.Errorf("the call is `%s`; `%s --help` says more", c.UseLine(), c.CommandPath())
	case strings.HasPrefix(err.Error(), "unknown command"):
		return fmt.Errorf("%w; `%s --help` lists them", err, c.CommandPath())
	}
	return err
}

// flagError words an error about a flag; what the parser of a number says is for
// programmers.
func flagError(c *cobra.Command, err error) error {
	said, _, number := strings.Cut(err.Error(), ": strconv.")
	if number {
		said += ": give a number"
	}
	return fmt.Errorf("%s; `%s --help` lists the flags", said, c.CommandPath())
}
