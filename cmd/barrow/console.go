package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"barrow/tin"
	"barrow/volume/report"
)

// console is where the command speaks: results to stdout, all else to stderr,
// and in JSON an error in stdout's place.
type console struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	json           bool
	ctx            context.Context                     // of the run, ended by Ctrl-C; nil: nothing ends it
	now            func() time.Time                    // nil: time.Now
	watch          func(stage string, done, total int) // told of progress in place of a terminal; nil: a terminal is
	list           func(*flag.FlagSet)                 // not nil: a command is asked for its flags, and does nothing else
}

// wantsJSON looks for --json before the flags are understood, since a flag
// that is not understood is an error too.
func wantsJSON(args []string) bool {
	return slices.ContainsFunc(args, func(a string) bool {
		return a == "--json" || a == "-json" || a == "--json=true" || a == "-json=true"
	})
}

// finish reports an error and returns the exit code.
func (c *console) finish(warnings bool, err error) int {
	code := exitCode(warnings, err)
	if err == nil || errors.Is(err, flag.ErrHelp) {
		return code
	}
	err = plainError(err)
	if c.json {
		if report.ErrorJSON(c.stdout, err) != nil {
			return exitFailed
		}
		return code
	}
	hint := ""
	if e, ok := errors.AsType[*tin.InputError](err); ok {
		bare := *e
		bare.Hint, hint = "", e.Hint
		err = &bare
	}
	c.say("error: %v", err)
	if hint != "" {
		c.say("hint: %s", hint)
	}
	return code
}

// interrupted returns the error of a run that was.
func (c *console) interrupted() error {
	if c.ctx == nil {
		return nil
	}
	return c.ctx.Err()
}

// say writes a line to stderr, without what could steer a terminal. Nothing can
// be done if that fails.
func (c *console) say(format string, args ...any) {
	_, _ = fmt.Fprintln(c.stderr, "barrow: "+report.Plain(fmt.Sprintf(format, args...)))
}

func quote(s string) string { return strconv.Quote(s) }

// flags returns a set that stays silent: errors go through finish.
func flags(name string) *flag.FlagSet {
	set := flag.NewFlagSet(name, flag.ContinueOnError)
	set.SetOutput(io.Discard)
	set.Usage = func() {}
	return set
}

// parse reads flags before and after the other arguments, which it returns. A
// call for help prints it and comes back as flag.ErrHelp. What is given and empty
// is refused: it is a variable of a script that was never set, and to go on as if
// it were not there would measure another job.
func (c *console) parse(set *flag.FlagSet, args []string) (rest []string, err error) {
	if c.list != nil {
		c.list(set)
		return nil, flag.ErrHelp
	}
	if rest, err = c.parseAnywhere(set, args); err != nil {
		return nil, err
	}
	hint := fmt.Sprintf("give it, or leave it out; \"barrow help %s\" tells more", set.Name())
	set.Visit(func(f *flag.Flag) {
		if f.Value.String() == "" && err == nil {
			err = usageError(fmt.Sprintf("--%s is given without a value", f.Name), hint)
		}
	})
	if slices.Contains(rest, "") && err == nil {
		err = usageError("the name of a file is empty", hint)
	}
	return rest, err
}

func (c *console) parseAnywhere(set *flag.FlagSet, args []string) (rest []string, err error) {
	for len(args) > 0 {
		if err := set.Parse(args); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				if _, err := io.WriteString(c.stdout, helpOf(set.Name())); err != nil {
					return nil, err
				}
				return nil, flag.ErrHelp
			}
			if name, ok := strings.CutPrefix(err.Error(), "flag provided but not defined: -"); ok {
				return nil, unknownFlag(set, name)
			}
			if name, ok := strings.CutPrefix(err.Error(), "flag needs an argument: -"); ok {
				return nil, noValue(set, name)
			}
			return nil, usageError(err.Error(),
				fmt.Sprintf("run \"barrow help %s\" for its flags", set.Name()))
		}
		left := set.Args()
		if used := len(args) - len(left); used > 0 && args[used-1] == "--" {
			return append(rest, left...), nil
		}
		if len(left) == 0 {
			break
		}
		rest = append(rest, left[0])
		args = left[1:]
	}
	return rest, nil
}

// given returns the first of some flags that was given, "" if none was.
func given(set *flag.FlagSet, names ...string) (first string) {
	set.Visit(func(f *flag.Flag) {
		for _, name := range names {
			if f.Name == name && first == "" {
				first = name
			}
		}
	})
	return first
}

// writeObject writes what the command itself has to tell a machine, as one object.
func writeObject(w io.Writer, v any) error {
	text, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}
