package main

import (
	"fmt"
	"strings"
)

// bashHead goes before what is known of the commands. It runs in bash 3.2 too.
const bashHead = `# Completion of barrow for bash, written by "barrow completion bash".

_barrow_words() {
	COMPREPLY=($(compgen -W "$1" -- "$cur"))
}

_barrow_folders() {
	compopt -o filenames 2>/dev/null
	local name
	while IFS= read -r name; do COMPREPLY+=("$name"); done < <(compgen -d -- "$cur")
}

_barrow_files() { # folders, and files with one of these endings
	_barrow_folders
	local name ending case
	case=$(shopt -p nocasematch)
	shopt -s nocasematch
	while IFS= read -r name; do
		for ending in "$@"; do
			[[ $name == *.$ending && ! -d $name ]] && COMPREPLY+=("$name")
		done
	done < <(compgen -f -- "$cur")
	$case
}

_barrow() {
	local cur=${COMP_WORDS[COMP_CWORD]} flag=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]}
	COMPREPLY=()
	if [ "$cur" = = ]; then
		cur=
	elif [ "$flag" = = ]; then
		flag=${COMP_WORDS[COMP_CWORD - 2]}
	fi
	if [ "$COMP_CWORD" -eq 1 ]; then
		command=
	fi
`

// bashCompletion writes the script for bash.
func bashCompletion(list []completed) string {
	var b strings.Builder
	b.WriteString(bashHead)
	b.WriteString("\tcase \"$command $flag\" in\n")
	for _, cmd := range list {
		for _, f := range cmd.flags {
			if f.value != "" {
				fmt.Fprintf(&b, "\t'%s --%s') %s ;;\n", cmd.name, f.name, bashOffer(f.offer))
			}
		}
	}
	b.WriteString("\t*)\n\t\tcase \"$command $cur\" in\n")
	var names []string
	for _, cmd := range list {
		names = append(names, cmd.name)
		var flags []string
		for _, f := range cmd.flags {
			flags = append(flags, "--"+f.name)
		}
		fmt.Fprintf(&b, "\t\t'%s -'*) %s ;;\n", cmd.name, bashOffer(offer{words: flags}))
		fmt.Fprintf(&b, "\t\t'%s '*) %s ;;\n", cmd.name, bashOffer(cmd.args))
	}
	fmt.Fprintf(&b, "\t\t' '*) %s ;;\n", bashOffer(offer{words: names}))
	b.WriteString("\t\tesac\n\t\t;;\n\tesac\n}\n\ncomplete -F _barrow barrow\n")
	return b.String()
}

// bashOffer is the call that offers something.
func bashOffer(o offer) string {
	switch {
	case o.folders:
		return "_barrow_folders"
	case o.endings != nil:
		return "_barrow_files " + strings.Join(o.endings, " ")
	case o.words != nil:
		return "_barrow_words '" + strings.Join(o.words, " ") + "'"
	}
	return ":"
}
