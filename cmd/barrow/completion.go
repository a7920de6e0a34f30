package main

import (
	"context"
	"flag"
	"io"
	"slices"
	"strings"
)

// completionCommand writes a script with which a shell completes what is typed.
func completionCommand(_ context.Context, c *console, args []string) (warnings bool, err error) {
	rest, err := c.parse(flags("completion"), args)
	if err != nil {
		return false, err
	}
	if len(rest) != 1 {
		return false, usageError("which shell is not said", "run \"barrow completion bash\", or zsh, or fish")
	}
	write := map[string]func([]completed) string{"bash": bashCompletion, "zsh": zshCompletion, "fish": fishCompletion}[rest[0]]
	if write == nil {
		return false, usageError("there is no completion for "+quote(rest[0]), didYouMean(rest[0], shells(), "", "use bash, zsh or fish"))
	}
	_, err = io.WriteString(c.stdout, write(allCompleted()))
	return false, err
}

func shells() []string { return []string{"bash", "zsh", "fish"} }

// offer is what may stand at a place of the command line; all empty: nobody knows.
type offer struct {
	words   []string
	endings []string // of the names of files, without the dot
	folders bool
}

// completed is a command with what may follow it.
type completed struct {
	command
	flags []completedFlag // by name
	args  offer           // what is no flag
}

// completedFlag is a flag with what may follow it.
type completedFlag struct {
	flagIs
	often bool // it may be given again
	offer offer
}

// dataEndings are those of files of measurements and shapes.
func dataEndings() []string {
	return []string{"csv", "txt", "xyz", "pnt", "geojson", "json", "xml", "landxml", "las", "tif", "tiff", "asc"}
}

// allCompleted reads commands and flags from where they are understood, and what may
// follow them from their help.
func allCompleted() (list []completed) {
	for _, cmd := range slices.Concat(commands(), asides()) {
		done := completed{command: cmd, args: argsOf(guideOf(helpOf(cmd.name)).synopsis)}
		cmd.flags().VisitAll(func(f *flag.Flag) {
			is, _ := flagHelp(cmd.name, f.Name)
			done.flags = append(done.flags, completedFlag{is, strings.Contains(is.text, "repeatable"), offerFor(is.value)})
		})
		list = append(list, done)
	}
	help := completed{command: command{name: "help", summary: "what a command does, and what words mean"}}
	help.args.words = append(commandNames(), "words", "job")
	return append(list, help)
}

// argsOf returns what may follow a command by the words of its synopsis before its flags.
func argsOf(synopsis []string) (all offer) {
	for _, line := range synopsis {
		for _, word := range strings.Fields(line)[2:] {
			if word[0] == '[' || word[0] == '-' {
				break
			}
			o := offerFor(word)
			all.words = append(all.words, o.words...)
			for _, e := range o.endings {
				if !slices.Contains(all.endings, e) {
					all.endings = append(all.endings, e)
				}
			}
		}
	}
	return all
}

// offerFor returns what a word of a help stands for: DIR is a folder, JOB.toml a job,
// FILE and a single A or B a file of data, in|out one of two words.
func offerFor(value string) offer {
	switch {
	case strings.Contains(value, "|"):
		return offer{words: strings.Split(value, "|")}
	case value == "DIR":
		return offer{folders: true}
	case strings.HasSuffix(value, ".toml"):
		return offer{endings: []string{"toml"}}
	case value == "FILE", strings.HasSuffix(value, ".csv"):
		return offer{endings: dataEndings()}
	case slices.Contains([]string{"A", "B", "BEFORE", "AFTER"}, value): // surfaces: jobs too
		return offer{endings: append(dataEndings(), "toml")}
	}
	return offer{}
}
