package main

import (
	"fmt"
	"strings"
)

const zshHead = `#compdef barrow
# Completion of barrow for zsh, written by "barrow completion zsh".

_barrow() {
	local -a commands
	commands=(
`

const zshMiddle = `	)
	if (( CURRENT == 2 )); then
		_describe -t commands 'command' commands
		return
	fi
	local command=$words[2]
	shift words
	(( CURRENT-- ))
	case $command in
`

const zshTail = `	esac
}

if [ "$funcstack[1]" = _barrow ]; then
	_barrow "$@"
else
	compdef _barrow barrow
fi
`

// zshCompletion writes the script for zsh: to be sourced, or found in $fpath as _barrow.
func zshCompletion(list []completed) string {
	var b strings.Builder
	b.WriteString(zshHead)
	for _, cmd := range list {
		fmt.Fprintf(&b, "\t\t%s\n", shellQuote(cmd.name+":"+cmd.summary))
	}
	b.WriteString(zshMiddle)
	for _, cmd := range list {
		fmt.Fprintf(&b, "\t%s)\n\t\t_arguments", cmd.name)
		for _, f := range cmd.flags {
			fmt.Fprintf(&b, " \\\n\t\t\t%s", shellQuote(zshFlag(f)))
		}
		if action := zshOffer(cmd.args); action != " " {
			fmt.Fprintf(&b, " \\\n\t\t\t%s", shellQuote("*: :"+action))
		}
		b.WriteString("\n\t\t;;\n")
	}
	b.WriteString(zshTail)
	return b.String()
}

// zshFlag is a flag as _arguments wants it.
func zshFlag(f completedFlag) string {
	often, value := "", ""
	if f.often {
		often = "*"
	}
	text := strings.NewReplacer("[", "(", "]", ")", ":", ";").Replace(f.text)
	if f.value != "" {
		value = "=[" + text + "]:" + strings.ReplaceAll(f.value, ":", `\:`) + ":" + zshOffer(f.offer)
	} else {
		value = "[" + text + "]"
	}
	return often + "--" + f.name + value
}

// zshOffer is the action that offers something; a blank offers nothing.
func zshOffer(o offer) string {
	switch {
	case o.folders:
		return "_files -/"
	case o.endings != nil:
		endings := strings.Join(o.endings, "|")
		if len(o.endings) > 1 { // of one, zsh would take brackets for qualifiers of files
			endings = "(" + endings + ")"
		}
		return `_files -g "(#i)*.` + endings + `"`
	case o.words != nil:
		return "(" + strings.Join(o.words, " ") + ")"
	}
	return " "
}

// shellQuote puts a text into single quotes of a shell.
func shellQuote(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }
