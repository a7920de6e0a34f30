package main

import (
	"context"
	"errors"
	"flag"
	"strconv"

	"barrow/tin"
)

// Exit codes.
const (
	exitDone    = 0
	exitFailed  = 1 // the program failed, or was interrupted
	exitInput   = 2 // bad input or usage; no result was written
	exitWarning = 3 // done, but the result carries a warning a person must read
)

// exitMeanings says what each exit code means.
func exitMeanings() []meaning {
	return []meaning{
		{strconv.Itoa(exitDone), "Done."},
		{strconv.Itoa(exitFailed), "The program failed, could not write, or was interrupted."},
		{strconv.Itoa(exitInput), "Bad input or usage; no result was written."},
		{strconv.Itoa(exitWarning), "Done, but the result carries a warning that a person must read."},
	}
}

// exitCode is the one place where an outcome becomes an exit code.
func exitCode(warnings bool, err error) int {
	switch {
	case errors.Is(err, flag.ErrHelp):
		return exitDone
	case isInputError(err):
		return exitInput
	case err != nil:
		return exitFailed
	case warnings:
		return exitWarning
	}
	return exitDone
}

func isInputError(err error) bool {
	_, ok := errors.AsType[*tin.InputError](err)
	return ok
}

func usageError(message, hint string) error {
	return &tin.InputError{Code: "usage", Message: message, Hint: hint}
}

// plainError puts what came from the machinery into plain words.
func plainError(err error) error {
	if errors.Is(err, context.Canceled) {
		return errors.New("interrupted: no result was written")
	}
	return err
}

// ofFlag has an error about an option of the library name the flag it came from.
func ofFlag(key, flag string, err error) error {
	if e, ok := errors.AsType[*tin.InputError](err); ok && e.Key == key {
		return under(flag, err)
	}
	return err
}

// ofPath has an error in a file of the command line name it as the user did.
func ofPath(path string, err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok || e.File == "" {
		return err
	}
	out := *e
	out.File = path
	return &out
}
