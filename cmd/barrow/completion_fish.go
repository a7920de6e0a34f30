package main

import (
	"fmt"
	"strings"
)

const fishHead = `# Completion of barrow for fish, written by "barrow completion fish".

function __barrow_is
	set -l typed (commandline -opc)
	test (count $typed) -ge 2; and test $typed[2] = $argv[1]
end

function __barrow_first
	test (count (commandline -opc)) -eq 1
end

function __barrow_files
	for name in (__fish_complete_directories (commandline -ct) '')
		echo $name
	end
	for ending in $argv
		for name in (__fish_complete_suffix .$ending)
			string match -qi "*.$ending*" -- $name; and echo $name
		end
	end
end

complete -c barrow -f
`

// fishCompletion writes the script for fish.
func fishCompletion(list []completed) string {
	var b strings.Builder
	b.WriteString(fishHead)
	for _, cmd := range list {
		fmt.Fprintf(&b, "complete -c barrow -n __barrow_first -a %s -d %s\n", cmd.name, fishQuote(cmd.summary))
		is := fishQuote("__barrow_is " + cmd.name)
		for _, f := range cmd.flags {
			value := ""
			if f.value != "" {
				value = " -x"
				if args := fishOffer(f.offer); args != "" {
					value += " -a " + fishQuote(args)
				}
			}
			fmt.Fprintf(&b, "complete -c barrow -n %s -l %s%s -d %s\n", is, f.name, value, fishQuote(f.text))
		}
		if args := fishOffer(cmd.args); args != "" {
			fmt.Fprintf(&b, "complete -c barrow -n %s -a %s\n", is, fishQuote(args))
		}
	}
	return b.String()
}

// fishOffer is what offers something; empty: nothing.
func fishOffer(o offer) string {
	switch {
	case o.folders:
		return "(__fish_complete_directories)"
	case o.endings != nil:
		return "(__barrow_files " + strings.Join(o.endings, " ") + ")"
	}
	return strings.Join(o.words, " ")
}

// fishQuote puts a text into single quotes of fish.
func fishQuote(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text) + "'"
}
