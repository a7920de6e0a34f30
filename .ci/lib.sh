# Sourced by the steps: strict mode, the repository's root as working folder.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# A checkout that belongs to somebody else makes git refuse, and with it the
# stamping of binaries; the checks need no stamp.
export GOFLAGS="${GOFLAGS:-} -buildvcs=false"

# files prints the repository's files, one a line: those git knows and new ones
# that are not ignored. Without git, all of them.
files() {
	if git -c safe.directory="$PWD" ls-files -co --exclude-standard 2>/dev/null | sort -u | existing | grep .; then
		return
	fi
	find . -path ./.git -prune -o -type f -print | sed 's|^\./||' | sort
}

existing() {
	while IFS= read -r file; do
		if [ -e "$file" ]; then printf '%s\n' "$file"; fi
	done
}
