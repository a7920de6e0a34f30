// Command barrow measures earthworks: from surveyed points to cut and fill for
// a pad. It reads a job file or data files, calls the library once, and writes
// its result; "barrow help" lists what it does.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"runtime"
	"slices"
)

func main() {
	floor := make([]byte, heapFloor)
	code := run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	runtime.KeepAlive(floor)
	os.Exit(code)
}

// heapFloor is the size of a block that is never touched, and so takes no
// memory, but counts where the collector decides when to run: not before as much
// again was allocated. Nearly all that a job allocates it keeps, and a heap that
// begins with a million points would be marked again and again while it grows.
const heapFloor = 384 << 20

// command is one word after "barrow".
type command struct {
	name, summary string
	run           func(ctx context.Context, c *console, args []string) (warnings bool, err error)
}

func commands() []command {
	return []command{
		{"takeoff", "cut and fill for the pads of a job", takeoffCommand},
		{"sections", "the same job by sections along an alignment", sectionsCommand},
		{"points", "what is in a point file", pointsCommand},
		{"compare", "cut and fill between two surveyed surfaces", compareCommand},
		{"crosscheck", "the same works by other methods; someone else's figures", crosscheckCommand},
		{"grid", "cut and fill from corner levels or depths, without a surface", gridCommand},
		{"report", "all of a job as one page to read, print and send", reportCommand},
		{"price", "the quantities of a job as a bill, by the rates of a file", priceCommand},
		{"balance", "the level at which cut and fill balance, or that costs least", balanceCommand},
		{"setout", "pegs, levels to work to, and what the staff reads on them", setoutCommand},
		{"conform", "finished work against the levels asked for", conformCommand},
		{"surfaces", "ground and works as surfaces and lines that other programs read", surfacesCommand},
		{"levelbook", "a level book reduced and checked; a two-peg test", levelbookCommand},
		{"demo", "write a job to try, and run it", demoCommand},
	}
}

// asides are the words after "barrow" that are about the program itself.
func asides() []command {
	return []command{
		{"manual", "the manual page", manualCommand},
		{"completion", "a script that completes what is typed in a shell", completionCommand},
		{"version", "which program this is, and what it was built from", versionCommand},
	}
}

// findCommand returns the command of a name.
func findCommand(name string) (cmd command, ok bool) {
	for _, cmd := range slices.Concat(commands(), asides()) {
		if cmd.name == name {
			return cmd, true
		}
	}
	return command{}, false
}

// run does what the arguments say and returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	c := &console{stdin: stdin, stdout: stdout, stderr: stderr, json: wantsJSON(args), ctx: ctx}
	switch {
	case len(args) == 0 || isHelp(args[0]):
		return c.finish(c.help(args))
	case isVersion(args[0]):
		return c.finish(versionCommand(ctx, c, args[1:]))
	}
	cmd, ok := findCommand(args[0])
	if !ok {
		return c.finish(false, unknownCommand(args[0]))
	}
	return c.finish(cmd.run(ctx, c, args[1:]))
}
