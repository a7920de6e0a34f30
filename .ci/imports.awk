# Holds imports against the table of arrows.
#   awk -v module=M -f imports.awk arrows.txt LIST
# LIST has a line an import: package, then "code" or "test", then what it
# imports; a package that imports nothing has a line with "-".
FNR == 1 { file++ }
file == 1 {
	sub(/#.*/, "")
	if ($0 ~ /^[ \t]*$/) next
	colon = index($0, ":")
	if (!colon) { complain("arrows.txt:" FNR ": no colon in this row"); next }
	key = substr($0, 1, colon - 1)
	kind = sub(/^tests of /, "", key) ? "test" : "code"
	if ((kind, key) in row) complain("arrows.txt:" FNR ": a second row for " key)
	row[kind, key] = 1
	n = split(substr($0, colon + 1), words, " ")
	for (i = 1; i <= n; i++) may[kind, key, words[i]] = 1
	next
}
{
	package = $1; kind = $2; target = $3
	if (package == module) short = "."
	else short = substr(package, length(module) + 2)
	if (!(("code", short) in row)) {
		if (!(short in told)) complain(short ": has no row in .ci/arrows.txt")
		told[short] = 1
		next
	}
	if (target == "-") next
	own = target == module || index(target, module "/") == 1
	if (own) {
		name = substr(target, length(module) + 2)
	} else {
		split(target, parts, "/")
		if (parts[1] !~ /\./) next # standard library
		name = target
	}
	if (kind == "test" && (!(("test", short) in row) || name == short)) next
	if (own) ok = (kind, short, name) in may
	else {
		# a module allows the packages below it
		ok = 0
		for (path = name; path != ""; path = up(path)) if ((kind, short, path) in may) ok = 1
	}
	if (!ok) complain(short (kind == "test" ? " (tests)" : "") ": may not import " name)
}
function up(path) { return sub(/\/[^\/]*$/, "", path) ? path : "" }
function complain(text) { print text; bad++ }
END { exit bad > 0 }
