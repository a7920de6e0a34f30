package takeoff

// NearestWord returns the word of a list that is nearest to a misspelt one, the first of
// several; "" if none is near. It is for hints: "did you mean ...?".
func NearestWord(word string, list []string) string {
	best, bestDistance := "", tooFar(word)
	for _, w := range list {
		if d := editDistance(word, w); d < bestDistance {
			best, bestDistance = w, d
		}
	}
	return best
}

// tooFar is how many letters make another word of one: more than a third, and
// all of them.
func tooFar(word string) int { return min(max(1, len(word)/3)+1, len(word)) }

// editDistance counts the letters to insert, delete, replace or swap with the
// next one that turn a into b (optimal string alignment).
func editDistance(a, b string) int {
	if len(a) > 64 || len(b) > 64 {
		return 64
	}
	var d [65][65]int
	for i := range len(a) + 1 {
		d[i][0] = i
	}
	for j := range len(b) + 1 {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}
