package takeoff

import "slices"

// JobTable is a kind of table of a job file, and the keys that may stand in it.
type JobTable struct {
	Paths []string // where it may stand, such as "pad.batter"; "" is the top of the file. Below
	// a table that has several places the first of them stands for all.
	Keys []string
}

// JobTables lists the tables of a job file: the top of the file, then those below it, in
// the order of their keys. What each key means is in docs/formats.md.
func JobTables() []JobTable {
	kinds := []string{"job"}
	list := []JobTable{{Paths: []string{""}, Keys: slices.Clone(keysOf["job"])}}
	for i := 0; i < len(list); i++ { // which grows
		lead := list[i].Paths[0]
		if lead != "" {
			lead += "."
		}
		for _, key := range list[i].Keys {
			kind := childTables[[2]string{kinds[i], key}]
			switch k := slices.Index(kinds, kind); {
			case kind == "":
			case k >= 0:
				list[k].Paths = append(list[k].Paths, lead+key)
			default:
				kinds = append(kinds, kind)
				list = append(list, JobTable{Paths: []string{lead + key}, Keys: slices.Clone(keysOf[kind])})
			}
		}
	}
	return list
}
