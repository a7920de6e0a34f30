package main

import (
	"cmp"
	"flag"
	"fmt"
	"slices"
	"strings"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// unknownCommand is the error of a word that is no command.
func unknownCommand(name string) error {
	return usageError("there is no command "+quote(name), didYouMean(name, commandNames(), "", "run \"barrow help\" for a list"))
}

// noHelp is the error of a call for help on what there is none for.
func noHelp(name string) error {
	topics := append(commandNames(), "words", "job")
	for _, w := range report.Words() {
		topics = append(append(topics, w.Name), w.Also...)
	}
	return usageError("there is no help for "+quote(name), didYouMean(name, topics, "", "run \"barrow help\" for a list of commands, \"barrow help words\" for the words"))
}

// unknownFlag is the error of a flag that a command does not have.
func unknownFlag(set *flag.FlagSet, name string) error {
	hint := fmt.Sprintf("run \"barrow help %s\" for its flags", set.Name())
	var names []string
	set.VisitAll(func(f *flag.Flag) { names = append(names, f.Name) })
	return usageError("there is no flag --"+name, didYouMean(name, names, "--", hint))
}

// noValue is the error of a flag that ends the line and wants a value.
func noValue(set *flag.FlagSet, name string) error {
	is, _ := flagHelp(set.Name(), name)
	return usageError(fmt.Sprintf("--%s wants a value", name),
		fmt.Sprintf("give it as --%s %s; \"barrow help %s\" tells more", name, cmp.Or(is.value, "VALUE"), set.Name()))
}

// didYouMean is a hint at the nearest of some words, or the only one that begins so, with
// their lead; else the other hint.
func didYouMean(word string, list []string, lead, otherwise string) string {
	word = strings.ToLower(word)
	w := takeoff.NearestWord(word, list)
	if w == "" {
		w = onlyOneThatBegins(word, list)
	}
	if w != "" {
		return fmt.Sprintf("did you mean %q? Else %s", lead+w, otherwise)
	}
	return otherwise
}

// onlyOneThatBegins returns the word of a list that begins with another of at least two
// letters; "" if there is none, or more than one.
func onlyOneThatBegins(start string, list []string) (found string) {
	for _, w := range list {
		if len(start) < 2 || !strings.HasPrefix(w, start) {
			continue
		}
		if found != "" {
			return ""
		}
		found = w
	}
	return found
}

func commandNames() (names []string) {
	for _, cmd := range slices.Concat(commands(), asides()) {
		names = append(names, cmd.name)
	}
	return append(names, "help")
}
